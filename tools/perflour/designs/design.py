"""A planned trial: which combinations to bake, on which day, in which oven and place, in random order.

Numbers in, numbers out: nothing here knows of formulas or files. Everything random comes from one seed by Python's
own generator, so the same request gives the same trial on every machine. Loads numpy and pydoe, so only what plans
or judges trials imports this module.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from random import Random

import numpy as np

from perflour.designs.layout import exchange, terms
from perflour.designs.layout.blocking import assign, block_columns, cells
from perflour.designs.layout.points import (
    CURVED_KINDS,
    KINDS,
    Region,
    candidates,
    middle,
    points_of,
)
from perflour.designs.layout.terms import MODELS, Alias, Array, Term, columns, model_terms
from perflour.result import CannotRun, request_field

#: What is tried in turn where no kind is named, by the model.
IN_TURN = {
    "main": ("full", "fraction", "best-for"),
    "pairs": ("full", "fraction", "best-for"),
    "curved": ("curved", "best-for"),
    "blend": ("blend",),
}


@dataclass(frozen=True)
class Factor:
    """What is varied, from ``low`` to ``high`` in its own unit; of a blend the least and most share, 0 to 1."""

    name: str
    low: float
    high: float

    def coded(self, actual: float) -> float:
        """A level in the factor's unit as -1 (low) to 1 (high); beyond the range beyond that."""
        return (2 * actual - self.low - self.high) / (self.high - self.low)

    def actual(self, coded: float) -> float:
        """A coded level in the factor's unit; low and high come back exactly."""
        # weights of the two ends, so that -1 and 1 give the ends themselves
        return self.low * (1 - coded) / 2 + self.high * (1 + coded) / 2


@dataclass(frozen=True)
class Run:
    """One bake: levels in the order of the factors, coded -1 to 1, of a blend the shares themselves.

    ``number`` counts the bakes from 1 in the order of baking; day, oven and place (within that oven on that day)
    count from 1; ``replicate`` tells bakes of the same levels apart, in the order of baking.
    """

    number: int
    levels: tuple[float, ...]
    day: int
    oven: int
    place: int
    is_centre: bool
    replicate: int


@dataclass(frozen=True)
class Design:
    """A trial as drawn. ``kind`` is the kind that was used, also where none was asked for.

    ``aliases``: effects that it cannot tell apart, or only in part. ``lost``: the share of what it could tell of a
    term that goes to days and ovens. ``d_efficiency``: 0 to 1, see ``layout.terms``; None for blends.
    """

    kind: str
    factors: tuple[Factor, ...]
    model: str
    runs: tuple[Run, ...]
    seed: int
    aliases: tuple[Alias, ...]
    d_efficiency: float | None
    lost: tuple[tuple[Term, float], ...]

    @property
    def names(self) -> tuple[str, ...]:
        """Of the factors, in order."""
        return tuple(factor.name for factor in self.factors)

    def actual(self, levels: Sequence[float]) -> tuple[float, ...]:
        """Coded levels in the units of the factors; shares of a blend as they are."""
        if self.model == "blend":
            return tuple(levels)
        return tuple(f.actual(level) for f, level in zip(self.factors, levels, strict=True))

    def points(self) -> Array:
        """One row a run, one column a factor, coded."""
        return np.array([run.levels for run in self.runs], dtype=float)

    def model_columns(self) -> Array:
        """One row a run, one column a term of ``terms()``."""
        return columns(self.points(), self.names, self.terms())

    def block_columns(self) -> Array:
        """Orthonormal columns of what days and ovens add to the runs."""
        return block_columns([(run.day, run.oven) for run in self.runs])

    def terms(self) -> tuple[Term, ...]:
        """Of its model."""
        return model_terms(self.names, self.model)


