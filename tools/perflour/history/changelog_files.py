"""Changelogs as text: those unchanged since an earlier run as they were, and the CHANGELOG.md files."""

import os
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from perflour.history.changelog import Asked, AskedFormula, Changelog, asked, worked_out
from perflour.system.cache import Names, Rows, as_row, content_of, from_row, row_key
from perflour.system.files import read_bytes
from perflour.system.hashing import sha256_hex
from perflour.system.paths import BAKES, CHANGELOG_FILE, display_path
from perflour.system.writing import write_file
from perflour.tuples import NamedTuple
from perflour.typed import Any

Render = Callable[[Changelog], str]


class Told(NamedTuple):
    """The changelog of one formula as text; ``iterations`` is how many it tells of.

    ``problems`` counts test bakes that cannot be read, ``trial_problems`` files of its trials.
    """

    path: Path
    text: str
    status: str
    iterations: int
    problems: int
    trial_problems: int = 0


def told(
    names: Sequence[str],
    form: str,
    render: Render,
    committed: bool = False,
    jobs: int = 0,
    remember: bool = True,
) -> list[Told]:
    """The changelogs under the named files and folders as text, by path.

    ``form`` names what ``render`` makes: text of an earlier run is taken where nothing that it
    depends on has changed. Raises CannotRun as ``changelogs``.
    """
    found = asked(names, committed, remember, as_text=True)
    kept = found.store.load(form)
    nothing = dict.fromkeys([source.path for source in found.formulas], "")
    known_keys = keys(found) if found.store.keeps else nothing
    known = {path: row for path, key in known_keys.items() if (row := _row_of(kept, path, key))}

    def tell(changelog: Changelog) -> tuple[bool, str, str, int, int, int]:
        trials = {problem.place.path for problem in changelog.trial_problems}
        counts = len(changelog.iterations), len(changelog.problems), len(trials)
        return _shows_photos(changelog, form), render(changelog), changelog.status, *counts

    waiting = [source for source in found.formulas if source.path not in known]
    new: Rows = {}
    for source, outcome in zip(waiting, worked_out(found, waiting, tell, jobs), strict=True):
        shows_photos, *text_and_counts = outcome
        row = known[source.path] = [known_keys[source.path], *text_and_counts]
        if not shows_photos:
            new[row_key(source.path)] = as_row(row)
    if new:
        found.store.save_by_path(form, kept, new, found.paths)
    return [Told(source.file, *known[source.path][1:]) for source in found.formulas]


#: What a row holds: its key, then all that is told but for the path.
_ROW = [str, str, str, int, int, int]


def _shows_photos(changelog: Changelog, form: str) -> bool:
    """Whether a text holds photos, which no key knows: they may be large and lie anywhere in the repository."""
    return form == "html" and any(bake.photos for i in changelog.iterations for bake in i.bakes)


def _row_of(kept: Rows, path: str, key: str) -> list[Any] | None:
    """What was kept of a changelog; None where it is not whole, or of another key."""
    try:
        row = from_row(kept[row_key(path)])
    except (KeyError, ValueError):
        return None
    is_whole = isinstance(row, list) and [type(value) for value in row] == _ROW
    return row if is_whole and row[0] == key else None


def keys(found: Asked) -> dict[str, str]:
    """By path a digest of all that a changelog depends on, perflour itself left out."""
    here = os.getcwd()
    contents = _contents(found)
    return {
        source.path: _key(source, found.signs.house(os.path.dirname(source.file)), here, contents[source.path])
        for source in found.formulas
    }  # fmt: skip


def _key(source: AskedFormula, house: bytes, here: str, contents: bytes) -> str:
    # paths are told as seen from here
    at = f"{source.path}\0{source.committed}\0{here}\0"
    parts = [house, at.encode("utf-8", "surrogateescape")]
    if source.line:
        parts.append(source.line.digest.encode())
    trials = (
        row for files in source.trials for row in ((files.path, files.content), *files.beside)
    )
    for session, content in (*source.sessions, *trials):
        said = f"\0{session}\0{len(content)}\0"
        parts += said.encode("utf-8", "surrogateescape"), content
    return sha256_hex(b"".join((*parts, b"\0", contents)))


#: By formula the digest of its contents, and the sign that they had.
_SIGNED = "signed"
_DIGITS = 64


def _contents(found: Asked) -> dict[str, bytes]:
    """By path a digest of a formula's file and its test bakes; what stands as an earlier run met it is not read."""
    kept = found.store.load(_SIGNED)
    digests: dict[str, bytes] = {}
    new: Rows = {}
    for source in found.formulas:
        file, key = str(source.file), row_key(source.path)
        sign = found.signs.of(file)  # before it is read: whatever changes it later changes its sign
        row = kept.get(key, b"")
        if not sign or row[_DIGITS:] != sign:
            row = _digest(file, found.signs.names) + sign
            if sign:
                new[key] = row
        digests[source.path] = row[:_DIGITS]
    if new:
        found.store.save_by_path(_SIGNED, kept, new, found.paths)
    return digests


def _digest(file: str, names: Names) -> bytes:
    """Of the contents of a formula's file and its test bakes."""
    folder = os.path.dirname(file)
    bakes = os.path.join(folder, BAKES)
    listed = names(bakes) if BAKES in names(folder) else ()
    there = sorted(name for name in listed if name.endswith(".yaml"))
    parts: list[bytes] = []
    for path in (file, *(os.path.join(bakes, name) for name in there)):
        content = content_of(path)
        parts += f"\0{path}\0{len(content)}\0".encode("utf-8", "surrogateescape"), content
    return sha256_hex(b"".join(parts)).encode()


class Stale(NamedTuple):
    """A CHANGELOG.md that is not as it should be; ``present`` is None where it is missing."""

    formula: Path
    path: Path
    wanted: str
    present: str | None


def stale_changelogs(found: Sequence[Told]) -> list[Stale]:
    """Those that say something else, and those that an approved formula does without."""
    return [
        stale
        for changelog in found
        if (stale := _differing(changelog))
        and (stale.present is not None or changelog.status == "approved")
    ]


def write_changelogs(found: Sequence[Told]) -> Iterator[str]:
    """Write CHANGELOG.md beside each formula that has a commit; the paths as they are written."""
    for changelog in found:
        if stale := _differing(changelog):
            write_file(stale.path, stale.wanted.encode("utf-8", "replace"))
            yield display_path(str(stale.path))


def _differing(changelog: Told) -> Stale | None:
    """A CHANGELOG.md to be written; line ends do not count, git may check out others."""
    path = changelog.path.parent / CHANGELOG_FILE
    present = None
    if os.path.isfile(path):
        present = read_bytes(str(path)).decode("utf-8", "replace")
    if present is None and not changelog.iterations:
        return None
    if present is not None and present.splitlines() == changelog.text.splitlines():
        return None
    return Stale(changelog.path, path, changelog.text, present)
