"""Results of earlier runs, by content, in the repository's git folder.

The folder may be deleted at any time and runs may overlap: every file in it is written beside and
renamed, and the last one wins. A result depends on the file, the test bakes and the changelog beside
it, the house's files and perflour itself; all of them are in the key.
"""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING, Any

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
from perflour.system.hashing import sha256_hex
from perflour.system.parallel import spread_out_groups
from perflour.system.terminal import tell
from perflour.system.unchanged import NO_SIGN, Signs, beside
from perflour.tuples import NamedTuple

if TYPE_CHECKING:
    from perflour.kitchen.house import Kitchens

KEY_DIGITS = 24
#: What is kept: results by content, the content's key by the sign of its file, and the last report.
_KINDS = ("lint", "seen", "told")

Results = tuple[Result, ...]


class Told(NamedTuple):
    """A report as it was put out, and the levels of the results in it."""

    levels: tuple[str, ...]
    report: bytes


class Remembered:
    """The files of a run with what earlier runs found in them.

    ``listed`` holds the names in folders that have been listed already, ``named`` the folders that were asked for.
    """

    def __init__(
        self,
        folder: str,
        paths: Sequence[str],
        listed: Listed,
        jobs: int,
        named: Collection[str] | None = None,
    ) -> None:
        self.paths, self.listed, self.jobs, self.named = paths, listed, jobs, named
        tool = tool_key()
        self.found_at, self.seen_at, self.told_at = (
            os.path.join(folder, f"{kind}-{tool}.rows") for kind in _KINDS
        )
        seen = load(self.seen_at)
        self.signs = dict(zip(paths, map(Signs(listed, named).of, paths), strict=True))
        #: By path, as far as an earlier run met the file as it stands.
        self.keys = {path: seen[sign] for path, sign in self.signs.items() if sign and sign in seen}

    def told(self, told_as: str) -> Told | None:
        """The report that an earlier run made so of just these files; None where there is none."""
        if len(self.keys) < len(self.paths):
            return None
        try:
            *levels, report = from_row(load(self.told_at)[self._run_key(told_as)])
        except (KeyError, ValueError, TypeError):
            return None
        return Told(tuple(levels), report.encode()) if isinstance(report, str) else None

    def keep_told(self, told_as: str, told: Told) -> None:
        """Keep the report of this run, whose results were asked for, instead of the last one."""
        save(self.told_at, {self._run_key(told_as): as_row([*told.levels, told.report.decode()])})

    def _run_key(self, told_as: str) -> bytes:
        """What a report hangs on: the key of each file in their order, and in which way it is told."""
        keys = b" ".join([self.keys[path] for path in self.paths])
        return sha256_hex(b"\0".join((keys, told_as.encode("utf-8", "surrogateescape")))).encode()

    def results(self) -> list[Results]:
        """The results of every path, in order; only changed files are checked again."""
        paths, keys, signs = self.paths, self.keys, self.signs
        known = load(self.found_at)
        if not known:
            import perflour.lint.check  # noqa: F401  # before the fork, where something is new: docs/performance.md
        left = [path for path in paths if keys.get(path) not in known]
        looked = spread_out_groups(_Look(self.listed, known), left, self.jobs)
        new = {key: row for key, row in looked if row}
        tell(f"checked {len(paths)} files, {len(paths) - len(new)} of them by earlier work")
        known.update(new)
        keys.update(zip(left, [key for key, _ in looked], strict=True))
        if new:
            save(self.found_at, {keys[path]: known[keys[path]] for path in paths})
        if any(signs[path] for path in left):  # a young file is read again
            save(self.seen_at, self._seen(left))
        return _all_results([known[keys[path]] for path in paths])

    def _seen(self, read: Sequence[str]) -> dict[bytes, bytes]:
        """The keys by the signs that were taken before the files were read.

        A file that changed since has other times and so another sign. What the house says counts by content, which
        may change there and back: what was read meanwhile is kept where it is still the same.
        """
        house = Signs(self.listed, self.named).shared
        signs = dict(self.signs)
        for path in read:
            folder = os.path.dirname(path)
            if not signs[path].endswith(house(folder).encode()):
                del signs[path]
        kept = {sign: self.keys[path] for path, sign in signs.items()}
        kept.pop(NO_SIGN, None)
        return kept


def check_with_cache(paths: Sequence[str], listed: Listed, jobs: int) -> list[Results]:
    """The results of every path, in order; only changed files are checked again, where results can be kept."""
    if folder := cache_folder(paths):
        return Remembered(folder, paths, listed, jobs).results()
    from perflour.lint.check import check_all

    return check_all(paths, jobs)


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


def cache_folder(paths: Sequence[str]) -> str | None:
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
