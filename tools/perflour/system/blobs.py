"""The contents of a repository's blobs, for one run, which asks for many of them twice: a side, a record, a move."""

import os
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial
from io import BytesIO

from perflour.result import CannotRun
from perflour.system.git import Repository, is_in
from perflour.system.opening import MOST_BYTES
from perflour.system.run_git import start_reading
from perflour.typed import IO

#: The most that is read of blobs at once.
MOST_TOGETHER = 1 << 30


class Blobs:
    """Contents by blob, each read from git once."""

    def __init__(self, repository: Repository) -> None:
        self.repository = repository
        self._read: dict[str, bytes] = {}
        self._asked: list[Callable[[], dict[str, bytes]]] = []

    def ask(self, names: Iterable[str]) -> None:
        """Have these blobs read while other work is done: ``of`` waits for them, and raises as read_blobs."""
        self._asked.append(ask_blobs(self.repository, names))

    def of(self, names: Iterable[str]) -> Mapping[str, bytes]:
        """The contents of these blobs, and of others. Raises CannotRun as read_blobs."""
        while self._asked:
            self._read |= self._asked.pop()()
        self._read |= read_blobs(self.repository, [n for n in names if n not in self._read])
        return self._read


def read_blobs(repository: Repository, names: Iterable[str]) -> dict[str, bytes]:
    """The contents of blobs. One of more than MOST_BYTES is not read: what stands for it is refused for its size.

    Raises CannotRun for one that is missing, and for more than MOST_TOGETHER.
    """
    return ask_blobs(repository, names)()


def ask_blobs(repository: Repository, names: Iterable[str]) -> Callable[[], dict[str, bytes]]:
    """The same, with git at work meanwhile."""
    wanted = list(dict.fromkeys(names))
    if not wanted:
        return dict
    words = ["-C", str(repository.top), "cat-file", "--batch", "--buffer"]
    ordinary = start_reading(words, _lines(repository, wanted), partial(_ordinary, wanted))
    return lambda: ordinary() or _sorted_out(repository, wanted)


def _ordinary(names: Sequence[str], out: IO[bytes]) -> dict[str, bytes] | None:
    """Each blob of a batch with its content; None where one is none, is missing, or where there is too much to read."""
    found: dict[str, bytes] = {}
    left = MOST_TOGETHER
    for name in names:
        said = out.readline().split(b" ")
        if len(said) != 3 or said[1] != b"blob" or (length := int(said[2])) > min(MOST_BYTES, left):
            return None
        left -= length
        found[name] = out.read(length)
        if out.read(1) != b"\n":
            return None
    return found


def _sorted_out(repository: Repository, wanted: Sequence[str]) -> dict[str, bytes]:
    """The same by their sizes first, of which nothing is unpacked: what is wrong is told, what is too large not read."""
    sizes = _sizes(repository, wanted)
    large = [name for name in wanted if sizes[name] > MOST_BYTES]
    contents = dict.fromkeys(large, b" " * (MOST_BYTES + 1)) if large else {}
    small = [name for name in wanted if name not in contents]
    if sum(sizes[name] for name in small) > MOST_TOGETHER:
        raise CannotRun(
            f"the commits hold more than {MOST_TOGETHER >> 20} MiB of formula files; name fewer formulas"
        )
    printed = repository.run("cat-file", "--batch", "--buffer", stdin=_lines(repository, small))
    read = _ordinary(small, BytesIO(printed))
    if read is None:
        raise CannotRun("git printed other objects than it had told of; run again")
    return contents | read


def _sizes(repository: Repository, names: Sequence[str]) -> dict[str, int]:
    """The bytes of blobs; nothing of them is unpacked. Raises CannotRun for one that is missing."""
    words = ("cat-file", "--batch-check", "--buffer")
    told = repository.run(*words, stdin=_lines(repository, names)).splitlines()
    sizes: dict[str, int] = {}
    for name, line in zip(names, told, strict=True):
        *_, kind, size = line.split(b" ")
        if size == b"missing":
            raise CannotRun(f"git object {name} is missing; check the repository with `git fsck`")
        sizes[name] = int(size) if kind == b"blob" else MOST_BYTES + 1
    return sizes


def _lines(repository: Repository, names: Iterable[str]) -> bytes:
    return os.fsencode("".join(f"{_on_one_line(repository, name)}\n" for name in names))


def _on_one_line(repository: Repository, name: str) -> str:
    """An object's name as a batch can ask for it: its hash where a file's name has a line end."""
    if not name.endswith("\r") and "\n" not in name:
        return name
    return os.fsdecode(repository.run("rev-parse", "--verify", name)).strip()


def file_at(repository: Repository, commit: str, path: str) -> bytes | None:
    """A file as a commit has it; None where it holds none of that path."""
    name = f"{commit}:{path}"
    return read_blobs(repository, [name])[name] if is_in(repository, commit, path) else None
