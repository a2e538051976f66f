"""The files of a kitchen looked at again and again: which of them were saved, came or went since.

By looking at their times and sizes, not by asking the system: that works on every file system, shared folders
too, and a kitchen has few files. A change counts when two looks in a row find the same, so that a file is not read
while it is being written, and one that an editor puts in place of another is not taken for gone.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from perflour.result import CannotRun
from perflour.system.file_kinds import KITCHEN_FILES, kind_of
from perflour.system.files import cannot_be_read, named_paths
from perflour.system.opening import read
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, TRIAL_FILE, folders_up

#: Times, size and number of a file; what tells one state from the next.
Stamp = tuple[int, int, int, int]


class Saved(NamedTuple):
    """A file that is not as it was: its bytes before and after, None where it was or is not there.

    ``why_not`` says why what is there cannot be read.
    """

    path: str
    before: bytes | None
    after: bytes | None
    why_not: str = ""


class Watch:
    """The files that names stand for, with those of their kitchens, as they were when last told."""

    def __init__(self, names: Sequence[str]) -> None:
        """Raises CannotRun for a name that is not there."""
        list(named_paths(names))
        self.names = [os.path.abspath(name) for name in names]
        self._told = self._seen = self._stamps()
        self.contents = {path: _content(path)[0] for path in self._told}

    @property
    def paths(self) -> list[str]:
        """The files that are there and that lint reads, by path."""
        return sorted(path for path in self._told if not path.endswith(CHANGELOG_FILE))

    def look(self) -> list[Saved]:
        """What was saved, came or went, and has come to rest."""
        now = self._stamps()
        if now != self._seen:
            self._seen = now
            return []
        moved = [path for path in {*now, *self._told} if now.get(path) != self._told.get(path)]
        self._told = now
        return list(self._saved(sorted(moved)))

    def _saved(self, paths: Iterable[str]) -> Iterator[Saved]:
        for path in paths:
            before = self.contents.pop(path, None)
            after, why_not = _content(path) if path in self._told else (None, "")
            if path in self._told:
                self.contents[path] = after
            still_there = (
                after is None and not why_not and os.path.exists(path)
            )  # of no formula now
            if (before != after or why_not) and not still_there:
                yield Saved(path, before, after, why_not)

    def _stamps(self) -> dict[str, Stamp]:
        found = {}
        for path in dict.fromkeys(self._listed()):
            if stamp := _stamp(path):
                found[path] = stamp
        return found

    def _listed(self) -> Iterator[str]:
        """Every file that is of the names now; a folder that is just being replaced has none."""
        folders: set[str] = set()
        for name in self.names:
            try:
                paths = list(named_paths([name], variants=True))
            except CannotRun:
                continue
            yield from paths
            for path in paths:
                folders.add(os.path.dirname(path))
        for folder in sorted(folders):
            if os.path.exists(os.path.join(folder, FORMULA_FILE)):
                yield os.path.join(folder, CHANGELOG_FILE)
        for folder in _above(folders):
            yield from (os.path.join(folder, name) for name in KITCHEN_FILES)


def _above(folders: Iterable[str]) -> list[str]:
    """Folders and those above them, up to their repository."""
    found: set[str] = set()
    for folder in folders:
        for at in folders_up(folder):
            if at in found:
                break
            found.add(at)
    return sorted(found)


def _stamp(path: str) -> Stamp | None:
    try:
        stat = os.stat(path)
    except OSError:
        return None
    return stat.st_mtime_ns, stat.st_ctime_ns, stat.st_size, stat.st_ino


def _content(path: str) -> tuple[bytes | None, str]:
    try:
        return read(path), ""
    except (OSError, ValueError) as error:
        return None, cannot_be_read(error)


def touched(saved: Iterable[Saved], paths: Sequence[str]) -> list[str]:
    """The files whose verdict may be another now: those saved, and those that are judged with them.

    A house file is part of the verdict of all below it, a test bake and a changelog of its formula's, a variant of its
    trial's; a formula of its test bakes'.
    """
    found: set[str] = set()
    for one in saved:
        folder, name = os.path.split(one.path)
        if name in KITCHEN_FILES:
            found.update(path for path in paths if path.startswith(f"{folder}{os.sep}"))
            continue
        root = os.path.dirname(folder) if kind_of(one.path) == "bake" else folder
        near = {root, os.path.join(root, BAKES)}
        found.update(path for path in paths if os.path.dirname(path) in near)
        found.add(os.path.join(os.path.dirname(root), TRIAL_FILE))
    there = set(paths)
    return sorted(found & there)
