"""Results of earlier runs, by content, in the repository's git folder.

The folder may be deleted at any time and runs may overlap: every file in it is written beside and
renamed, and the last one wins. A result depends on the file, the test bakes and the changelog beside
it, the house's files and perflour itself; all of them are in the key.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from perflour.result import Place, Result
from perflour.system.cache import (
    FOLDER,
    NONE,
    as_row,
    content_of,
    folder_names,
    from_row,
    house_digests,
    load,
    save,
    tool_key,
)
from perflour.system.files import InputFile, Listed, read_or_refused
from perflour.system.parallel import spread_out_groups
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, TRIAL_FILE
from perflour.system.terminal import tell

if TYPE_CHECKING:
    from perflour.kitchen.house import Kitchens

KEY_DIGITS = 24

Results = tuple[Result, ...]


def check_with_cache(paths: Sequence[str], listed: Listed, jobs: int) -> list[Results]:
    """The results of every path, in order; only changed files are checked again.

    ``listed`` holds the names in folders that have been listed already.
    """
    folder = _cache_folder(paths)
    if folder is None:
        from perflour.lint.check import check_all

        return check_all(paths, jobs)
    name = os.path.join(folder, f"lint-{tool_key()}.rows")
    known = load(name)
    if not known:
        import perflour.lint.check  # noqa: F401  # before the fork, where something is new: docs/performance.md
    looked = spread_out_groups(_Look(listed, known), paths, jobs)
    new = {key: row for key, row in looked if row}
    tell(f"checked {len(paths)} files, {sum(not row for _, row in looked)} of them by earlier work")
    known.update(new)
    if new:
        save(name, {key: known[key] for key, _ in looked})
    return [_results(known[key]) for key, _ in looked]


class _Look:
    """The keys of files, and their results where they are not known yet; may be sent to another Python."""

    def __init__(self, listed: Listed, known: Mapping[bytes, bytes]) -> None:
        self.listed, self.known = listed, known
        self.keys: _Keys | None = None

    def __call__(self, group: Sequence[str]) -> list[tuple[bytes, bytes]]:
        keys = self.keys = self.keys or _Keys(self.listed)
        sources = list(map(read_or_refused, group))
        keyed = [keys.key(source) for source in sources]
        new = [source for source, key in zip(sources, keyed, strict=True) if key not in self.known]
        found = iter(keys.checked(new))
        return [(key, b"" if key in self.known else _row(next(found))) for key in keyed]


class _Keys:
    """Keys of files, and their results; the house files of a folder are hashed and read once."""

    def __init__(self, listed: Listed) -> None:
        self.names = folder_names(listed)
        self.house = house_digests(self.names)
        self.kitchens: Kitchens | None = None

    def checked(self, sources: Sequence[InputFile]) -> list[Results]:
        if not sources:  # a run that finds all of them known loads no rules
            return []
        from perflour.kitchen.house import Kitchens
        from perflour.lint.check import check_inputs

        self.kitchens = self.kitchens or Kitchens()
        return check_inputs(sources, self.kitchens)

    def key(self, source: InputFile) -> bytes:
        digest = hashlib.sha256(self.house(os.path.dirname(source.path)))
        digest.update(f"{source.shown}\0{source.refused}\0".encode())
        digest.update(source.content)
        for beside in self._beside(source):
            digest.update(b"\0" + beside)
        return digest.hexdigest()[:KEY_DIGITS].encode()

    def _beside(self, source: InputFile) -> list[bytes]:
        """What is looked at beside a formula, its changelog and its test bakes; beside a trial, its variants."""
        folder, name = os.path.split(source.path)
        if name == TRIAL_FILE:
            inner = (os.path.join(folder, variant) for variant in sorted(self.names(folder)))
            return [content_of(os.path.join(one, FORMULA_FILE)) for one in inner]
        if name != FORMULA_FILE:
            return []
        there = self.names(folder)
        bakes = os.path.join(folder, BAKES)
        names = sorted(self.names(bakes)) if BAKES in there else []
        found = [content_of(os.path.join(bakes, name)) for name in names]
        if CHANGELOG_FILE not in there:
            return [NONE, *found]
        return [content_of(os.path.join(folder, CHANGELOG_FILE)), *found]


def _cache_folder(paths: Sequence[str]) -> str | None:
    """FOLDER in the git folder of the first path's repository.

    None outside a repository, and in a linked work tree, whose `.git` is a file: the folder above it
    may be another repository's.
    """
    at = os.path.dirname(paths[0])
    while not os.path.exists(os.path.join(at, ".git")):
        at, below = os.path.dirname(at), at
        if at == below:
            return None
    folder = os.path.join(at, ".git", FOLDER)
    try:
        os.makedirs(folder, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


#: What is kept of a file without results, as most are.
_CLEAN = as_row([])


def _row(results: Results) -> bytes:
    if not results:
        return _CLEAN
    return as_row([(r.rule, r.level, r.message, r.subject, r.line, *r.place) for r in results])


def _results(row: bytes) -> Results:
    if row == _CLEAN:
        return ()
    return tuple(
        [
            Result(rule, level, message, Place(path, line, column), subject, text)
            for rule, level, message, subject, text, path, line, column in from_row(row)
        ]
    )
