"""What a planned trial showed: its record, with what was baked and scored of its variants, to effects and what comes next.

Scores of blind tastings come before those that bakers gave with open eyes: an attribute that was tasted blind is
judged by these alone. A score or reading counts only for the exact variant that was planned; what was baked of another revision
of it is named and left out.
"""

from __future__ import annotations

import os
from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

import numpy as np
from scipy import stats

from perflour.designs.design import Design, Factor, Run
from perflour.designs.effects import Fit, Point, blocks_of, fit
from perflour.designs.goals import Best, Goal, best_point
from perflour.designs.layout import terms
from perflour.designs.next_point import Proposal, Step, propose, uphill
from perflour.designs.plan import BLEND
from perflour.designs.tasters import Score, TasterFit, fit_tasters
from perflour.designs.trial_file import read_trial
from perflour.evidence.gather import gather
from perflour.evidence.matter import CONDITIONS
from perflour.evidence.rows import Sample
from perflour.records.trial import Goal as WantedGoal
from perflour.records.trial import Trial
from perflour.result import CannotRun, Result
from perflour.system.paths import TRIAL_FILE
from perflour.trials.means import ALPHA

#: The hedonic scale, and where liking begins: below that a score will not do where no goal says otherwise (house choice).
LEAST_SCORE, NEITHER, MOST_SCORE = 1.0, 5.0, 9.0
#: With fewer bakes left over one bake and what it should be can hardly be told apart: house choice.
ENOUGH_LEFT = 5
#: Coded levels this near to low, middle or high are meant as these.
ROUNDED = 0.1


@dataclass(frozen=True)
class Outcome:
    """What was found of one score or reading.

    ``blind``: judged by blind tastings. ``single`` is there of scores, where tasters are told apart; ``fit`` is of
    the bakes' means or readings. ``bakes`` so many bakes have it; ``cannot`` says why nothing can be fitted.
    """

    name: str
    blind: bool
    bakes: int
    tasters: int
    fit: Fit | None
    single: TasterFit | None
    cannot: str = ""

    @property
    def is_score(self) -> bool:
        """Whether tasters gave it."""
        return self.tasters > 0

    @property
    def far_out(self) -> tuple[Point, ...]:
        """Bakes that are further from what the others say than the furthest of so many by chance, at 1 in 20.

        Studentised by the spread of all others; the limit is Student's, all bakes counted (Bonferroni).
        """
        if self.fit is None or self.fit.freedom < ENOUGH_LEFT:
            return ()
        told = [point for point in self.fit.points if point.studentised is not None]
        limit = float(stats.t.ppf(1 - ALPHA / 2 / max(len(told), 1), self.fit.freedom - 1))
        return tuple(p for p in told if p.studentised is not None and abs(p.studentised) > limit)


@dataclass(frozen=True)
class Showed:
    """A trial and what came of it.

    ``missing`` are letters of bakes without any score or reading; ``elsewhere`` records of other revisions of the
    variants. ``best`` is the best point of the fitted models for all goals that can be judged, ``proposal`` the bake that
    promises most for the first of them, ``way`` uphill from the middle; None and empty where these cannot be told,
    ``unsaid`` says why.
    """

    trial: Trial
    path: str
    design: Design
    missing: tuple[str, ...]
    elsewhere: tuple[str, ...]
    outcomes: tuple[Outcome, ...]
    goals: Mapping[str, Goal]
    best: Best | None
    proposal: Proposal | None
    proposal_for: str
    way: tuple[Step, ...]
    unsaid: tuple[str, ...]
    results: tuple[Result, ...]

    def actual(self, levels: Sequence[float]) -> tuple[float, ...]:
        """Levels of the design in the factors' units; shares of a blend in percent of the flour."""
        whole = whole_of(self.trial) if self.design.model == BLEND else 1.0
        return tuple(level * whole for level in self.design.actual(levels))


def trial_path(name: str) -> str:
    """The record that a trial's folder or file names. Raises CannotRun."""
    path = os.path.abspath(name)
    path = os.path.join(path, TRIAL_FILE) if os.path.isdir(path) else path
    if not os.path.isfile(path):
        raise CannotRun(f"{name}: no trial there; name its folder, `perflour trial list` has them")
    return path


