"""Formulas, their history, test bakes and tastings to one row for each thing that was baked and judged."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file, weigh_or_tell
from perflour.compare.collect import Compared
from perflour.compare.table import labels
from perflour.evidence.figures import figures, settings
from perflour.evidence.measured import readings
from perflour.evidence.rows import Evidence, Given, Lost, Near, Revision, Sample
from perflour.evidence.twins import twins
from perflour.formula.digests import digest, earlier_digest
from perflour.history.changelog import AskedFormula, asked
from perflour.history.iterations import Facts, Known, Moved, Reader, Trail
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.records.bake import Bake, bakes_in
from perflour.records.tasting import Session, sessions_of
from perflour.result import FileProblem, Result
from perflour.system.blobs import read_blobs
from perflour.system.files import read_bytes
from perflour.system.named import no_formula_in
from perflour.system.parallel import spread_out
from perflour.system.paths import display_path

#: So many formulas with a history are worth a second core.
ENOUGH_FORMULAS = 8
#: Of more formulas nobody reads which revisions of each are one thing apart.
MOST_NEAR = 20
#: What is ranked where a session names no attribute.
LIKED = "liking"
#: What tasters pick of two for what it is; in the others they pick it for being alike.
PICKED = ("preference", "difference")


class _Weigher(Reader):
    """A reader that weighs and numbers revisions, keeps what was baked, and compares nothing."""

    def __init__(
        self, contents: Mapping[str, bytes], kitchen: Kitchen, wanted: frozenset[str]
    ) -> None:
        super().__init__(contents.__getitem__, kitchen, Facts())
        self.wanted = wanted
        self.kept: dict[str, Balance] = {}
        self.earlier: dict[str, str] = {}

    def _known(self, blob: str, path: str) -> Known:
        try:
            weighed = weigh_file(self.blobs(blob), path, self.kitchen)
        except FileProblem as problem:
            return Known(unreadable=str(problem))
        mark, before = digest(weighed.formula), earlier_digest(weighed.formula)
        self.earlier[before] = mark
        if not self.wanted.isdisjoint((mark, before)):
            self.kept[mark] = weighed
        return Known(mark, weighed.formula.id, weighed.formula.title, earlier_digest=before)

    def moved(self, old: str, new: str) -> Moved:
        return (), ()


class OfFormula(NamedTuple):
    """The rows of one formula, what its file is now, and what cannot be told."""

    samples: tuple[Sample, ...]
    now: Revision | None
    lost: tuple[Lost, ...]
    results: tuple[Result, ...]
    near: tuple[Near, ...] = ()


def gather(names: Sequence[str], jobs: int = 0, near: bool = False) -> Evidence:
    """What was baked and judged of the formulas that files and folders hold.

    ``near`` asks also which revisions of a formula differ in one thing only. Raises CannotRun outside a git repository, for a path that is not there, and where no formula is.
    """
    found = asked(names, committed=False)
    if not found.formulas:
        raise no_formula_in(names)
    blobs = [blob for formula in found.formulas for blob in formula.blobs]
    contents = read_blobs(found.repository, blobs)

    def work(formula: AskedFormula) -> OfFormula:
        return of_formula(formula, contents, near and len(found.formulas) <= MOST_NEAR)

    each = spread_out(work, found.formulas, jobs, ENOUGH_FORMULAS)
    return Evidence(
        tuple(sample for one in each for sample in one.samples),
        tuple(one.now for one in each if one.now and not one.samples),
        tuple(lost for one in each for lost in one.lost),
        tuple(dict.fromkeys(result for one in each for result in one.results)),
        frozenset(str(formula.file) for formula in found.formulas),
        tuple(pair for one in each for pair in one.near),
    )


def of_formula(
    formula: AskedFormula, contents: Mapping[str, bytes], near: bool = False
) -> OfFormula:
    """The rows of one formula, by date and record; ``contents`` holds the blobs of its history."""
    name, here = formula.file.parent.name, read_bytes(str(formula.file))
    blob = formula.blob_name(here)
    kitchen = kitchen_for(str(formula.file))
    bakes, problems = bakes_in(str(formula.file.parent))
    sessions = sessions_of(name, (path for path, _ in formula.sessions))
    marks = {bake.of for bake in bakes} | {s.of for session in sessions for s in session.samples}
    weigher = _Weigher({**contents, blob: here}, kitchen, frozenset(marks))
    trail = Trail(weigher)
    lineage = formula.lineage
    end = trail.walk(lineage.snapshots)[lineage.head] if lineage else None
    trail.step(None, blob, formula.path, [end] if end else [])
    numbers = {i.digest: i.number for i in reversed(trail.iterations)}
    shown = display_path(str(formula.file))
    now = weigh_or_tell(here, shown, kitchen)
    revisions = {
        mark: _revision(name, weighed, mark, numbers[mark])
        for mark, weighed in weigher.kept.items()
    }
    by_name = {old: revisions[mark] for old, mark in weigher.earlier.items() if mark in revisions}
    by_name |= revisions
    rows = [*_of_bakes(bakes, by_name), *_of_sessions(name, sessions, by_name)]
    lost = [Lost(name, bake.name, bake.of) for bake in bakes if bake.of not in by_name]
    lost += [
        Lost(name, session.name, sample.of)
        for session in sessions
        for sample in session.samples
        if sample.formula == name and sample.of not in by_name
    ]
    current, wrong = None, problems
    if isinstance(now, Balance):
        mark = digest(now.formula)
        current = _revision(name, now, mark, numbers[mark])
    else:
        wrong = (*problems, *now)
    rows.sort(key=lambda row: (row.date, row.source, row.record))
    close = tuple(_near(revisions, weigher.kept, kitchen)) if near else ()
    return OfFormula(tuple(rows), current, tuple(lost), (*kitchen.results, *wrong), close)


def _near(
    revisions: Mapping[str, Revision], balances: Mapping[str, Balance], kitchen: Kitchen
) -> Iterator[Near]:
    """Pairs of revisions that were baked and are the same, or one thing apart."""
    by_path = {f"{revision.iteration:06}": revision for revision in revisions.values()}
    compared = [
        Compared(path, path, balances[revision.digest]) for path, revision in by_path.items()
    ]
    if len(compared) < 2:
        return
    found = twins(compared, kitchen.house)
    by_label = dict(zip(labels(compared), by_path.values(), strict=True))
    for group in found.groups:
        yield from (Near(by_label[one], by_label[other], None) for one, other in pairwise(sorted(group.labels)))  # fmt: skip
    for pair in found.one_thing:
        yield Near(by_label[pair.first], by_label[pair.second], pair.thing)


def _revision(name: str, weighed: Balance, mark: str, number: int) -> Revision:
    formula = weighed.formula
    return Revision(
        formula=name,
        title=formula.title,
        product_class=formula.product_class,
        digest=mark,
        iteration=number,
        figures=figures(weighed),
        settings=settings(weighed),
    )


def _of_bakes(bakes: Sequence[Bake], revisions: Mapping[str, Revision]) -> Iterator[Sample]:
    for bake in bakes:
        if bake.of not in revisions:
            continue
        measured, unread = readings(bake.measured)
        given = (
            Given(row.taster, name, value) for row in bake.by_taster for name, value in row.scores
        )
        yield Sample(
            revision=revisions[bake.of],
            source="bake",
            record=bake.name,
            date=bake.date,
            baker=bake.baker,
            oven=bake.oven,
            bake=bake.name,
            verdict=bake.verdict,
            notes=bake.notes,
            measured=measured,
            unread=unread,
            given=tuple(given),
        )


def _of_sessions(
    name: str, sessions: Sequence[Session], revisions: Mapping[str, Revision]
) -> Iterator[Sample]:
    """The samples of one formula in tastings that were held; of a choice how many chose it."""
    for session in sessions:
        for sample in session.samples:
            if sample.formula != name or sample.of not in revisions or not session.is_tasted:
                continue
            said = session.attributes[0] if session.attributes else LIKED
            chosen = sum(choice.code in sample.codes for choice in session.choices)
            yield Sample(
                revision=revisions[sample.of],
                source="tasting",
                record=session.name,
                date=session.date,
                code=sample.codes[0],
                bake=sample.bake,
                notes=session.notes,
                given=tuple(
                    Given(row.taster, attribute, value)
                    for row in session.scores
                    if row.code in sample.codes
                    for attribute, value in row.scores
                ),
                ranks=tuple(
                    Given(row.taster, said, row.rank)
                    for row in session.ranks
                    if row.code in sample.codes
                ),
                chosen=(chosen, len(session.choices)) if session.ask in PICKED else None,
            )
