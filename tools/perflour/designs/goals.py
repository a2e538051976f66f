"""Several goals at once: how good a score is for each, how good a point is for all, and where all are met.

G. Derringer and R. Suich, Simultaneous optimization of several response variables, Journal of Quality Technology 12
(1980) 214-219. Numbers in, numbers out; the best point never leaves the ranges that were baked. Loads scipy.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

import numpy as np
from scipy import optimize
from scipy.stats import qmc

from perflour.designs.design import Design
from perflour.designs.effects import Fit, Prediction, predict
from perflour.designs.layout.terms import Array, columns
from perflour.result import CannotRun

Kind = Literal["most", "least", "target", "within"]
KINDS: tuple[Kind, ...] = ("most", "least", "target", "within")
#: About so many points the region is looked at by.
GRID = 20_000
#: So many of the best points of the grid the search goes on from.
STARTS = 5


@dataclass(frozen=True)
class Goal:
    """What one response is to be, in its own unit.

    ``most``: nothing below ``low`` will do, ``high`` is as good as it need be; ``least`` the other way round;
    ``target``: best at ``target``, nothing at or outside low and high; ``within``: between them all is alike.
    ``shape`` above 1 asks to come close, below 1 is soon content; ``weight`` is what it counts beside other goals.
    """

    kind: Kind
    low: float
    high: float
    target: float | None = None
    shape: float = 1.0
    weight: float = 1.0


@dataclass(frozen=True)
class Span:
    """From where to where a factor runs among the points that meet all goals, coded (shares of a blend)."""

    factor: str
    low: float
    high: float


@dataclass(frozen=True)
class Best:
    """The best point for all goals: coded levels (shares), how good (0 to 1) for all and each, what to expect there.

    ``meeting`` is the share of the whole region where the predicted values (not their intervals) meet all goals, as
    far as ``looked_at`` points tell; ``spans`` is where. ``levels`` are None where no point is any good: then all
    that is told is 0.
    """

    levels: tuple[float, ...] | None
    overall: float
    each: dict[str, float]
    expected: dict[str, Prediction]
    meeting: float
    spans: tuple[Span, ...]
    looked_at: int


def desirability(goal: Goal, values: Array | float) -> Array:
    """How good values are for a goal, 0 (will not do) to 1 (no better is wanted)."""
    at = np.asarray(values, dtype=float)
    if goal.kind == "within":
        return np.where((at >= goal.low) & (at <= goal.high), 1.0, 0.0)
    width = goal.high - goal.low
    if goal.kind == "most":
        share = (at - goal.low) / width
    elif goal.kind == "least":
        share = (goal.high - at) / width
    else:
        target = _target(goal)
        below = (at - goal.low) / (target - goal.low)
        above = (goal.high - at) / (goal.high - target)
        share = np.where(at <= target, below, above)
    return np.asarray(np.clip(share, 0, 1) ** goal.shape)


def overall(goals: Sequence[Goal], values: Sequence[Array]) -> Array:
    """The weighted geometric mean: one goal that is missed spoils all."""
    weights = np.array([goal.weight for goal in goals])
    each = np.array([desirability(g, v) for g, v in zip(goals, values, strict=True)])
    with np.errstate(divide="ignore"):
        return np.asarray(np.exp(np.tensordot(weights / weights.sum(), np.log(each), axes=1)))


def best_point(
    design: Design, fits: Mapping[str, Fit], goals: Mapping[str, Goal], seed: int = 1
) -> Best:
    """The best point of a trial's region for goals by response.

    Raises CannotRun for no goals, a goal without a fit, or one that contradicts itself.
    """
    _check(fits, goals)
    names = list(goals)
    asked = [goals[name] for name in names]
    grid = region_grid(design, GRID, seed)

    def values(points: Array) -> list[Array]:
        return [
            columns(points, fits[n].names, fits[n].terms) @ np.array(fits[n].coefficients)
            for n in names
        ]

    on_grid = values(grid)
    good = overall(asked, on_grid)
    met = np.all([meets(g, v) for g, v in zip(asked, on_grid, strict=True)], axis=0)
    if good.max() <= 0:
        return Best(None, 0.0, dict.fromkeys(names, 0.0), {}, 0.0, (), len(grid))
    # the first of equally good ones, so that the same seed gives the same point
    starts = grid[np.argsort(-np.round(good, 9), kind="stable")[:STARTS]]
    point = _climbed(design, starts, lambda p: float(overall(asked, values(p[None, :]))[0]))
    there = [float(v[0]) for v in values(point[None, :])]
    return Best(
        levels=tuple(float(level) + 0.0 for level in np.round(point, 6)),
        overall=float(overall(asked, [np.array(v) for v in there])),
        each={n: float(desirability(g, v)) for n, g, v in zip(names, asked, there, strict=True)},
        expected={n: predict(fits[n], [point.tolist()])[0] for n in names},
        meeting=float(met.mean()),
        spans=_spans(design, grid[met]),
        looked_at=len(grid),
    )


def meets(goal: Goal, values: Array) -> Array:
    """Whether values will do: on the right side of the limit, or within both; a limit itself will do."""
    low = values >= goal.low if goal.kind != "least" else np.full(values.shape, True)
    high = values <= goal.high if goal.kind != "most" else np.full(values.shape, True)
    return np.asarray(low & high)


def region_grid(design: Design, about: int, seed: int) -> Array:
    """Points all over what may be baked, ``about`` so many: a grid with its ends, or a seeded even scatter.

    Of blends the scatter is even over the shares within their limits, and the corners are added.
    """
    count = len(design.factors)
    if design.model == "blend":
        return _blend_scatter(design, about, seed)
    steps = int(about ** (1 / count) + 1e-9)
    if steps >= 5:
        # an odd number, so that the middle is among them
        levels = np.linspace(-1, 1, min(201, steps - 1 + steps % 2))
        return np.array(list(product(levels, repeat=count)))
    sobol = qmc.Sobol(count, rng=np.random.default_rng(seed)).random_base2(14)
    corners = np.array(list(product((-1.0, 1.0), repeat=min(count, 10))))
    if count > 10:
        corners = np.empty((0, count))
    return np.vstack([corners, 2 * sobol - 1])


def _blend_scatter(design: Design, about: int, seed: int) -> Array:
    import pydoe

    low, high = (
        np.array([f.low for f in design.factors]),
        np.array([f.high for f in design.factors]),
    )
    corners = np.asarray(pydoe.extreme_vertices_design(low, high), dtype=float)
    rng = np.random.default_rng(seed)
    kept = [corners]
    for _ in range(200):
        made = low + (1 - low.sum()) * rng.dirichlet(np.ones(len(low)), about)
        kept.append(made[np.all(made <= high + 1e-12, axis=1)])
        if sum(map(len, kept)) >= about:
            break
    return np.vstack(kept)[: about + len(corners)]


def _climbed(design: Design, starts: Array, value: object) -> Array:
    """The best point that a search inside the region reaches from any of the starts."""
    assert callable(value)
    blend = design.model == "blend"
    bounds = [(f.low, f.high) if blend else (-1.0, 1.0) for f in design.factors]
    whole = ({"type": "eq", "fun": lambda p: p.sum() - 1},) if blend else ()
    low, high = np.array(bounds).T
    best, reached = starts[0], value(starts[0])
    for start in starts:
        done = optimize.minimize(lambda p: -value(p), start, method="SLSQP", bounds=bounds, constraints=whole)  # fmt: skip
        point = np.clip(done.x, low, high)
        if blend and abs(point.sum() - 1) > 1e-9:
            continue
        if np.all(np.isfinite(point)) and value(point) > reached + 1e-9:
            best, reached = point, value(point)
    return np.asarray(best)


def _spans(design: Design, meeting: Array) -> tuple[Span, ...]:
    if not len(meeting):
        return ()
    ends = zip(design.names, meeting.min(axis=0), meeting.max(axis=0), strict=True)
    return tuple(Span(name, float(low), float(high)) for name, low, high in ends)


def _target(goal: Goal) -> float:
    return (goal.low + goal.high) / 2 if goal.target is None else goal.target


def _check(fits: Mapping[str, Fit], goals: Mapping[str, Goal]) -> None:
    if not goals:
        raise CannotRun("nothing is asked for; give a goal for some response")
    for name, goal in goals.items():
        if name not in fits:
            raise CannotRun(f"'{name}' was not scored in this trial; choose one of {', '.join(fits)}")  # fmt: skip
        if not goal.low < goal.high:
            raise CannotRun(f"the goal for {name} runs from {goal.low:g} to {goal.high:g}; give a low that is less than the high")  # fmt: skip
        if goal.kind == "target" and not goal.low < _target(goal) < goal.high:
            raise CannotRun(f"the target for {name} is not between {goal.low:g} and {goal.high:g}; give one that is")  # fmt: skip
        if not (goal.shape > 0 and goal.weight > 0):
            raise CannotRun(f"the goal for {name} has a shape or weight of 0 or less; give more than 0")  # fmt: skip