def what_it_showed(name: str, model: str = "", seed: int = 1) -> Showed:
    """What the trial in a folder showed so far.

    ``model`` fits another than it was planned for. Raises CannotRun where the record cannot be read, or nothing
    was scored yet.
    """
    path = trial_path(name)
    read = read_trial(path)
    trial = read.trial
    if trial is None:
        first = read.results[0]
        raise CannotRun(f"{first.place}: {first.message}")
    evidence = gather([os.path.dirname(path)])
    design = design_of(trial, model)
    samples, elsewhere = _of_bakes(trial, evidence.samples)
    outcomes = tuple(_outcomes(trial, design, samples))
    if not outcomes:
        raise CannotRun(
            f"{trial.id}: nothing is scored or measured yet; record test bakes or a tasting of its variants first"
        )
    goals = {
        goal.attribute: _goal(goal, outcome.fit, outcome.is_score)
        for goal in trial.goals
        for outcome in outcomes
        if outcome.name == goal.attribute and outcome.fit
    }
    ahead = _ahead(trial, design, outcomes, goals, seed)
    missing = tuple(bake.letter for bake in trial.bakes if not samples.get(bake.letter))
    return Showed(
        trial, path, design, missing, elsewhere, outcomes, goals, *ahead, (*read.results, *evidence.results)
    )  # fmt: skip


def design_of(trial: Trial, model: str = "") -> Design:
    """The design as it was recorded, by the levels that the variants really have."""
    blend = (model or trial.design.model) == BLEND
    whole = whole_of(trial) if blend else 1.0
    factors = tuple(Factor(f.name, f.low / whole, f.high / whole) for f in trial.factors)
    runs: list[Run] = []
    seen: dict[tuple[float, ...], int] = defaultdict(int)
    for number, bake in enumerate(trial.bakes, 1):
        shares = [bake.levels[f.name] / sum(bake.levels.values()) for f in factors]
        coded = [f.coded(bake.levels[f.name]) for f in factors]
        levels = tuple(shares if blend else coded)
        key = tuple(round(level, 2) for level in levels)
        seen[key] += 1
        runs.append(Run(number, levels, bake.day, bake.oven, bake.place, bake.is_centre, seen[key]))
    drawn = Design(
        kind=trial.design.kind,
        factors=factors,
        model=model or trial.design.model,
        runs=tuple(runs),
        seed=trial.design.seed,
        aliases=(),
        d_efficiency=None,
        lost=(),
    )
    # rounding to the scale moves a level a little, which makes no two effects one
    meant = drawn.points() if blend else np.where(abs(drawn.points() - drawn.points().round()) < ROUNDED, drawn.points().round(), drawn.points())  # fmt: skip
    about = (meant, drawn.names, drawn.model, drawn.block_columns())
    return Design(
        drawn.kind,
        factors,
        drawn.model,
        drawn.runs,
        drawn.seed,
        terms.confounded(*about),
        terms.d_efficiency(*about),
        terms.lost_to_blocks(*about),
    )


def blends_differ(design: Design, fitted: Fit) -> float | None:
    """p that blends differ at all, by F of the model against days and ovens alone; None where no bake is left over."""
    if fitted.freedom < 1 or not fitted.spread:
        return None
    runs = {run.number: run for run in design.runs}
    blocks = blocks_of([runs[point.run] for point in fitted.points])
    alone = np.hstack([np.ones((len(fitted.points), 1)), blocks])
    scored = np.array([point.scored for point in fitted.points])
    rest = scored - alone @ np.linalg.lstsq(alone, scored, rcond=None)[0]
    left = sum(point.residual**2 for point in fitted.points)
    more = len(fitted.terms) - 1
    f = max(0.0, float(rest @ rest) - left) / more / (left / fitted.freedom)
    return float(stats.f.sf(f, more, fitted.freedom))


def whole_of(trial: Trial) -> float:
    """What the ingredients of a blend are together, in percent of the flour."""
    return fmean(sum(bake.levels.values()) for bake in trial.bakes)


def _of_bakes(
    trial: Trial, samples: Sequence[Sample]
) -> tuple[dict[str, list[Sample]], tuple[str, ...]]:
    """By letter the samples of exactly that variant; and the records of others of its revisions."""
    letters = {(bake.formula, bake.of): bake.letter for bake in trial.bakes}
    variants = {bake.formula for bake in trial.bakes}
    found: dict[str, list[Sample]] = defaultdict(list)
    elsewhere = []
    for sample in samples:
        letter = letters.get((sample.revision.formula, sample.revision.digest))
        if letter:
            found[letter].append(sample)
        elif sample.revision.formula in variants:
            elsewhere.append(f"{sample.revision.formula}, {sample.record}")
    return found, tuple(dict.fromkeys(elsewhere))


