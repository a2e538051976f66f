"""Records of test bakes and tasting sessions against history, photos and themselves."""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from perflour.documents.reader import Document, data_of
from perflour.history.changelog import Changelog, changelogs
from perflour.history.revisions import formula_of, place_in_history
from perflour.kitchen.house import read_valid
from perflour.kitchen.quantity import Amount, AmountProblem, parse_amount
from perflour.records.bake import Bake, bake_from
from perflour.records.changed import (
    in_words,
    reasons_added,
    said_otherwise,
    with_digests_of_today,
)
from perflour.records.session_check import session_faults, session_gaps
from perflour.records.tasting import Session, session_from
from perflour.result import CannotRun, Result
from perflour.system import git
from perflour.system.blobs import read_blobs
from perflour.system.extras import need
from perflour.system.file_kinds import kind_of
from perflour.system.files import STDIN, named_paths
from perflour.system.opening import read
from perflour.system.paths import BAKES, FORMULA_FILE, SESSIONS, display_path
from perflour.trials.photo_check import photo_results, take_out_places, write_over

_Path = tuple[str | int, ...]
_Found = Iterator[tuple[str, _Path, str]]


RECKONED = "{was} is a revision as digests were reckoned before, {now} today; write that with `perflour bake check --renew`"


@dataclass(frozen=True)
class RecordFile:
    """The file of one record and the formula files it speaks of; ``results`` where it is not valid."""

    path: Path
    document: Document | None
    results: tuple[Result, ...]
    bake: Bake | None = None
    session: Session | None = None

    @property
    def formulas(self) -> list[Path]:
        """Formula files whose history the record is held against."""
        if self.bake:
            beside = self.path.parent.parent / FORMULA_FILE
            return [beside] if os.path.isfile(beside) else []
        folder = self.path.parent.parent
        ids = [sample.formula for sample in self.session.samples] if self.session else []
        return [path for name in dict.fromkeys(ids) if (path := formula_of(folder, name))]


def record_files(names: Sequence[str], variants: bool = False) -> list[RecordFile]:
    """The records that names stand for: a formula stands for its test bakes, a folder for all in it.

    With ``variants`` those of the variants of planned trials too, else where these are named. Raises CannotRun for a name that is not there.
    """
    if STDIN in names:
        raise CannotRun("a record belongs to its folder; name files or folders, not -")
    wanted = [_with_bakes(name) for name in names]
    paths = named_paths((name for group in wanted for name in group), variants=variants)
    records = [_read(path) for path in paths if kind_of(path) in ("bake", "session")]
    # a day's first record has the shorter name, and comes before its -b
    return sorted(records, key=lambda record: (record.path.parent, record.path.stem))


def _with_bakes(name: str) -> list[str]:
    bakes = os.path.join(os.path.dirname(os.path.abspath(name)), BAKES)
    is_formula = os.path.basename(name) == FORMULA_FILE and os.path.isdir(bakes)
    return [name, bakes] if is_formula else [name]


def _read(path: str) -> RecordFile:
    kind = kind_of(path)
    document, results = read_valid(path, kind)
    if document is None:
        return RecordFile(Path(path), None, results)
    name = os.path.splitext(os.path.basename(path))[0]
    if kind == "bake":
        return RecordFile(Path(path), document, (), bake=bake_from(document.data, name))
    return RecordFile(Path(path), document, (), session=session_from(document.data, path))


def check_records(names: Sequence[str]) -> tuple[int, list[Result]]:
    """How many records were read, and what is wrong with them, by file and line.

    Raises CannotRun outside a git repository, in a shallow clone, whose history is not whole, and for photos
    without Pillow.
    """
    records = record_files(names, variants=True)
    _need_for_photos(records)
    known = _histories(records)
    before = _as_committed(records)
    found: list[Result] = []
    for record in records:
        results = [*_check(record, known), *_about_change(record, before, known)]
        found += sorted(results, key=lambda r: (r.place.line, r.place.column))
    return len(records), found


def _need_for_photos(records: Sequence[RecordFile]) -> None:
    """Whether a photo tells where it was taken is not left unsaid: without Pillow nothing is checked at all."""
    if any(record.document and record.document.data.get("photos") for record in records):
        need("photos")


