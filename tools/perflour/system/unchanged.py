"""Files that stand as an earlier run met them, known without reading them: by their signs, as git's index does.

A sign is all that results of a file hang on, as far as it is seen from outside: times, size and inode of the
file and of what is looked at beside it, what the house files above say, the working folder. What is written
twice within one tick of the clock has one time: a young file has no sign, and is read again. Nor has one that
is or lies behind a link, which may lead elsewhere by now.
"""

from __future__ import annotations

import os
import time
from collections.abc import Iterable
from stat import S_ISREG

from perflour.system.cache import Names, folder_names, house_digests
from perflour.system.file_kinds import KITCHEN_FILES
from perflour.system.files import YOUNG_NS, Listed
from perflour.system.hashing import sha256_hex
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, TRIAL_FILE

#: What is told of a file that has no sign.
NO_SIGN = b""
_NO_HOUSE = frozenset(KITCHEN_FILES).isdisjoint


class Signs:
    """The signs of a run's files, as they are when they are asked for; house files are looked into once.

    ``named`` are the folders that the run was given, behind links or not; without them any may be.
    """

    def __init__(self, listed: Listed, named: Iterable[str] | None = None) -> None:
        self.walked = listed if named is not None else {}
        self.named = frozenset(named or ())
        self.names = folder_names(listed)
        self.house = house_digests(self.names)
        self.here = os.fsencode(os.getcwd())
        self.old_ns = time.time_ns() - YOUNG_NS
        self._shared: dict[str, str] = {}  # by folder

    def of(self, path: str) -> bytes:
        """The sign of a file, or NO_SIGN."""
        folder = path.rpartition(os.sep)[0]
        shared = self.shared(folder)
        if not shared or not path.isprintable():  # a line is kept of each
            return NO_SIGN
        looks = _look(path, self.old_ns)
        if len(self.names(folder)) > 1:
            for one in beside(path, self.names):
                looks = looks and (look := _look(one, self.old_ns)) and f"{looks} {look}"
        return f"{path}\0{looks} {shared}".encode() if looks else NO_SIGN

    def shared(self, folder: str) -> str:
        """What the signs of a folder's files end in: what the house says; empty where it may lie behind a link."""
        known = self._shared.get(folder)
        if known is None:
            known = self._shared[folder] = self._shared_in(folder)
        return known

    def _shared_in(self, folder: str) -> str:
        names = None if folder in self.named else self.walked.get(folder)
        if names is not None:
            above = self.shared(folder.rpartition(os.sep)[0])
            if not above or _NO_HOUSE(names):
                return above
        elif os.path.realpath(folder) != folder:
            return ""
        return sha256_hex(b"\0".join((self.house(folder), self.here)))[:24]


def _look(path: str, old_ns: int) -> str:
    """How a file looks from outside; empty for a young one and for what is no plain file."""
    try:
        stat = os.lstat(path)
    except (OSError, ValueError):
        return ""
    changed, made = stat.st_mtime_ns, stat.st_ctime_ns
    if changed > old_ns or made > old_ns or not S_ISREG(stat.st_mode):
        return ""
    return f"{changed} {made} {stat.st_size} {stat.st_ino}"


def beside(path: str, names: Names) -> list[str]:
    """The files looked at beside a formula, its changelog and its test bakes; beside a trial, its variants."""
    folder, _, name = path.rpartition(os.sep)
    there = names(folder)
    if name == TRIAL_FILE:
        return [os.path.join(folder, variant, FORMULA_FILE) for variant in sorted(there)]
    if name != FORMULA_FILE:
        return []
    changelog = [os.path.join(folder, CHANGELOG_FILE)] if CHANGELOG_FILE in there else []
    if BAKES not in there:
        return changelog
    bakes = os.path.join(folder, BAKES)
    return [*changelog, *(os.path.join(bakes, name) for name in sorted(names(bakes)))]