def _outcomes(
    trial: Trial, design: Design, samples: Mapping[str, Sequence[Sample]]
) -> list[Outcome]:
    """Scores, those of goals first, then readings."""
    numbers = {bake.letter: number for number, bake in enumerate(trial.bakes, 1)}
    blind: dict[str, list[Score]] = defaultdict(list)
    seen: dict[str, list[Score]] = defaultdict(list)
    readings: dict[str, dict[int, list[float]]] = defaultdict(lambda: defaultdict(list))
    for letter, own in samples.items():
        for sample in own:
            for given in sample.given:
                # a taster may be stricter on another day
                taster = f"{given.taster}, {sample.sitting}"
                to = blind if sample.source == "tasting" else seen
                to[given.attribute].append(Score(numbers[letter], taster, given.value))
            for read in sample.measured:
                if read.value is not None and read.name not in CONDITIONS:
                    readings[read.name][numbers[letter]].append(read.value)
    wanted = [goal.attribute for goal in trial.goals]
    names = sorted({*blind, *seen}, key=lambda n: (wanted.index(n) if n in wanted else len(wanted), n))  # fmt: skip
    found = [_scored(design, name, blind.get(name) or seen[name], name in blind) for name in names]
    for name in sorted(readings, key=lambda n: (n not in wanted, n)):
        means = {number: fmean(values) for number, values in readings[name].items()}
        found.append(_read(design, name, means))
    return found


def _scored(design: Design, name: str, scores: Sequence[Score], blind: bool) -> Outcome:
    bakes = len({score.run for score in scores})
    tasters = len({score.taster.rpartition(", ")[0] for score in scores})
    try:
        single = fit_tasters(design, scores)
    except CannotRun as problem:
        return Outcome(name, blind, bakes, tasters, None, None, str(problem))
    return Outcome(name, blind, bakes, tasters, single.by_means, single)


def _read(design: Design, name: str, means: Mapping[int, float]) -> Outcome:
    try:
        return Outcome(name, False, len(means), 0, fit(design, means), None)
    except CannotRun as problem:
        return Outcome(name, False, len(means), 0, None, None, str(problem))


def _goal(wanted: WantedGoal, fitted: Fit, is_score: bool) -> Goal:
    """What is wanted in figures: without limits a score must be liked, a reading lie within what was measured."""
    values = [point.scored for point in fitted.points]
    low, high = (NEITHER, MOST_SCORE) if is_score else (min(values), max(values))
    if wanted.aim == "least" and is_score:
        low, high = LEAST_SCORE, NEITHER
    low = wanted.low if wanted.low is not None else low
    high = wanted.high if wanted.high is not None else high
    if wanted.aim == "target" and wanted.at is not None:
        reach = max(abs(value - wanted.at) for value in values) or 1.0
        low = wanted.low if wanted.low is not None else wanted.at - reach
        high = wanted.high if wanted.high is not None else wanted.at + reach
    if low >= high:
        low, high = low - 0.5, high + 0.5
    kind = wanted.aim
    assert kind in ("most", "least", "target", "within")
    return Goal(kind, low, high, wanted.at, weight=wanted.weight)  # type: ignore[arg-type]


def _ahead(
    trial: Trial,
    design: Design,
    outcomes: Sequence[Outcome],
    goals: Mapping[str, Goal],
    seed: int,
) -> tuple[Best | None, Proposal | None, str, tuple[Step, ...], tuple[str, ...]]:
    """The best point, the next bake, the way uphill, and why one of them cannot be told."""
    unsaid = [
        f"the goal for {goal.attribute} is left out: it was not scored or measured in enough bakes"
        for goal in trial.goals
        if goal.attribute not in goals
    ]
    if not goals:
        if not trial.goals:
            unsaid.append("no goal is recorded, so no bake is better than another")
        return None, None, "", (), tuple(unsaid)
    fits = {one.name: one.fit for one in outcomes if one.name in goals and one.fit}
    best = proposal = None
    try:
        best = best_point(design, fits, goals, seed)
    except CannotRun as problem:
        unsaid.append(str(problem))
    first = next(iter(goals))
    aim = goals[first].kind
    scores = {point.run: point.scored for point in fits[first].points}
    try:
        if aim == "within":
            middle = (goals[first].low + goals[first].high) / 2
            proposal = propose(design, scores, "target", middle, seed)
        else:
            proposal = propose(design, scores, aim, goals[first].target, seed)
    except CannotRun as problem:
        unsaid.append(str(problem))
    way: tuple[Step, ...] = ()
    if aim in ("most", "least") and design.model in ("main", "pairs"):
        way = uphill(fits[first], aim)
    return best, proposal, first, way, tuple(unsaid)
