"""Which files a command line names: files, folders, or ``-`` for standard input."""

import os
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from operator import attrgetter
from stat import S_ISREG

from perflour.result import CannotRun, Place, Result
from perflour.system.file_kinds import BY_FILE, BY_FOLDER
from perflour.system.opening import (
    MOST_BYTES,
    STANDARD_INPUT,
    held_at,
    is_folder,
    is_there,
    read,
    read_standard_input,
)
from perflour.system.paths import display_path, is_set_aside, kitchen_above
from perflour.tuples import NamedTuple
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.system.held import Entry

STDIN = "-"

_NAME = attrgetter("name")
#: The names in folders, hidden ones left out.
Listed = dict[str, tuple[str, ...]]


#: Times, size and inode of a file, and its bytes where it is young.
FileState = tuple[int, int, int, int, bytes] | None
#: No file system tells times apart more coarsely than by two seconds.
YOUNG_NS = 2_000_000_000


class InputFile(NamedTuple):
    """A file to read: its path for places, its absolute path, its bytes.

    ``refused`` says why there are none, where that is told as a result of the file.
    """

    shown: str
    path: str
    content: bytes
    refused: str = ""


def input_files(names: Iterable[str]) -> Iterator[InputFile]:
    """The files that names stand for, variants of trials only where they are named, read as they are asked for.

    Raises CannotRun for a name that is not there or cannot be read.
    """
    return map(read_input, named_paths(names))


def named_paths(
    names: Iterable[str], listed: Listed | None = None, variants: bool = False
) -> Iterator[str]:
    """Absolute paths of the files that names stand for, each once, by path within a folder.

    ``-`` stays as it is. ``listed`` is filled with what every folder on the way holds. Variants of planned
    trials are there where a trial or a variant is named, or with ``variants``. Raises CannotRun for a name
    that is not there.
    """
    seen: set[str] = set()
    for name in names:
        for path in (STDIN,) if name == STDIN else _expanded(name, listed, variants):
            if path not in seen:
                seen.add(path)
                yield path


def read_input(path: str, most: int = MOST_BYTES) -> InputFile:
    """One file, or standard input for ``-``. Raises CannotRun where it cannot be read."""
    if path == STDIN:
        source = _standard_input(most)
        if source.refused:
            raise CannotRun(f"{source.shown}: {source.refused}")
        return source
    return InputFile(display_path(path), path, read_bytes(path, most))


def _standard_input(most: int = MOST_BYTES) -> InputFile:
    place = os.path.abspath("stdin.yaml")
    try:
        return InputFile(STANDARD_INPUT, place, read_standard_input(most))
    except (OSError, ValueError) as error:
        return InputFile(STANDARD_INPUT, place, b"", cannot_be_read(error))


def read_or_refused(path: str) -> InputFile:
    """As read_input, but for a file that cannot be read, which says why itself."""
    if path == STDIN:
        return _standard_input()
    shown = display_path(path)
    try:
        return InputFile(shown, path, read(path))
    except (OSError, ValueError) as error:
        return InputFile(shown, path, b"", cannot_be_read(error))


def refusal(source: InputFile) -> Result:
    """What is told of a file that was refused."""
    return not_read(source.shown, source.refused)


def not_read(shown: str, why: str) -> Result:
    """The result of a file that was not read; ``why`` as ``cannot_be_read`` says it."""
    return Result("cannot-be-read", "error", why, Place(shown))


def cannot_be_read(error: Exception) -> str:
    """What is said of a file that was not read."""
    return f"cannot be read ({getattr(error, 'strerror', None) or error}); check the path and its rights"


def read_bytes(path: str, most: int = MOST_BYTES) -> bytes:
    """The bytes of a file of at most that many. Raises CannotRun with one line."""
    try:
        return read(path, most)
    except (OSError, ValueError) as error:
        raise CannotRun(f"{display_path(path)}: {cannot_be_read(error)}") from None