def draw(
    factors: Sequence[Factor],
    *,
    bakes: int,
    kind: str = "",
    days: int = 1,
    ovens: int = 1,
    per_oven: int | None = None,
    replicates: int = 1,
    centre: int = 0,
    model: str = "main",
    seed: int = 1,
    goes_with: Callable[[tuple[float, ...]], bool] | None = None,
) -> Design:
    """Plan a trial of at most so many bakes.

    ``kind`` is one of ``layout.points.KINDS``; "" takes the first of ``IN_TURN`` that fits and can tell the model.
    best-for, and a blend with upper limits that matter, use all bakes; the others what they need. ``per_oven``
    is how many bakes an oven takes in a day, None as many as come. Every point is baked ``replicates`` times, the
    middle ``centre`` times beside. ``goes_with`` says of levels in their own units whether they may be baked
    together; only best-for can do without a corner.

    Raises CannotRun for a request that contradicts itself, too few bakes for the model with its days and ovens
    (naming the fewest), and more bakes than days, ovens and places hold.
    """
    _check(factors, kind, model, bakes, days, ovens, per_oven, replicates, centre)
    rng = Random(seed)
    factors = tuple(factors)
    region = _region(factors, model, (bakes - centre) // replicates, centre, goes_with, rng)
    region = replace(region, blocks=days + ovens - 2)
    room = days * ovens * per_oven if per_oven else None
    choices = (kind,) if kind else IN_TURN[model]
    for tried in choices:
        try:
            points = _all_points(tried, region, replicates)
            places = cells(len(points), days, ovens)
            _check_room(len(points), room, days, ovens)
            _check_told(points, region, places, replicates)
            placed = _placed(tried, points, places, region, replicates)
        except CannotRun:
            if tried == choices[-1]:
                raise
            continue
        break
    return _design(tried, factors, region, placed, places, seed)


def _region(
    factors: tuple[Factor, ...],
    model: str,
    most: int,
    centre: int,
    goes_with: Callable[[tuple[float, ...]], bool] | None,
    rng: Random,
) -> Region:
    def goes(levels: tuple[float, ...]) -> bool:
        assert goes_with is not None
        if model == "blend":
            return goes_with(levels)
        return goes_with(tuple(f.actual(c) for f, c in zip(factors, levels, strict=True)))

    names, low, high = zip(*((f.name, f.low, f.high) for f in factors), strict=True)
    return Region(names, low, high, model, most, centre, goes if goes_with else None, rng)


def _all_points(kind: str, region: Region, replicates: int) -> Array:
    """Every bake of a kind: its points as often as asked, and the middle."""
    points = points_of(kind, region)
    centre = np.round(np.array([middle(region)] * region.centre), 10).reshape(-1, region.factors)
    return np.vstack([points] * replicates + [centre])


def _placed(
    kind: str, points: Array, places: list[tuple[int, int]], region: Region, replicates: int
) -> Array:
    """The points by place; of best-for they are exchanged once more, now that days and ovens are known.

    Raises CannotRun where days and ovens leave some term of the model untold.
    """
    order = assign(points, region.names, region.model, places, region.rng)
    placed, blocks = points[order], block_columns(places)
    model = model_terms(region.names, region.model)
    if kind == "best-for" and replicates == 1 and blocks.shape[1]:
        choice = np.unique(np.vstack([points, candidates(region)]), axis=0)
        chosen = [int(np.flatnonzero((choice == point).all(axis=1))[0]) for point in placed]
        free = [at for at in range(len(order)) if order[at] < len(points) - region.centre]
        rows = columns(choice, region.names, model)
        found = exchange.exchanged(rows, chosen, free, blocks, np.empty((0, len(model))))
        placed = choice[found]
    fitted = columns(placed, region.names, model)
    if terms.rank(np.hstack([fitted, blocks])) < len(model) + blocks.shape[1]:
        other = "choose the kind best-for, " if kind != "best-for" else ""
        if kind == "best-for" and region.goes:
            other = "widen what goes together, "
        raise CannotRun(
            f"{len(points)} bakes on these days and in these ovens cannot tell all terms of the model {region.model} apart; {other}raise {request_field('bakes')} or lower {request_field('days')}"
        )
    return placed


def _design(
    kind: str,
    factors: tuple[Factor, ...],
    region: Region,
    placed: Array,
    places: list[tuple[int, int]],
    seed: int,
) -> Design:
    """Runs in random order inside each day and oven, and what the trial tells."""
    rows = [tuple(float(level) for level in point) for point in placed]
    shuffled: list[tuple[tuple[int, int], tuple[float, ...]]] = []
    for cell in sorted(set(places)):
        here = [row for row, place in zip(rows, places, strict=True) if place == cell]
        here.sort()
        region.rng.shuffle(here)
        shuffled += [(cell, row) for row in here]
    seen: Counter[tuple[float, ...]] = Counter()
    taken: Counter[tuple[int, int]] = Counter()
    centre = tuple(round(level, 10) for level in middle(region))
    runs = []
    for number, (cell, levels) in enumerate(shuffled, 1):
        seen[levels] += 1
        taken[cell] += 1
        runs.append(Run(number, levels, *cell, taken[cell], levels == centre, seen[levels]))
    points = np.array([run.levels for run in runs])
    about = (points, region.names, region.model, block_columns([(r.day, r.oven) for r in runs]))
    return Design(
        kind=kind,
        factors=factors,
        model=region.model,
        runs=tuple(runs),
        seed=seed,
        aliases=terms.confounded(*about),
        d_efficiency=terms.d_efficiency(*about),
        lost=terms.lost_to_blocks(*about),
    )


def _check(
    factors: Sequence[Factor],
    kind: str,
    model: str,
    bakes: int,
    days: int,
    ovens: int,
    per_oven: int | None,
    replicates: int,
    centre: int,
) -> None:
    """Raises CannotRun for what cannot be meant."""
    if kind and kind not in KINDS:
        raise CannotRun(f"{request_field('kind')} '{kind}' is no kind of trial; choose one of {', '.join(KINDS)}")  # fmt: skip
    if model not in MODELS:
        raise CannotRun(f"{request_field('model')} '{model}' is no model; choose one of {', '.join(MODELS)}")  # fmt: skip
    if (kind == "blend") != (model == "blend") and kind:
        raise CannotRun(f"{request_field('kind')} {kind} does not go with {request_field('model')} {model}; give both as blend, or neither")  # fmt: skip
    if kind and model == "curved" and kind not in (*CURVED_KINDS, "best-for", "definitive"):
        raise CannotRun(f"{request_field('kind')} {kind} bakes two levels, which show no curve; choose the kind curved")  # fmt: skip
    counts = {"bakes": bakes, "days": days, "ovens": ovens, "per_oven": per_oven or 1, "replicates": replicates}  # fmt: skip
    for name, number in counts.items():
        if number < 1 or (name == "per_oven" and per_oven == 0):
            raise CannotRun(f"{request_field(name)} {0 if name == 'per_oven' else number} is no number to bake with; give 1 or more")  # fmt: skip
    if centre < 0:
        raise CannotRun(f"{request_field('centre')} {centre} is less than none; give 0 or more")
    _check_factors(factors, model)


def _check_factors(factors: Sequence[Factor], model: str) -> None:
    if not factors:
        raise CannotRun("a trial varies something; name a factor with its low and high")
    names = [factor.name for factor in factors]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise CannotRun(f"'{twice}' is named twice; name each factor once")
    for f in factors:
        if not (np.isfinite(f.low) and np.isfinite(f.high) and f.low < f.high):
            raise CannotRun(f"'{f.name}' runs from {f.low:g} to {f.high:g}; give a low that is less than the high")  # fmt: skip
    if model != "blend":
        return
    if len(factors) < 2 or any(f.low < 0 or f.high > 1 for f in factors):
        raise CannotRun("a blend is of two or more shares between 0 and 1; write them like 0.2 to 0.6")  # fmt: skip
    low, high = sum(f.low for f in factors), sum(f.high for f in factors)
    if low >= 1 or high <= 1:
        raise CannotRun(f"the shares sum to {low:g} to {high:g}, which leaves nothing to vary around 1; widen their ranges")  # fmt: skip


def _check_room(runs: int, room: int | None, days: int, ovens: int) -> None:
    if room is not None and runs > room:
        raise CannotRun(
            f"{runs} bakes are more than the {room} places of {request_field('days')} {days}, {request_field('ovens')} {ovens} and {request_field('per_oven')} {room // days // ovens}; raise {request_field('days')}, {request_field('ovens')} or {request_field('per_oven')}, or lower {request_field('bakes')} to {room}"
        )


def _check_told(
    points: Array, region: Region, places: list[tuple[int, int]], replicates: int
) -> None:
    """Raises CannotRun where model, days and ovens have more to tell than there are bakes."""
    wanted = len(model_terms(region.names, region.model))
    blocks = block_columns(places).shape[1]
    different = wanted - (region.centre > 0)
    fewest = max(wanted + blocks, different * replicates + region.centre)
    if len(points) < wanted + blocks or (len(points) - region.centre) // replicates < different:
        told = f"{wanted} terms of the model {region.model}"
        if blocks:
            told += f" and {blocks} differences of days and ovens"
        raise CannotRun(
            f"{len(points)} bakes are too few to tell {told}; plan {request_field('bakes')} {fewest} at least, by the kind best-for"
        )
