"""What a trial showed, from single scores: tasters and bakes as random, effects as fixed.

Numbers in, numbers out. Tasters use the scale differently, and not all taste every bake; a mixed model takes both
into account and tells how much tasters, bakes and single scores vary. Loads statsmodels.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from perflour.designs.design import Design
from perflour.designs.effects import Effect, Fit, blocks_of, fit, holm, size_of
from perflour.designs.layout.terms import columns, model_terms, rank, without
from perflour.evidence.mixed import Mixed, mixed
from perflour.result import CannotRun
from perflour.trials.means import ALPHA

MIXED, MEANS = "mixed model", "bake means"
#: Below this share of the variance of single scores a variance counts as 0.
AT_ZERO = 1e-3


@dataclass(frozen=True)
class Score:
    """What one taster gave one bake, by the number of its run."""

    run: int
    taster: str
    score: float


@dataclass(frozen=True)
class TasterFit:
    """Effects from single scores. ``method`` is ``mixed model`` or ``bake means``, ``why`` the reason for the latter.

    By ``bake means`` tasters are taken out of the scores by least squares first, then the bakes are fitted:
    ``by_means``, always given, is that fit. Spreads are standard deviations in points, None where not to be told:
    between tasters, between bakes of the same levels, and of single scores. ``freedom`` is that of bakes left over,
    by which intervals and p are told in either way: scores of one bake are no bakes.
    """

    method: str
    why: str
    effects: tuple[Effect, ...]
    taster_spread: float | None
    bake_spread: float | None
    score_spread: float | None
    freedom: int
    means: dict[int, float]
    by_means: Fit


def fit_tasters(design: Design, scores: Sequence[Score], model: str = "") -> TasterFit:
    """Fit the design's model, or another, to single scores; missing ones may be any.

    Raises CannotRun where bakes with scores cannot tell the model, and for scores of runs that are not in it.
    """
    model = model or design.model
    _check(design, scores)
    means, taster_variance, left = bake_means(scores)
    by_means = fit(design, means, model)
    found, why = None, _no_mixed(scores, by_means.freedom)
    if not why:
        found = _mixed(design, scores, model)
        if found is None or not found.sound:
            why = "the mixed model did not converge"
        elif found.left <= 0 or found.variances["bake"] <= AT_ZERO * found.left:
            why = "bakes vary no more than single scores explain"
    if why or found is None:
        bake = None
        if by_means.method == "t" and by_means.spread and left is not None:
            each = len(scores) / len(means)
            bake = max(0.0, by_means.spread**2 - left / each) ** 0.5
        return TasterFit(MEANS, why, by_means.effects, _root(taster_variance), bake, _root(left), by_means.freedom, means, by_means)  # fmt: skip
    return TasterFit(
        method=MIXED,
        why="",
        effects=_effects(design, model, found, by_means.freedom),
        taster_spread=_root(found.variances["taster"]),
        bake_spread=_root(found.variances["bake"]),
        score_spread=_root(found.left),
        freedom=by_means.freedom,
        means=means,
        by_means=by_means,
    )


def _no_mixed(scores: Sequence[Score], freedom: int) -> str:
    """Why a mixed model cannot be asked for; empty where it can."""
    if not freedom:
        return "no bake is left over to tell how bakes vary"
    if len({s.taster for s in scores}) < 2:
        return "a single taster does not tell how tasters vary"
    if len({s.score for s in scores}) < 2:
        return "all scores are the same"
    return ""


def bake_means(scores: Sequence[Score]) -> tuple[dict[int, float], float | None, float | None]:
    """Each bake's score as if all tasters had tasted it, and variances between tasters and of what is left.

    By least squares of bakes and tasters. Tasters who share no bake with others are compared among themselves alone,
    so that nothing is taken for a taster's that may be the bake's. The variances are None where there is too little
    to tell them.
    """
    runs, tasters = sorted({s.run for s in scores}), sorted({s.taster for s in scores})
    given = np.array([[s.score] for s in scores])
    bakes = np.array([[float(s.run == r) for r in runs] for s in scores])
    people = np.array([[float(s.taster == t) for t in tasters] for s in scores])
    # the smallest solution: levels sum to 0 among all that are compared
    levels = np.linalg.lstsq(without(bakes, people), without(bakes, given), rcond=None)[0][:, 0]
    leveled = given[:, 0] - people @ levels
    found = bakes.T @ leveled / bakes.sum(axis=0)
    rest = leveled - bakes @ found
    freedom = len(given) - rank(np.hstack([bakes, people]))
    means = {run: float(mean) for run, mean in zip(runs, found, strict=True)}
    left = float(rest @ rest / freedom) if freedom > 0 else None
    if left is None or len(tasters) < 2:
        return means, None, left
    counts: dict[str, int] = defaultdict(int)
    for s in scores:
        counts[s.taster] += 1
    own = left * float(np.mean([1 / n for n in counts.values()]))
    return means, max(0.0, float(levels @ levels) / (len(tasters) - 1) - own), left


def _mixed(design: Design, scores: Sequence[Score], model: str) -> Mixed | None:
    by_number = {run.number: run for run in design.runs}
    baked = [by_number[number] for number in sorted({s.run for s in scores})]
    blocks = dict(zip([run.number for run in baked], blocks_of(baked), strict=True))
    points = np.array([by_number[s.run].levels for s in scores])
    terms = columns(points, design.names, model_terms(design.names, model))
    fixed = np.hstack([terms, np.array([blocks[s.run] for s in scores])])
    groups: dict[str, Sequence[object]] = {
        "taster": [s.taster for s in scores],
        "bake": [s.run for s in scores],
    }
    return mixed([s.score for s in scores], fixed, groups)


def _effects(design: Design, model: str, found: Mixed, freedom: int) -> tuple[Effect, ...]:
    terms = model_terms(design.names, model)
    reach = float(stats.t.ppf(1 - ALPHA / 2, freedom))
    made: list[tuple[int, float, float]] = []
    for at, term in enumerate(terms):
        size = size_of(term, model)
        if term:
            made.append((at, size * found.coefficients[at], size * found.covariance[at][at] ** 0.5))
    each = [float(2 * stats.t.sf(abs(value) / error, freedom)) for _, value, error in made]
    judged = [k for k, (at, _, _) in enumerate(made) if model != "blend" or len(terms[at]) > 1]
    raised = dict(zip(judged, holm([each[k] for k in judged]), strict=True))
    return tuple(
        Effect(
            term=terms[at],
            coefficient=found.coefficients[at],
            estimate=value,
            low=value - reach * error,
            high=value + reach * error,
            p=each[k] if k in raised else None,
            family_p=raised.get(k),
            real=raised.get(k, 1.0) <= ALPHA,
        )
        for k, (at, value, error) in enumerate(made)
    )


def _check(design: Design, scores: Sequence[Score]) -> None:
    known = {run.number for run in design.runs}
    strange = sorted({s.run for s in scores} - known)
    if strange:
        raise CannotRun(f"a score is of bake {strange[0]}, which is not in the trial; correct its number")  # fmt: skip
    if not scores:
        raise CannotRun("no bake has a score; record a tasting first")
    if not all(np.isfinite(s.score) for s in scores):
        raise CannotRun("a score is no number; correct it in the record")


def _root(variance: float | None) -> float | None:
    return None if variance is None else float(max(0.0, variance) ** 0.5)
