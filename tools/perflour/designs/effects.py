"""What a trial showed: effects with intervals, by least squares over the bakes.

Numbers in, numbers out. The unit is the bake: its score is the mean of what its tasters gave, however many they were.
What a day or an oven adds is fitted beside the effects. Loads statsmodels, so only what judges trials imports this
module.
"""

from __future__ import annotations

import warnings
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from scipy import stats
from statsmodels.regression.linear_model import OLS

from perflour.designs.design import Design, Run
from perflour.designs.layout.blocking import block_columns
from perflour.designs.layout.terms import Array, Term, columns, model_terms, rank
from perflour.designs.lenth import judge
from perflour.result import CannotRun, request_field
from perflour.trials.means import ALPHA

#: Below this share of what the scores vary, what is left is the rounding of floats.
NO_SPREAD = 1e-10


@dataclass(frozen=True)
class Effect:
    """What a term does, in points of the score, with its 95 % interval.

    Of a factor: high minus low. Of a pair: half of how much more the one does at the high of the other than at its
    low. Of a curve: both ends minus the middle. Of a blend: the coefficient, of a single share its score alone.
    ``coefficient`` goes with coded levels. ``p`` is two-sided, of this effect for itself; ``family_p`` is raised for
    all effects of the model, and ``real`` tells whether that is at most 1 in 20. All of them are None (``real``
    False) where there is nothing to tell by; of single shares of a blend, where 0 is no question, there is only the
    interval.
    """

    term: Term
    coefficient: float
    estimate: float
    low: float | None
    high: float | None
    p: float | None
    family_p: float | None
    real: bool


@dataclass(frozen=True)
class Comparison:
    """Two spreads compared: F with its degrees of freedom, and p."""

    f: float
    freedom: int
    freedom_below: int
    p: float


@dataclass(frozen=True)
class Bend:
    """The middle as baked minus the middle as the straight model has it, in points, with 95 % interval and p."""

    difference: float
    low: float
    high: float
    p: float


@dataclass(frozen=True)
class Point:
    """A bake beside its fitted score, in points; ``studentised`` by the spread of all others, None of too few."""

    run: int
    scored: float
    fitted: float
    residual: float
    studentised: float | None


@dataclass(frozen=True)
class Fit:
    """A fitted trial. ``method``: ``t``; ``Lenth`` where no bake is left over; empty where nothing can be judged, as
    the bakes left over do not vary at all (``spread`` 0), or there are none and fewer than three effects.

    ``spread``: the standard deviation of one bake's score, in points, by ``freedom`` bakes left over (by Lenth's
    pseudo standard error where 0; None where unknown). ``family`` is how the family of all effects is judged:
    ``Holm`` (S. Holm, Scandinavian Journal of Statistics 6 (1979) 65-70), which holds whatever the effects have to do
    with each other, or the ``largest`` of as many by noise (with Lenth). ``r2`` counts days and ovens as known.
    ``lack``: what the model misses against bakes of the same levels. ``bend``: by bakes in the middle.
    """

    names: tuple[str, ...]
    model: str
    terms: tuple[Term, ...]
    coefficients: tuple[float, ...]
    covariance: tuple[tuple[float, ...], ...]
    method: str
    family: str
    effects: tuple[Effect, ...]
    spread: float | None
    freedom: int
    r2: float | None
    adjusted_r2: float | None
    lack: Comparison | None
    bend: Bend | None
    points: tuple[Point, ...]


@dataclass(frozen=True)
class Prediction:
    """The true score at a point, on a middling day, with its 95 % interval, and that of one new bake's score."""

    value: float
    low: float | None
    high: float | None
    bake_low: float | None
    bake_high: float | None


