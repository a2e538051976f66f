"""What the scores and choices of tasters show, and what so few of them cannot show.

Test bakes are judged along the iterations of their formula, sessions sample by sample.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from pathlib import Path
from statistics import fmean

from perflour.history.changelog import Changelog, changelogs
from perflour.records.bake import Bake
from perflour.records.session_check import session_faults
from perflour.trials.bake_check import RecordFile, record_files
from perflour.trials.judged import ONE_POINT, FormulaJudgement, Judged, JudgedPair, Judgements
from perflour.trials.means import USUAL_SPREAD, mean_of
from perflour.trials.sensory import group_gap, paired_gap, tasters_for_gap
from perflour.trials.session_judging import judge_session

#: By attribute, then by taster.
Scores = Mapping[str, Mapping[str, float]]


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
    return JudgedPair(attribute, before, after, gap, here, wanted)
