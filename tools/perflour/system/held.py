"""Files of a commit, held in memory below a folder that stands nowhere: `opening` gives them to whoever reads there.

So all that reads files beside a formula reads those of the commit, and nothing is laid out on a disk and cleared away
again, which took a quarter of a review (docs/performance.md).
"""

import os
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from itertools import count
from typing import NamedTuple

from perflour.result import CannotRun
from perflour.system.opening import COMMITS, NOWHERE_ON_DISK


class Held(NamedTuple):
    """A commit's files by absolute path, and the names in its folders; ``said`` is how messages call the commit."""

    top: str
    files: Mapping[str, bytes]
    folders: Mapping[str, tuple[str, ...]]
    said: str

    def entries(self, folder: str) -> "list[Entry]":
        """What is in a folder."""
        inner = ((name, f"{folder}{os.sep}{name}") for name in self.folders[folder])
        return [Entry(name, path, path in self.folders) for name, path in inner]


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
    files = {f"{top}{os.sep}{path}": content for path, content in contents.items()}
    held = Held(top, files, _folders(top, files), commit[:9])
    if both := files.keys() & held.folders.keys():
        inner = min(both)[len(top) + 1 :]
        raise CannotRun(f"{inner!r} of the commit is a file and a folder; mend it with git")
    COMMITS[top] = held
    try:
        yield held
    finally:
        del COMMITS[top]


def _folders(top: str, files: Mapping[str, bytes]) -> dict[str, tuple[str, ...]]:
    """The names in each folder; house files are looked for up to the one with a `.git`, as in a work tree."""
    names: dict[str, dict[str, None]] = {top: {".git": None}, f"{top}{os.sep}.git": {}}
    for path in files:
        inner, is_new = path, True
        while inner != top and is_new:
            folder, _, name = inner.rpartition(os.sep)
            is_new = folder not in names
            names.setdefault(folder, {})[name] = None
            inner = folder
    return {folder: tuple(inside) for folder, inside in names.items()}
