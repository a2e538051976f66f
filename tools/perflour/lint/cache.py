"""Results of earlier runs, by content, in the repository's git folder.

The folder may be deleted at any time and runs may overlap: every file in it is written beside and
renamed, and the last one wins. A result depends on the file, the test bakes and the changelog beside
it, the house's files and perflour itself; all of them are in the key.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from perflour.lint.unchanged import NO_SIGN, Signs, beside
from perflour.result import Place, Result
from perflour.system.cache import (
    FOLDER,
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
from perflour.system.terminal import tell

if TYPE_CHECKING:
    from perflour.kitchen.house import Kitchens

KEY_DIGITS = 24
#: What is kept: results by content, and the content's key by the sign of its file.
_KINDS = ("lint", "seen")

Results = tuple[Result, ...]


def check_with_cache(
    paths: Sequence[str], listed: Listed, jobs: int, named: Collection[str] | None = None
) -> list[Results]:
    """The results of every path, in order; only changed files are checked again.

    ``listed`` holds the names in folders that have been listed already, ``named`` the folders that were asked for.
    """
    folder = _cache_folder(paths)
    if folder is None:
        from perflour.lint.check import check_all

        return check_all(paths, jobs)
    tool = tool_key()
    rows_at, seen_at = (os.path.join(folder, f"{kind}-{tool}.rows") for kind in _KINDS)
    known, seen = load(rows_at), load(seen_at)
    if not known:
        import perflour.lint.check  # noqa: F401  # before the fork, where something is new: docs/performance.md
    signs = dict(zip(paths, map(Signs(listed, named).of, paths), strict=True))
    keys = {path: seen[sign] for path, sign in signs.items() if sign and sign in seen}
    left = [path for path in paths if keys.get(path) not in known]
    looked = spread_out_groups(_Look(listed, known), left, jobs)
    new = {key: row for key, row in looked if row}
    tell(f"checked {len(paths)} files, {len(paths) - len(new)} of them by earlier work")
    known.update(new)
    keys.update(zip(left, [key for key, _ in looked], strict=True))
    if new:
        save(rows_at, {keys[path]: known[keys[path]] for path in paths})
    still = Signs(listed, named).of
    changed = {path for path in left if not signs[path] or signs[path] != still(path)}
    if len(changed) < len(left):  # what was changed meanwhile, and is young, is read again
        kept = {sign: keys[path] for path, sign in signs.items() if path not in changed}
        kept.pop(NO_SIGN, None)
        save(seen_at, kept)
    return _all_results([known[keys[path]] for path in paths])


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
        from hashlib import sha256  # quickest over many files, but loads all of OpenSSL

        self.sha256 = sha256
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
        digest = self.sha256(self.house(os.path.dirname(source.path)))
        digest.update(f"{source.shown}\0{source.refused}\0".encode())
        digest.update(source.content)
        for path in beside(source.path, self.names):
            digest.update(f"\0{os.path.basename(path)}\0".encode("utf-8", "surrogateescape"))
            digest.update(content_of(path))
        return digest.hexdigest()[:KEY_DIGITS].encode()


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


def _all_results(rows: Sequence[bytes]) -> list[Results]:
    """What rows hold, read in one go. Raises ValueError where one is not whole."""
    told = [row for row in rows if row != _CLEAN]
    read = from_row(b"[%b]" % b",".join(told))
    if len(read) != len(told):
        raise ValueError("a row of results is not whole")
    following = iter(read)
    return [() if row == _CLEAN else _results(next(following)) for row in rows]


def _results(row: Sequence[tuple[Any, ...]]) -> Results:
    return tuple(
        [
            Result(rule, level, message, Place(path, line, column), subject, text)
            for rule, level, message, subject, text, path, line, column in row
        ]
    )