def _as_committed(records: Sequence[RecordFile]) -> dict[Path, bytes]:
    """What the newest commit has of the records that differ from it."""
    read_ones = [record.path.resolve() for record in records if record.document]
    if not read_ones:
        return {}
    repository = git.find_repository(read_ones[0])
    if git.commit_or_none(repository, "HEAD") is None:
        return {}
    changes = git.changed_files(repository, "HEAD", None, [repository.relative(path) for path in read_ones])  # fmt: skip
    blobs = {repository.top / c.new_path: c.old_blob for c in changes if c.old_blob}
    contents = read_blobs(repository, blobs.values())
    return {path: contents[blob] for path, blob in blobs.items()}


def _about_change(
    record: RecordFile, before: Mapping[Path, bytes], known: Mapping[Path, Changelog]
) -> Iterator[Result]:
    """That a record says something else than the one that was committed, and not why."""
    committed = before.get(record.path.resolve())
    if committed is None or record.document is None:
        return
    today = {was: now for c in _changelogs_of(record, known) for was, now in c.reckoned_before.items()}  # fmt: skip
    texts = (committed, read(str(record.path)))
    was, now = (data_of(with_digests_of_today(text, today)) for text in texts)
    changed = [one for one in said_otherwise(was, now) if not one.is_more]
    if changed and not reasons_added(was, now):
        yield Result(
            "record-changed",
            "error",
            f"says otherwise than the record that was committed ({in_words(changed)}); a record is "
            "evidence: put it back, or say when, who and why in `amended`",
            record.document.place(),
        )


def renew_records(names: Sequence[str]) -> list[Path]:
    """Writes in records the digests of today for those reckoned before; the files that were written.

    They are replaced wherever a record names them, in notes too; nothing else of a file changes. Raises CannotRun as check_records, and where a file cannot be written.
    """
    records = record_files(names, variants=True)
    known = _histories(records)
    written = []
    for record in records:
        marks = [record.bake.of] if record.bake else []
        marks += [sample.of for sample in record.session.samples] if record.session else []
        of = _changelogs_of(record, known)
        if new := {mark: now for mark in marks for c in of if (now := _reckoned_now(c, mark))}:
            write_over(record.path, with_digests_of_today(read(str(record.path)), new))
            written.append(record.path)
    return written


def places_taken_out(names: Sequence[str]) -> list[str]:
    """Has photos of records tell no place any more; what was done, a line each. Raises CannotRun."""
    records = record_files(names, variants=True)
    _need_for_photos(records)
    return take_out_places(
        [(record.path, record.document) for record in records if record.document]
    )


def _reckoned_now(changelog: Changelog, mark: str) -> str | None:
    """The digest of today of one that is known only by that of before."""
    if place_in_history(changelog, mark) is not None:
        return None
    return changelog.reckoned_before.get(mark)


def _changelogs_of(record: RecordFile, known: Mapping[Path, Changelog]) -> list[Changelog]:
    """The changelogs of the formulas that a record speaks of."""
    paths = (path.resolve() for path in record.formulas)
    return [known[path] for path in paths if path in known]


def _histories(records: Sequence[RecordFile]) -> dict[Path, Changelog]:
    files = list(dict.fromkeys(path for record in records for path in record.formulas))
    if not files:
        return {}
    if git.is_shallow(git.find_repository(files[0])):
        raise CannotRun(
            "this clone holds only a part of the history; get all of it with `git fetch --unshallow`"
        )
    return {c.path.resolve(): c for c in changelogs([str(path) for path in files], reckoned=True)}


def _check(record: RecordFile, known: dict[Path, Changelog]) -> list[Result]:
    document = record.document
    if document is None:
        return list(record.results)
    found = [*_about_date(record)]
    if record.bake:
        found += [*_about_bake(record, record.bake, known), *_about_scores(document)]
    results = [Result(rule, "error", text, document.place(*path)) for rule, path, text in found]
    results += photo_results(record.path, document)
    if record.session:
        faults = session_faults(record.session, document)
        gaps = [] if faults else session_gaps(record.session, document)
        results += [*_about_samples(record, record.session, known), *faults, *gaps]
    return results