def state_of(path: str) -> FileState:
    """What tells one state of a file from the next: its times, size and inode; None where it is not there.

    What is written twice within one tick of the clock has one time: of a young file its bytes count too.
    """
    if held := held_at(path):  # nobody edits a commit
        held_content = held.file(path)
        if held_content is None and held.names(path) is None:
            return None
        return 0, 0, len(held_content or b""), 0, held_content or b""
    if not os.access(path, os.F_OK):  # most are not there, and this raises nothing
        return None
    try:
        stat = os.stat(path)
        if not S_ISREG(stat.st_mode):  # whoever reads it says what is wrong
            return 0, 0, 0, 0, b""
        age_ns = time.time_ns() - max(stat.st_mtime_ns, stat.st_ctime_ns)
        content = read_bytes(path) if age_ns < YOUNG_NS else b""
    except (OSError, CannotRun):  # whoever reads it says what is wrong
        return 0, 0, 0, 0, b""
    return stat.st_mtime_ns, stat.st_ctime_ns, stat.st_size, stat.st_ino, content


def default_names() -> list[str]:
    """The folder of the kitchen's formulas, here or above, as seen from here; else this folder."""
    folder = kitchen_above(".")
    return [os.path.relpath(folder) if folder else "."]


def _expanded(name: str, listed: Listed | None, variants: bool) -> Iterator[str]:
    if "\0" in name or not is_there(name):
        raise CannotRun(f"{name!r}: no such file or folder; check the path")
    path = os.path.abspath(name)
    if is_folder(path):
        skip = None if variants else len(path.rstrip(os.sep)) + 1
        yield from _in_folder(path, listed, skip)
    else:
        yield path


def _in_folder(folder: str, listed: Listed | None, skip: int | None) -> Iterator[str]:
    """The files below a folder that are of one of our kinds.

    Variants are left out unless ``skip`` is None, else it is where in a path the part begins that nobody named.
    """
    left = [folder]
    while left:
        folder = left.pop()
        entries = _entries(folder)
        names = [entry.name for entry in entries]
        if listed is not None:
            listed[folder] = tuple(map(sys.intern, names))
        records = folder.rpartition(os.sep)[2] in BY_FOLDER
        inner: list[str] = []
        for name, entry in zip(names, entries, strict=True):
            if entry.is_dir(follow_symlinks=False):
                inner.append(entry.path)
            elif name.endswith(".yaml") if records else name in BY_FILE:
                yield entry.path  # also what is no file: whoever reads it says so
        if skip is not None:
            inner = [one for one in inner if not is_set_aside(one[skip:].replace(os.sep, "/"))]
        left += reversed(inner)


def misnamed(listed: Listed) -> Iterator[tuple[str, str]]:
    """Files of our kinds but for the writing of their names, which nobody reads: their paths, and the right names.

    One that stands beside a file of the right name was put there by somebody who knows.
    """
    for folder, names in listed.items():
        for name in names:
            lower = name.lower()
            if lower.endswith(".yml") or (lower != name and lower.endswith(".yaml")):
                of_records = os.path.basename(folder) in BY_FOLDER
                right = f"{os.path.splitext(name if of_records else lower)[0]}.yaml"
                if right not in (name, *names) and (of_records or right in BY_FILE):
                    yield os.path.join(folder, name), right


def _entries(folder: str) -> "Sequence[os.DirEntry[str] | Entry]":
    """What is in a folder, by name, hidden things left out. Raises CannotRun where it cannot be listed."""
    if held := held_at(folder):
        return sorted([e for e in held.entries(folder) if e.name[0] != "."], key=_NAME)
    try:
        with os.scandir(folder) as entries:
            seen = [entry for entry in entries if entry.name[0] != "."]
            return sorted(seen, key=_NAME) if len(seen) > 1 else seen
    except OSError as error:
        raise CannotRun(
            f"{display_path(folder)}: cannot be listed ({error.strerror}); check its rights, or name what else to read"
        ) from None
