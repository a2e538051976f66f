"""The combinations of levels that each kind of trial bakes, before they are put on days and into ovens.

Numbers in, numbers out; levels are coded -1 to 1, of blends shares. Loads pydoe, which takes scipy along.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import combinations, product
from random import Random

import numpy as np
import pydoe

from perflour.designs.layout.exchange import best_points
from perflour.designs.layout.terms import Array, columns, model_terms
from perflour.result import CannotRun, request_field

#: Of more candidates than these a seeded sample is looked at.
MOST_CANDIDATES = 2500
#: The model that a kind is for comes with it; what else it can tell is checked where it is drawn.
CURVED_KINDS = ("curved", "faced", "inscribed", "edges")


@dataclass(frozen=True)
class Region:
    """What may be baked: names of the factors, for blends the least and most share of each.

    ``goes`` says of coded levels whether they go together; ``most`` is the number of points there is room for,
    ``centre`` the number of bakes in the middle beside them. ``blocks`` is how many columns days and ovens may take.
    """

    names: tuple[str, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    model: str
    most: int
    centre: int
    goes: Callable[[tuple[float, ...]], bool] | None
    rng: Random
    blocks: int = 0

    @property
    def factors(self) -> int:
        return len(self.names)


def middle(region: Region) -> tuple[float, ...]:
    """The point of a bake in the middle: 0 of every factor; of a blend the mean of its corners."""
    if region.model != "blend":
        return (0.0,) * region.factors
    mean = _corners(region).mean(axis=0)
    return tuple(float(share) for share in mean / mean.sum())


def full(region: Region) -> Array:
    """All combinations of low and high."""
    if region.factors > 12:
        raise CannotRun(
            f"a full trial of {region.factors} factors is beyond any kitchen; leave {request_field('kind')} out"
        )
    return np.asarray(pydoe.ff2n(region.factors), dtype=float)


def fraction(region: Region) -> Array:
    """A regular part of all combinations, of the highest resolution that there is room for.

    Resolution III blurs main effects with pairs, IV pairs with pairs, V neither (G. E. P. Box and J. S. Hunter,
    Technometrics 3 (1961) 311-351).
    """
    least = 5 if region.model == "pairs" else 3
    needed = 0
    for resolution in range(region.factors, least - 1, -1):
        try:
            made = np.asarray(pydoe.fracfact_by_res(region.factors, resolution), dtype=float)
        except ValueError:
            continue
        if len(made) <= region.most:
            return made
        needed = len(made)
    if not needed:
        raise CannotRun(
            f"{region.factors} factors leave no fraction for the model {region.model}; choose the kind full or best-for"
        )
    raise _too_few("fraction", needed, region)


def screening(region: Region) -> Array:
    """Main effects of many factors in few bakes: R. L. Plackett and J. P. Burman, Biometrika 33 (1946) 305-325.

    The smallest whose columns suffice for factors, days and ovens.
    """
    whole = pydoe.pbdesign(region.factors + region.blocks)
    return np.asarray(whole[:, : region.factors], dtype=float)


def definitive(region: Region) -> Array:
    """Three levels, main effects clear of pairs and curves: B. Jones and C. J. Nachtsheim, Journal of Quality
    Technology 43 (2011) 1-15."""
    if region.factors < 3:
        raise CannotRun("a definitive trial takes three factors or more; choose the kind full")
    made = np.asarray(pydoe.definitive_screening_design(region.factors), dtype=float)
    # asked-for middles replace its own
    return np.asarray(made[np.any(made != 0, axis=1)] if region.centre else made)


def curved(region: Region) -> Array:
    """Whichever of the kinds ``edges`` and ``faced`` takes fewer bakes, where there is room for it."""
    choices = [faced(region)]
    if region.factors >= 3 and region.centre:
        choices.append(edges(region))
    return min(choices, key=len)


def faced(region: Region) -> Array:
    """Corners, and the middle of each face: the central composite of Box and Wilson (1951) within the range.

    From five factors on the corners are a fraction of resolution V.
    """
    return _composite(region, 1.0)


def inscribed(region: Region) -> Array:
    """The rotatable central composite drawn together until its furthest points touch the range.

    The points on the axes lie a fourth root of the number of corners from the middle (G. E. P. Box and J. S.
    Hunter, Annals of Mathematical Statistics 28 (1957) 195-241).
    """
    return _composite(region, 0.0)


def reach(corners: int) -> float:
    """How far out the points on the axes of a rotatable composite lie; its corners lie at 1."""
    return float(corners**0.25)


def _composite(region: Region, reaching: float) -> Array:
    k = region.factors
    if k < 2:
        raise CannotRun("a curved trial takes two factors or more; choose the kind best-for")
    corners = pydoe.ff2n(k) if k < 5 else pydoe.fracfact_by_res(k, 5)
    scale = 1.0 if reaching else 1 / reach(len(corners))
    axes = [sign * np.eye(k)[at] for at in range(k) for sign in (-1.0, 1.0)]
    return np.vstack([np.asarray(corners, dtype=float) * scale, axes])


def edges(region: Region) -> Array:
    """The middles of edges: G. E. P. Box and D. W. Behnken, Technometrics 2 (1960) 455-475; no corner is baked."""
    if region.factors < 3:
        raise CannotRun("a trial on the edges takes three factors or more; choose the kind faced")
    if not region.centre:
        raise CannotRun(f"a trial on the edges needs the middle; give {request_field('centre')} 1 or more")  # fmt: skip
    made = np.asarray(pydoe.bbdesign(region.factors, 1), dtype=float)
    return np.asarray(made[np.any(made != 0, axis=1)])


def blend(region: Region) -> Array:
    """Shares that sum to 1: the corners and the middles between each two (H. Scheffé 1958), within their limits.

    Where upper limits cut corners off, the corners of what is left (R. A. McLean and V. L. Anderson, Technometrics 8
    (1966) 447-454) and the middles of their pairs are the candidates, and as many as there is room for are chosen
    by what they tell.
    """
    free = 1 - sum(region.low)
    if all(h >= low + free - 1e-9 for low, h in zip(region.low, region.high, strict=True)):
        lattice = np.asarray(pydoe.simplex_lattice_design(region.factors, 2), dtype=float)
        return np.asarray(np.array(region.low) + free * lattice)
    corners = _corners(region)
    between = [(a + b) / 2 for a, b in combinations(corners, 2)]
    return _chosen(region, np.vstack([corners, *between, np.array([middle(region)])]))


def best_for(region: Region) -> Array:
    """As many points as there is room for, chosen by what they tell of all terms together."""
    return _chosen(region, candidates(region))


def candidates(region: Region) -> Array:
    """What best-for chooses from: all combinations of low and high, of a curved model of the middle too.

    Raises CannotRun where none of them may be baked.
    """
    levels = (-1.0, 0.0, 1.0) if region.model == "curved" else (-1.0, 1.0)
    if len(levels) ** region.factors <= MOST_CANDIDATES:
        made = np.array(list(product(levels, repeat=region.factors)))
    else:
        made = np.array([[region.rng.choice(levels) for _ in region.names] for _ in range(MOST_CANDIDATES)])  # fmt: skip
    if region.goes:
        made = made[[region.goes(tuple(point)) for point in made.tolist()]]
        if not len(made):
            raise CannotRun("no combination of levels goes together; widen the ranges")
    return np.asarray(made, dtype=float)


def _chosen(region: Region, choice: Array) -> Array:
    terms = model_terms(region.names, region.model)
    fixed = np.array([middle(region)] * region.centre).reshape(-1, region.factors)
    rows, held = (columns(points, region.names, terms) for points in (choice, fixed))
    return np.asarray(choice[best_points(rows, region.most, held, region.rng)])


def _corners(region: Region) -> Array:
    return np.asarray(pydoe.extreme_vertices_design(region.low, region.high), dtype=float)


def _too_few(kind: str, needed: int, region: Region) -> CannotRun:
    return CannotRun(
        f"a trial of the kind {kind} with {region.factors} factors takes {needed} different bakes, but there is room for {region.most}; raise {request_field('bakes')} or choose the kind best-for"
    )


#: Every kind by its name, and what makes it.
KINDS: dict[str, Callable[[Region], Array]] = {
    "screening": screening,
    "definitive": definitive,
    "full": full,
    "fraction": fraction,
    "curved": curved,
    "faced": faced,
    "inscribed": inscribed,
    "edges": edges,
    "blend": blend,
    "best-for": best_for,
}


def points_of(kind: str, region: Region) -> Array:
    """The points of a kind. Raises CannotRun where there is no room, or a point has levels that do not go together."""
    made = KINDS[kind](region)
    if len(made) > region.most:
        raise _too_few(kind, len(made), region)
    if region.goes and not all(region.goes(tuple(point)) for point in made.tolist()):
        raise CannotRun(
            f"the kind {kind} bakes combinations that do not go together; choose the kind best-for"
        )
    # ten digits are more than any scale shows, and the same on every machine; adding 0 does away with -0
    return np.round(made, 10) + 0.0
