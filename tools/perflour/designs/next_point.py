"""What to bake next: where an improvement is most to be expected, or the way uphill from a straight model.

Numbers in, numbers out; nothing that is proposed leaves the ranges that were baked. Loads scikit-learn inside the one
function that needs it, as that takes a second.
"""

from __future__ import annotations

import warnings
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np
from scipy import optimize, stats

from perflour.designs.design import Design
from perflour.designs.effects import Fit, Prediction, blocks_of, predict
from perflour.designs.goals import region_grid
from perflour.designs.layout.terms import Array, columns, model_terms
from perflour.result import CannotRun

Aim = Literal["most", "least", "target"]
#: Scattered points that expected improvement is looked at by, and the best of them that a search goes on from.
SCATTER, STARTS = 4000, 5
#: Beginnings of the search for the smoothness of the surface.
RESTARTS = 4
#: How far from a bake its score still tells, in coded units (the range is 2): a score that rises and falls within half
#: a range is not to be told from noise by a dozen bakes, so shorter is not tried (our choice, no source).
LENGTHS = (1.0, 20.0)
#: Below this share of the spread of one bake an expected gain is nothing: that bake's own slip would hide it (our
#: choice, no source).
NEGLIGIBLE = 0.5
#: Of fewer bakes a surface tells nothing.
FEWEST = 4


@dataclass(frozen=True)
class Proposal:
    """The point to bake next, coded (shares of a blend), with the true score expected there and its spread.

    ``gain`` is the improvement to be expected over the best of the points baked (``best``, as the surface has it), in
    points of the score or of its distance from the target; ``noise`` the spread of one bake. Where ``gain`` is less
    than ``NEGLIGIBLE`` times the noise, there is nothing to be gained by that bake: ``worth`` is False.
    """

    levels: tuple[float, ...]
    mean: float
    spread: float
    gain: float
    best: float
    best_run: int
    noise: float
    worth: bool


@dataclass(frozen=True)
class Step:
    """A point on the way uphill, coded, ``distance`` from the middle in coded units, and what to expect there."""

    levels: tuple[float, ...]
    distance: float
    expected: Prediction


def propose(
    design: Design,
    scores: Mapping[int, float | None],
    aim: Aim = "most",
    target: float | None = None,
    seed: int = 1,
) -> Proposal:
    """The point of the largest expected improvement on a Gaussian process over the bakes.

    D. R. Jones, M. Schonlau and W. J. Welch, Journal of Global Optimization 13 (1998) 455-492; as scores are noisy the
    best is that of the surface at the points baked. The surface has a Matérn 5/2 kernel with a length a factor, and
    white noise. What days and ovens add is taken out first, as least squares of the design's model tell it, where
    there are bakes enough for that.

    Raises CannotRun for fewer than four bakes with a score, scores that are all alike, or a target that is missing.
    """
    if aim == "target" and target is None:
        raise CannotRun("a target is asked for but not given; say which score it is to be")
    runs = [run for run in design.runs if scores.get(run.number) is not None]
    scored = np.array([scores[run.number] for run in runs], dtype=float)
    if len(runs) < FEWEST:
        raise CannotRun(f"{len(runs)} bakes with a score tell no surface; score {FEWEST} or more")
    if float(np.ptp(scored)) <= 0:
        raise CannotRun("all bakes have the same score, so none is better; widen the ranges or ask more of the tasters")  # fmt: skip
    points = np.array([run.levels for run in runs])
    scored = _without_blocks(design, points, blocks_of(runs), scored)
    surface, noise = _surface(points, scored, seed)
    known, _ = surface(points)
    wanted = 0.0 if target is None else target
    rated = {"most": known, "least": -known, "target": -np.abs(known - wanted)}[aim]
    at = int(np.argmax(np.round(rated, 9)))
    best = float(known[at])

    def gain(there: Array) -> Array:
        mean, spread = surface(there)
        return improvement(mean, spread, best, aim, wanted)

    point = _largest(design, gain, seed)
    mean, spread = surface(point[None, :])
    found = float(gain(point[None, :])[0])
    return Proposal(
        levels=tuple(float(level) + 0.0 for level in point),
        mean=float(mean[0]),
        spread=float(spread[0]),
        gain=found,
        best=best,
        best_run=runs[at].number,
        noise=noise,
        worth=found >= NEGLIGIBLE * noise and found > 0,
    )


def improvement(mean: Array, spread: Array, best: float, aim: Aim, target: float) -> Array:
    """The improvement to be expected over the best so far, in points, never below 0."""
    if aim == "most":
        return _above(mean - best, spread)
    if aim == "least":
        return _above(best - mean, spread)
    # what is nearer to the target than the best: a roof over it, which three slopes make up
    reach = abs(best - target)
    off = mean - target
    roof = _above(off + reach, spread) - 2 * _above(off, spread) + _above(off - reach, spread)
    return np.asarray(np.maximum(roof, 0.0))


