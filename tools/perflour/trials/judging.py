"""What the scores and choices of tasters show, and what so few of them cannot show.

Test bakes are judged along the iterations of their formula, sessions sample by sample.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from pathlib import Path
from statistics import fmean

from perflour.history.changelog import Changelog, changelogs
from perflour.records.bake import Bake
from perflour.records.session_check import session_faults
from perflour.records.tasting import Sample, Session
from perflour.result import Result
from perflour.trials.bake_check import RecordFile, record_files
from perflour.trials.sensory import (
    USUAL_SPREAD,
    Choices,
    Gap,
    Mean,
    group_gap,
    holm,
    judge_choices,
    mean_of,
    paired_gap,
    tasters_for_gap,
)

#: The difference that is looked for, in points of the 9-point scale.
ONE_POINT = 1.0
#: A preference or difference worth finding: three in four choose the same sample. In a triangle half
#: of the tasters can tell, and a third of the others guess right. Common practice, no source.
TRUE_PAIR, TRUE_TRIANGLE = 3 / 4, 1 / 2 + 1 / 2 * 1 / 3

#: By attribute, then by taster.
Scores = Mapping[str, Mapping[str, float]]


@dataclass(frozen=True)
class Judged:
    """One thing that was tasted, and the mean of every attribute.

    ``key`` names it among the others: the number of the iteration, or the first blind code.
    """

    key: str
    label: str
    of: str
    bakes: tuple[str, ...]
    means: tuple[tuple[str, Mean], ...]


@dataclass(frozen=True)
class JudgedPair:
    """Two of them, by their keys, in one attribute: the second against the first.

    ``p`` is that of ``gap``, raised by Holm's method where several pairs are compared at once.
    ``tasters_here`` would show one point with the spread seen here, ``tasters_usual`` with the usual
    one; in each group where the tasters were not the same.
    """

    attribute: str
    first: str
    second: str
    gap: Gap
    p: float | None
    tasters_here: int | None
    tasters_usual: int | None


@dataclass(frozen=True)
class FormulaJudgement:
    """The test bakes of one formula by revision, oldest first, each against the one before."""

    formula: str
    title: str
    judged: tuple[Judged, ...]
    compared: tuple[JudgedPair, ...]


@dataclass(frozen=True)
class Tally:
    """The choices of a session: how many chose each sample, or were right, and what it shows."""

    by_sample: tuple[tuple[Sample, int], ...]
    choices: Choices


@dataclass(frozen=True)
class SessionJudgement:
    """One session; ``tally`` is None for scores and where nobody has chosen yet."""

    session: Session
    path: Path
    judged: tuple[Judged, ...] = ()
    compared: tuple[JudgedPair, ...] = ()
    tally: Tally | None = None


@dataclass(frozen=True)
class Judgements:
    """All that was asked for; ``results`` are the records that cannot be judged."""

    formulas: tuple[FormulaJudgement, ...]
    sessions: tuple[SessionJudgement, ...]
    results: tuple[Result, ...]


def judge(names: Sequence[str]) -> Judgements:
    """Judge the test bakes and sessions that names stand for. Raises CannotRun."""
    records = record_files(names)
    results = [result for record in records for result in record.results]
    sessions = []
    for record in records:
        if record.session and record.document:
            faults = session_faults(record.session, record.document)
            results += faults
            if not faults:
                sessions.append(judge_session(record.session, record.path))
    return Judgements(tuple(_formulas(records)), tuple(sessions), tuple(results))


def _formulas(records: Sequence[RecordFile]) -> Iterator[FormulaJudgement]:
    """The formulas whose test bakes are among the records."""
    wanted: dict[Path, set[str]] = {}
    for record in records:
        if record.bake:
            for path in record.formulas:
                wanted.setdefault(path, set()).add(record.bake.name)
    if not wanted:
        return
    named = {path.resolve(): names for path, names in wanted.items()}
    for changelog in changelogs([str(path) for path in wanted]):
        yield judge_bakes(changelog, named[changelog.path.resolve()])


def judge_bakes(changelog: Changelog, names: set[str]) -> FormulaJudgement:
    """The named test bakes of a formula, by revision in the order of the iterations."""
    by_revision: dict[str, tuple[int, list[Bake]]] = {}
    for iteration in changelog.iterations:
        bakes = [bake for bake in iteration.bakes if bake.name in names and bake.by_taster]
        if bakes:
            by_revision.setdefault(iteration.digest, (iteration.number, bakes))
    judged: list[Judged] = []
    tables: list[Scores] = []
    for of, (number, bakes) in by_revision.items():
        table = _by_attribute(bakes)
        means = tuple((name, mean_of(list(scores.values()))) for name, scores in table.items())
        judged.append(
            Judged(f"{number}", f"iteration {number}", of, tuple(b.name for b in bakes), means)
        )
        tables.append(table)
    compared = [
        _compared(name, before.key, after.key, first[name], second[name])
        for (before, first), (after, second) in pairwise(zip(judged, tables, strict=True))
        for name in first
        if name in second
    ]
    return FormulaJudgement(changelog.id, changelog.title, tuple(judged), tuple(compared))


def _by_attribute(bakes: Sequence[Bake]) -> dict[str, dict[str, float]]:
    """Each taster's score by attribute: their mean where they scored several bakes of a revision."""
    found: dict[str, dict[str, list[float]]] = {}
    for bake in bakes:
        for row in bake.by_taster:
            for name, value in row.scores:
                found.setdefault(name, {}).setdefault(row.taster, []).append(value)
    return {
        name: {taster: fmean(values) for taster, values in scores.items()}
        for name, scores in found.items()
    }