def fit(design: Design, scores: Mapping[int, float | None], model: str = "") -> Fit:
    """Fit the design's model, or another, to the score of each run by its number.

    Runs without a score, or with None, are left out. Raises CannotRun where those left cannot tell the model.
    """
    model = model or design.model
    runs = [run for run in design.runs if scores.get(run.number) is not None]
    scored = np.array([scores[run.number] for run in runs], dtype=float)
    if not np.all(np.isfinite(scored)):
        raise CannotRun("a score is no number; correct it in the record")
    terms = model_terms(design.names, model)
    blocks = blocks_of(runs)
    points = np.array([run.levels for run in runs]).reshape(-1, len(design.names))
    fitted = columns(points, design.names, terms)
    whole = np.hstack([fitted, blocks])
    _check_told(whole, len(runs), len(design.runs), model)
    done = OLS(scored, whole).fit()
    freedom = len(runs) - whole.shape[1]
    unit = np.asarray(np.linalg.inv(whole.T @ whole)[: len(terms), : len(terms)], dtype=float)
    coefficients = np.asarray(done.params[: len(terms)], dtype=float)
    varied = float(((scored - scored.mean()) ** 2).sum())
    spread = float(np.sqrt(done.ssr / freedom)) if freedom else None
    if spread is not None and done.ssr <= NO_SPREAD * max(varied, 1e-12):
        spread = 0.0
    method, family, spread, effects = _judged(terms, model, coefficients, unit, spread, freedom)
    scale = spread**2 if spread else None
    explained = 1 - float(done.ssr) / varied if varied > 0 else None
    return Fit(
        names=design.names,
        model=model,
        terms=terms,
        coefficients=tuple(map(float, coefficients)),
        covariance=tuple(tuple(map(float, row)) for row in unit * scale) if scale else (),
        method=method,
        family=family,
        effects=effects,
        spread=spread,
        freedom=freedom,
        r2=explained,
        adjusted_r2=_adjusted(explained, len(runs), freedom),
        lack=_lack(points, blocks, scored, float(done.ssr), freedom),
        bend=_bend(runs, whole, scored, model),
        points=_points(runs, scored, done, freedom, spread),
    )


def _adjusted(explained: float | None, scored: int, freedom: int) -> float | None:
    if explained is None or not freedom:
        return None
    return 1 - (1 - explained) * (scored - 1) / freedom


def blocks_of(runs: Sequence[Run]) -> Array:
    """What days and ovens add to these runs, as orthonormal columns."""
    if not runs:
        return np.empty((0, 0))
    return block_columns([(run.day, run.oven) for run in runs])


def size_of(term: Term, model: str) -> float:
    """What a coefficient is multiplied by to be the effect that ``Effect`` tells of."""
    return 1.0 if model == "blend" or len(set(term)) < len(term) else 2.0


def _check_told(whole: Array, scored: int, baked: int, model: str) -> None:
    wanted = whole.shape[1]
    if scored < wanted:
        raise CannotRun(
            f"{scored} of {baked} bakes have a score, but model {model} with its days and ovens takes {wanted}; score more bakes, or give {request_field('model')} main"
        )
    if rank(whole) < wanted:
        raise CannotRun(
            f"the {scored} bakes with a score cannot tell all terms of model {model} apart; score more bakes, or give {request_field('model')} main"
        )


def _judged(
    terms: Sequence[Term],
    model: str,
    coefficients: Array,
    unit: Array,
    spread: float | None,
    freedom: int,
) -> tuple[str, str, float | None, tuple[Effect, ...]]:
    """Method, way of judging the family, spread of a bake and the effects."""
    size = np.array([size_of(term, model) for term in terms])
    error = size * np.sqrt(np.diag(unit))  # for a spread of 1
    estimate = size * coefficients
    asked = [i for i, term in enumerate(terms) if term and (model != "blend" or len(term) > 1)]
    p: list[float | None] = [None] * len(terms)
    family: list[float | None] = [None] * len(terms)
    reach: float | None = None
    method = way = ""
    if spread:
        method, way = "t", "Holm"
        reach = float(stats.t.ppf(1 - ALPHA / 2, freedom)) * spread
        each = [_p(estimate[i], spread * error[i], freedom) for i in asked]
        for i, one, raised in zip(asked, each, holm(each), strict=True):
            p[i], family[i] = one, raised
    elif spread is None and (found := judge([float(estimate[i] / error[i]) for i in asked])):
        method, way, spread = "Lenth", "largest", found.error
        reach = found.reach * found.error
        for i, one, raised in zip(asked, found.p, found.family_p, strict=True):
            p[i], family[i] = one, raised
    effects = []
    for i, term in enumerate(terms):
        if not term:
            continue
        value, raised_p = float(estimate[i]), family[i]
        half = None if reach is None else reach * float(error[i])
        low, high = (None, None) if half is None else (value - half, value + half)
        real = raised_p is not None and raised_p <= ALPHA
        effects.append(Effect(term, float(coefficients[i]), value, low, high, p[i], raised_p, real))
    return method, way, spread, tuple(effects)


