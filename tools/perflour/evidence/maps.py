"""Formulas as places on a map and as branches of a tree, by how far they are apart.

The map is classical scaling (principal coordinates; Torgerson 1952, Gower 1966, from memory): the eigenvectors of the
squared distances, centred twice. The tree is average linkage (scipy).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from perflour.evidence.apart import Apart

AXES = 2
# Eigenvalues below this share of the largest are nothing: rounding.
NOTHING = 1e-9
# A ratio is told of an axis from this rank correlation on, and at most so many are: house choice.
STRONG, MOST_TOLD = 0.5, 3
# Ranks of fewer formulas go together by chance.
FEWEST_RANKED = 4


@dataclass(frozen=True)
class MadeOf:
    """A ratio that goes along with an axis: its rank correlation (Spearman) over ``formulas`` formulas."""

    ratio: str
    correlation: float
    formulas: int


@dataclass(frozen=True)
class Axis:
    """Where each formula stands, in usual widths, and the share of all squared distances that the axis holds."""

    places: tuple[float, ...]
    share: float
    made_of: tuple[MadeOf, ...]


@dataclass(frozen=True)
class Map:
    """Two axes, or fewer where the formulas lie on a line or a point.

    ``eigenvalues`` are all, the largest first. Negative ones say that no map of whatever many axes shows
    the distances exactly, as ``negative_share``: their sum in the sum of the others. They come from ratios that are
    not known everywhere.
    """

    labels: tuple[str, ...]
    axes: tuple[Axis, ...]
    eigenvalues: tuple[float, ...]
    negative_share: float


@dataclass(frozen=True)
class Branch:
    """Formulas that hang together: two branches or formulas that meet ``height`` widths apart (mean)."""

    height: float
    labels: tuple[str, ...]
    parts: tuple[Branch | str, ...]


def map_of(found: Apart) -> Map:
    """The map; which way an axis points: the ratio that goes along with it most grows along it."""
    import numpy as np  # kept off the path of the commands that do without

    order = sorted(range(len(found.labels)), key=lambda at: found.labels[at])
    squares = np.array([[found.matrix[a][b] ** 2 for b in order] for a in order])
    means = squares.mean(axis=0)
    centred = -0.5 * (squares - means - means[:, None] + squares.mean())
    values, vectors = np.linalg.eigh(centred)
    values, vectors = values[::-1], vectors[:, ::-1]
    largest = max(float(values[0]), 0.0) if len(values) else 0.0
    values = np.where(abs(values) <= NOTHING * max(largest, 1e-300), 0.0, values)
    positive = float(values[values > 0].sum())
    axes = []
    for at in range(min(AXES, int((values > 0).sum()))):
        places = [0.0] * len(order)
        for place, formula in zip(vectors[:, at] * values[at] ** 0.5, order, strict=True):
            places[formula] = float(place)
        axes.append(_axis(found, places, order, float(values[at]) / positive))
    negative = abs(float(values[values < 0].sum()))
    return Map(
        found.labels,
        tuple(axes),
        tuple(map(float, values)),
        negative / positive if positive else 0.0,
    )


def tree_of(found: Apart) -> Branch | str:
    """The formulas as a tree, branches by their first label; one formula is its own tree."""
    from scipy.cluster.hierarchy import linkage  # as numpy above
    from scipy.spatial.distance import squareform

    order = sorted(range(len(found.labels)), key=lambda at: found.labels[at])
    branches: list[Branch | str] = [found.labels[at] for at in order]
    if len(order) < 2:
        return branches[0]
    for first, second, height, _ in _linked(linkage, squareform, found, order):
        parts = sorted((branches[int(first)], branches[int(second)]), key=_labels)
        inside = tuple(sorted(label for part in parts for label in _labels(part)))
        branches.append(Branch(float(height), inside, tuple(parts)))
    return branches[-1]


def _linked(linkage: Any, squareform: Any, found: Apart, order: Sequence[int]) -> Any:
    square = [[found.matrix[a][b] for b in order] for a in order]
    return linkage(squareform(square, checks=False), method="average")


def _labels(part: Branch | str) -> tuple[str, ...]:
    return (part,) if isinstance(part, str) else part.labels


def _axis(found: Apart, places: Sequence[float], order: Sequence[int], share: float) -> Axis:
    correlations = sorted(_correlations(found, places), key=lambda m: -round(abs(m.correlation), 9))
    sign = 1.0
    if correlations:
        sign = 1.0 if correlations[0].correlation >= 0 else -1.0
    else:  # the first label that stands off the middle stands below it
        first = next((places[at] for at in order if abs(places[at]) > NOTHING), -1.0)
        sign = -1.0 if first > 0 else 1.0
    told = [m for m in correlations if abs(m.correlation) >= STRONG][:MOST_TOLD]
    return Axis(
        tuple(sign * place for place in places),
        share,
        tuple(MadeOf(m.ratio, sign * m.correlation, m.formulas) for m in told),
    )


def _correlations(found: Apart, places: Sequence[float]) -> list[MadeOf]:
    """Of every ratio that differs among formulas where it is known."""
    from scipy.stats import spearmanr  # as numpy above

    made = []
    for at, ratio in enumerate(found.ratios):
        known = [
            (p, place) for row, place in zip(found.percents, places, strict=True)
            if (p := row[at]) is not None
        ]  # fmt: skip
        if len(known) < FEWEST_RANKED or len({p for p, _ in known}) < 2:
            continue
        # places that differ by rounding alone are one rank
        values = [[round(v, 9) for v in side] for side in zip(*known, strict=True)]
        if len(set(values[1])) > 1:
            made.append(MadeOf(ratio, float(spearmanr(*values).statistic), len(known)))
    return made