def _compared(
    attribute: str,
    before: str,
    after: str,
    first: Mapping[str, float],
    second: Mapping[str, float],
) -> JudgedPair:
    """Taster by taster where at least two scored both and none only one, else as two groups."""
    paired = set(first) == set(second) and len(first) > 1
    if paired:
        gap = paired_gap(list(first.values()), [second[taster] for taster in first])
    else:
        gap = group_gap(list(first.values()), list(second.values()))
    # two scores of one taster are taken as unrelated, which asks for too many tasters, never too few
    usual = USUAL_SPREAD * (2**0.5 if paired else 1)
    here = tasters_for_gap(ONE_POINT, gap.spread, paired) if gap.spread else None
    wanted = tasters_for_gap(ONE_POINT, usual, paired)
    return JudgedPair(attribute, before, after, gap, gap.p, here, wanted)


def judge_session(session: Session, path: Path) -> SessionJudgement:
    """What the tasters of a session said; they need not all have."""
    if session.ask == "scores":
        return _judge_scores(session, path)
    tally = _tally(session) if session.choices else None
    return SessionJudgement(session, path, tally=tally)


def _judge_scores(session: Session, path: Path) -> SessionJudgement:
    keys = [sample.codes[0] for sample in session.samples]
    tables = [_scores_of(session, sample) for sample in session.samples]
    judged = [
        Judged(
            sample.codes[0],
            sample_label(sample),
            sample.of,
            (sample.bake,) if sample.bake else (),
            _means(table),
        )
        for sample, table in zip(session.samples, tables, strict=True)
    ]
    compared = []
    for name in session.attributes:
        pairs = [
            _compared(name, keys[a], keys[b], *_same_tasters(tables[a][name], tables[b][name]))
            for a, b in combinations(range(len(keys)), 2)
            if set(tables[a].get(name, ())) & set(tables[b].get(name, ()))
        ]
        compared += _raised(pairs)
    return SessionJudgement(session, path, tuple(judged), tuple(compared))


def _means(table: Scores) -> tuple[tuple[str, Mean], ...]:
    return tuple((name, mean_of(list(scores.values()))) for name, scores in table.items())


def _scores_of(session: Session, sample: Sample) -> dict[str, dict[str, float]]:
    """One sample's scores by attribute and taster, attributes in the order of the session."""
    rows = [row for row in session.scores if row.code in sample.codes]
    found: dict[str, dict[str, float]] = {}
    for name in session.attributes:
        scores = {row.taster: dict(row.scores)[name] for row in rows if name in dict(row.scores)}
        if scores:
            found[name] = scores
    return found


def _same_tasters(
    first: Mapping[str, float], second: Mapping[str, float]
) -> tuple[dict[str, float], dict[str, float]]:
    """Only those who scored both: in one session a comparison is always taster by taster."""
    both = [taster for taster in first if taster in second]
    return {t: first[t] for t in both}, {t: second[t] for t in both}


def _raised(pairs: list[JudgedPair]) -> list[JudgedPair]:
    """The same with p raised for as many pairs as have one."""
    told = [at for at, pair in enumerate(pairs) if pair.p is not None]
    raised = holm([p for pair in pairs if (p := pair.p) is not None])
    by_place = dict(zip(told, raised, strict=True))
    return [replace(pair, p=by_place.get(at)) for at, pair in enumerate(pairs)]


def _tally(session: Session) -> Tally:
    samples = session.sample_by_code
    chosen = [samples[choice.code] for choice in session.choices]
    by_sample = tuple((sample, chosen.count(sample)) for sample in session.samples)
    if session.ask == "triangle":
        right = sum(_is_odd(session, choice.taster, choice.code) for choice in session.choices)
        found = judge_choices(right, len(chosen), 1 / 3, TRUE_TRIANGLE, two_sided=False)
    elif session.expect:
        count = chosen.count(samples[session.expect])
        found = judge_choices(count, len(chosen), 1 / 2, TRUE_PAIR, two_sided=False)
    else:
        most = max(count for _, count in by_sample)
        found = judge_choices(most, len(chosen), 1 / 2, TRUE_PAIR, two_sided=True)
    return Tally(by_sample, found)


def _is_odd(session: Session, taster: str, code: str) -> bool:
    """Whether a code is the one of the three served that stands for a sample of its own."""
    samples = session.sample_by_code
    served = next(row.codes for row in session.order if row.taster == taster)
    return [samples[c] for c in served].count(samples[code]) == 1


def sample_label(sample: Sample) -> str:
    """A sample by its codes, formula and revision."""
    return f"{'/'.join(sample.codes)} {sample.formula} {sample.of}"