def _p(estimate: float, error: float, freedom: int) -> float:
    return float(2 * stats.t.sf(abs(estimate) / error, freedom))


def holm(each: Sequence[float]) -> list[float]:
    """p of each of a family, so that any of those at most 1 in 20 is false in at most 1 of 20 families."""
    raised, last = [0.0] * len(each), 0.0
    for rank_of, i in enumerate(sorted(range(len(each)), key=lambda at: each[at])):
        last = max(last, min(1.0, (len(each) - rank_of) * each[i]))
        raised[i] = last
    return raised


def _lack(
    points: Array, blocks: Array, scored: Array, left: float, freedom: int
) -> Comparison | None:
    """What the model misses, against bakes of the same levels; None without such, or with nothing to miss."""
    _, group = np.unique(points, axis=0, return_inverse=True)
    flags = (group.reshape(-1, 1) == np.arange(group.max() + 1)).astype(float)
    free = np.hstack([flags, blocks])
    pure_freedom = len(scored) - rank(free)
    missed_freedom = freedom - pure_freedom
    if pure_freedom < 1 or missed_freedom < 1:
        return None
    rest = scored - free @ np.linalg.lstsq(free, scored, rcond=None)[0]
    pure = float(rest @ rest)
    if pure <= NO_SPREAD * max(left, 1e-12):
        return None
    f = max(0.0, left - pure) / missed_freedom / (pure / pure_freedom)
    p = float(stats.f.sf(f, missed_freedom, pure_freedom))
    return Comparison(f, missed_freedom, pure_freedom, p)


def _bend(runs: Sequence[Run], whole: Array, scored: Array, model: str) -> Bend | None:
    """Whether the middle lies off the straight model; None where the model bends, or nothing tells."""
    middle = np.array([float(run.is_centre) for run in runs]).reshape(-1, 1)
    both = np.hstack([middle, whole])
    freedom = len(runs) - both.shape[1]
    if model not in ("main", "pairs") or freedom < 1 or rank(both) < both.shape[1]:
        return None
    done = OLS(scored, both).fit()
    if not done.bse[0] > NO_SPREAD:
        return None
    low, high = done.conf_int(ALPHA)[0]
    return Bend(float(done.params[0]), float(low), float(high), float(done.pvalues[0]))


def _points(
    runs: Sequence[Run], scored: Array, done: Any, freedom: int, spread: float | None
) -> tuple[Point, ...]:
    told = np.full(len(runs), np.nan)
    if freedom > 1 and spread:
        with np.errstate(all="ignore"), warnings.catch_warnings():
            # a bake that alone tells a term cannot be left out, which is asked below
            warnings.simplefilter("ignore")
            told = np.asarray(done.get_influence().resid_studentized_external, dtype=float)
            # a bake that its own term follows wherever it goes has nothing left over
            told[done.get_influence().hat_matrix_diag > 1 - 1e-8] = np.nan
    return tuple(
        Point(run.number, float(y), float(f), float(y - f), float(t) if np.isfinite(t) else None)
        for run, y, f, t in zip(runs, scored, done.fittedvalues, told, strict=True)
    )


def predict(fitted: Fit, levels: Sequence[Sequence[float]]) -> tuple[Prediction, ...]:
    """The score at coded levels (shares of a blend). By Lenth's error there are no intervals: None."""
    at = columns(np.array(levels, dtype=float), fitted.names, fitted.terms)
    values = at @ np.array(fitted.coefficients)
    if fitted.method != "t" or not fitted.spread:
        return tuple(Prediction(float(v), None, None, None, None) for v in values)
    variance = np.einsum("ij,jk,ik->i", at, np.array(fitted.covariance), at)
    reach = float(stats.t.ppf(1 - ALPHA / 2, fitted.freedom))
    return tuple(
        Prediction(float(v), float(v - h), float(v + h), float(v - b), float(v + b))
        for v, h, b in zip(
            values,
            reach * np.sqrt(np.maximum(variance, 0)),
            reach * np.sqrt(np.maximum(variance, 0) + fitted.spread**2),
            strict=True,
        )
    )