def _above(mean: Array, spread: Array) -> Array:
    """The mean of what a normal value is above 0 by."""
    width = np.maximum(spread, 1e-12)
    z = mean / width
    return np.asarray(np.maximum(mean * stats.norm.cdf(z) + width * stats.norm.pdf(z), 0.0))


def _without_blocks(design: Design, points: Array, blocks: Array, scored: Array) -> Array:
    terms = columns(points, design.names, model_terms(design.names, design.model))
    whole = np.hstack([terms, blocks])
    if not blocks.shape[1] or len(scored) < whole.shape[1]:
        return scored
    added = np.linalg.lstsq(whole, scored, rcond=None)[0][terms.shape[1] :]
    return np.asarray(scored - blocks @ added)


def _surface(
    points: Array, scored: Array, seed: int
) -> tuple[Callable[[Array], tuple[Array, Array]], float]:
    """Mean and spread of the true score at points, and the spread of one bake, by a Gaussian process."""
    # a second to load, and needed for nothing else
    from sklearn.gaussian_process import GaussianProcessRegressor
    from sklearn.gaussian_process.kernels import ConstantKernel, Matern, WhiteKernel

    middle, scale = float(scored.mean()), float(scored.std())
    lengths = np.full(points.shape[1], 1.0)
    kernel = ConstantKernel(1.0, (0.05, 20)) * Matern(lengths, LENGTHS, nu=2.5)
    kernel += WhiteKernel(0.1, (1e-4, 2))
    process: Any = GaussianProcessRegressor(kernel, n_restarts_optimizer=RESTARTS, random_state=seed)  # fmt: skip
    with warnings.catch_warnings():
        # a length at its bound is a factor that does nothing: no fault
        warnings.simplefilter("ignore")
        process.fit(points, (scored - middle) / scale)
    white = float(process.kernel_.k2.noise_level)

    def surface(there: Array) -> tuple[Array, Array]:
        mean, spread = process.predict(there, return_std=True)
        # what it gives is the spread of a bake; that of the true score is without the noise
        true = np.sqrt(np.maximum(spread**2 - white, 0))
        return np.asarray(middle + scale * mean), np.asarray(scale * true)

    return surface, scale * white**0.5


def _largest(design: Design, gain: Callable[[Array], Array], seed: int) -> Array:
    """The point inside the region where the gain is largest."""
    grid = region_grid(design, SCATTER, seed)
    found = gain(grid)
    starts = grid[np.argsort(-found, kind="stable")[:STARTS]]
    best, reached = starts[0], float(found.max())
    if design.model == "blend":
        # shares are scattered closely enough, and a search would leave their sum
        return np.asarray(np.round(best, 6))
    for start in starts:
        done = optimize.minimize(lambda p: -float(gain(p[None, :])[0]), start, method="L-BFGS-B", bounds=[(-1, 1)] * len(start))  # fmt: skip
        point = np.clip(np.round(done.x, 6), -1, 1)
        here = float(gain(point[None, :])[0])
        if here > reached:
            best, reached = point, here
    return np.asarray(np.clip(np.round(best, 6), -1, 1))


def uphill(
    fitted: Fit, aim: Literal["most", "least"] = "most", step: float = 0.25, steps: int = 8
) -> tuple[Step, ...]:
    """The way of steepest ascent (or descent) from the middle, in equal steps of coded units.

    Box and Wilson (1951): the levels move in proportion to the main effects. The way ends at the edge of the range,
    where its last step is cut short: what was not baked is not foretold. Empty where all main effects are 0. Raises
    CannotRun for blends and for steps of 0 or less.
    """
    if fitted.model == "blend":
        raise CannotRun("a blend has no way uphill, as its shares sum to 1; ask for the best point")
    if not step > 0 or steps < 1:
        raise CannotRun("a way takes a step of more than 0 and one step at least; give both")
    slope = {term[0]: c for term, c in zip(fitted.terms, fitted.coefficients, strict=True) if len(term) == 1}  # fmt: skip
    way = np.array([slope[name] for name in fitted.names]) * (1 if aim == "most" else -1)
    size = float(np.linalg.norm(way))
    if size <= 1e-12:
        return ()
    way = way / size
    edge = 1 / float(np.abs(way).max())
    distances = [min(step * at, edge) for at in range(1, steps + 1) if step * (at - 1) < edge - 1e-9]  # fmt: skip
    points = [np.clip(np.round(way * d, 9), -1, 1) + 0.0 for d in distances]
    expected = predict(fitted, [p.tolist() for p in points])
    return tuple(
        Step(tuple(map(float, p)), d, e)
        for p, d, e in zip(points, distances, expected, strict=True)
    )
