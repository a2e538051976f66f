"""How far formulas are apart: one number for each pair, and which of them is the odd one out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import dist, sqrt
from statistics import median

# With two formulas each is as odd as the other.
FEWEST_FORMULAS = 3


@dataclass(frozen=True)
class Distances:
    """Root mean square differences over the kinds of ingredient, in points of the basis.

    ``nearest`` holds the positions of the closest pair. ``odd`` is the formula with the largest
    median distance to the others; None where all are alike, or where there are only two.
    """

    matrix: tuple[tuple[float, ...], ...]
    nearest: tuple[int, int]
    nearest_distance: float
    odd: int | None
    odd_distance: float


def distances(points: Sequence[Sequence[float]], labels: Sequence[str]) -> Distances:
    """Distances between formulas given by their percentages of each kind, two formulas or more.

    Of equals the one whose label comes first is named, whatever the order of the files.
    """
    matrix = tuple(tuple(dist(a, b) / sqrt(len(a)) for b in points) for a in points)
    by_label = sorted(range(len(labels)), key=lambda at: labels[at])
    first, second = min(combinations(by_label, 2), key=lambda pair: matrix[pair[0]][pair[1]])
    typical = {at: _to_the_others(matrix, at) for at in by_label}
    odd = max(by_label, key=lambda at: typical[at])
    there_is = len(labels) >= FEWEST_FORMULAS and typical[odd] > 0
    nearest = (min(first, second), max(first, second))
    return Distances(
        matrix,
        nearest,
        matrix[first][second],
        odd if there_is else None,
        typical[odd] if there_is else 0.0,
    )


def _to_the_others(matrix: tuple[tuple[float, ...], ...], at: int) -> float:
    return median(distance for other, distance in enumerate(matrix[at]) if other != at)