def _about_date(record: RecordFile) -> _Found:
    assert record.document is not None
    day = record.document.data["date"]
    if not record.path.stem.startswith(day):
        yield (
            "date-not-in-name",
            ("date",),
            f"the date is {day}, but the file is called {record.path.name}; mend one of them",
        )


def _about_bake(record: RecordFile, bake: Bake, known: dict[Path, Changelog]) -> _Found:
    assert record.document is not None
    beside = record.path.parent.parent / FORMULA_FILE
    changelog = known.get(beside.resolve())
    said = record.document.data["formula"]
    if changelog is None:
        where = display_path(str(beside))
        yield "revision-not-in-history", (), f"there is no {where}; move the record to its formula"
    elif now := _reckoned_now(changelog, bake.of):
        yield "revision-reckoned-before", ("of",), RECKONED.format(was=bake.of, now=now)
    elif place_in_history(changelog, bake.of) is None:
        other = f" of {said}" if said != changelog.id else ""
        yield (
            "revision-not-in-history",
            ("of",),
            f"no revision of {changelog.id} in the history is {bake.of}{other}; commit what was baked, or mend the digest",
        )
    masses = {name: _grams(text) for name, text in bake.measured if name.startswith("mass-")}
    before, after = masses.get("mass-before"), masses.get("mass-after")
    if before and after and after > before:
        yield (
            "mass-gained",
            ("measured", "mass-after"),
            f"{dict(bake.measured)['mass-after']} out of the oven is more than {dict(bake.measured)['mass-before']} into it; check both",
        )


def _grams(text: str) -> float | None:
    """A mass as it was written, None for what is none."""
    try:
        amount = parse_amount(text)
    except AmountProblem:
        return None
    if not isinstance(amount, Amount) or amount.kinds != {"mass"}:
        return None
    return amount.in_base_units


def _about_scores(document: Document) -> _Found:
    rows = document.data.get("scores", ())
    names = list(dict.fromkeys(key for row in rows for key in row))
    seen: set[str] = set()
    for at, row in enumerate(rows):
        taster = row["taster"]
        if taster in seen:
            yield (
                "scores-inconsistent",
                ("scores", at),
                f"taster {taster} stands here twice; keep one",
            )
        seen.add(taster)
        if lacking := [name for name in names if name not in row]:
            yield (
                "scores-incomplete",
                ("scores", at),
                f"taster {taster} has no score for {', '.join(lacking)}, which others have; add it, or spell it alike",
            )


def _about_samples(
    record: RecordFile, session: Session, known: dict[Path, Changelog]
) -> Iterator[Result]:
    assert record.document is not None
    for at, sample in enumerate(session.samples):
        path = formula_of(record.path.parent.parent, sample.formula)
        changelog = known.get(path.resolve()) if path else None
        for rule, key, text in _about_sample(sample.formula, sample.of, sample.bake, changelog):
            yield Result(rule, "error", text, record.document.place("samples", at, key))


def _about_sample(
    formula: str, of: str, bake: str, changelog: Changelog | None
) -> Iterator[tuple[str, str, str]]:
    """The rule, the key and what is wrong."""
    unknown = "revision-not-in-history"
    if changelog is None:
        yield (
            unknown,
            "formula",
            f"there is no formula {formula} beside the {SESSIONS} folder; check the id",
        )
        return
    if now := _reckoned_now(changelog, of):
        yield "revision-reckoned-before", "of", RECKONED.format(was=of, now=now)
    elif place_in_history(changelog, of) is None:
        yield (
            unknown,
            "of",
            f"no revision of {formula} in the history is {of}; commit what was baked, or mend the digest",
        )
    if bake:
        told = [b for i in changelog.iterations for b in i.bakes] + list(changelog.loose_bakes)
        named = [b.of for b in told if b.name == bake]
        if not named:
            yield unknown, "bake", f"{formula} has no test bake {bake}; check the name of its file"
        elif of not in named:
            yield (
                unknown,
                "bake",
                f"test bake {bake} of {formula} is of revision {named[0]}, not of {of}; mend one of them",
            )
