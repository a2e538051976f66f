"""Files of a commit, held in memory below a folder that stands nowhere: `opening` gives them to whoever reads there.

So all that reads files beside a formula reads those of the commit, and nothing is laid out on a disk and cleared away
again, which took a quarter of a review (docs/performance.md).
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from itertools import count

from perflour.result import CannotRun
from perflour.system.opening import COMMITS
from perflour.system.paths import NOWHERE_ON_DISK
from perflour.tuples import NamedTuple
from perflour.typed import Any


class Held(NamedTuple):
    """A commit's files by their paths in it, and the names in its folders; ``said`` is how messages call the commit.

    It is asked by absolute paths, below ``top``. ``documents`` are those of its files that were read, by path and
    kind, with what is wrong with them, as `kitchen.house.read_valid` gives them: nobody edits a commit.
    """

    top: str
    files: Mapping[str, bytes]
    folders: Mapping[str, tuple[str, ...]]
    said: str
    documents: dict[tuple[str, str], Any]

    def inner(self, path: str) -> str:
        """A path as the commit has it; its top is empty."""
        return path[len(self.top) + 1 :].replace(os.sep, "/")

    def file(self, path: str) -> bytes | None:
        """What a file holds, None where none is there."""
        return self.files.get(self.inner(path))

    def names(self, path: str) -> tuple[str, ...] | None:
        """The names in a folder, None where none is there."""
        return self.folders.get(self.inner(path))

    def entries(self, folder: str) -> "list[Entry]":
        """What is in a folder."""
        inner = self.inner(folder)
        above = f"{inner}/" if inner else ""
        names = self.folders.get(inner, ())
        return [Entry(n, f"{folder}{os.sep}{n}", f"{above}{n}" in self.folders) for n in names]


class Entry(NamedTuple):
    """What is in a folder, as os.scandir tells it."""

    name: str
    path: str
    is_folder: bool

    def is_dir(self, *, follow_symlinks: bool = True) -> bool:
        return self.is_folder


_numbers = count(1)


@contextmanager
def holding(commit: str, contents: Mapping[str, bytes]) -> Iterator[Held]:
    """The files of a commit, by their paths in it, as long as this lasts, and in forks that are made meanwhile.

    Raises CannotRun where a file and a folder have one path.
    """
    top = f"{NOWHERE_ON_DISK}{commit}-{next(_numbers)}"
    held = Held(top, contents, _folders(contents), commit[:9], {})
    if both := contents.keys() & held.folders.keys():
        raise CannotRun(f"{min(both)!r} of the commit is a file and a folder; mend it with git")
    COMMITS[top] = held
    try:
        yield held
    finally:
        del COMMITS[top]


def _folders(files: Mapping[str, bytes]) -> dict[str, tuple[str, ...]]:
    """The names in each folder; house files are looked for up to the one with a `.git`, as in a work tree."""
    names: dict[str, dict[str, None]] = {"": {".git": None}, ".git": {}}
    for path in files:
        inner, is_new = path, True
        while inner and is_new:
            folder, _, name = inner.rpartition("/")
            is_new = folder not in names
            names.setdefault(folder, {})[name] = None
            inner = folder
    return {folder: tuple(inside) for folder, inside in names.items()}
