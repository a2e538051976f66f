"""Formulas held against each other as they are now: who is near whom, what sets them apart, which are the same."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from perflour.compare.collect import collect
from perflour.evidence.apart import Apart, WithoutIt, apart, nearest_without
from perflour.evidence.maps import Branch, Map, map_of, tree_of
from perflour.evidence.twins import Twins, twins
from perflour.kitchen.house import kitchen_for
from perflour.result import Result


@dataclass(frozen=True)
class Likeness:
    """Distances in usual widths, map, tree, the same and those one thing apart, and each odd value with the nearest without it."""

    apart: Apart
    map: Map
    tree: Branch | str
    twins: Twins
    odd: tuple[WithoutIt, ...]
    results: tuple[Result, ...]


def likeness(names: Sequence[str]) -> Likeness | None:
    """What holds of the formulas that files and folders hold; None of fewer than two that can be compared.

    Raises CannotRun for a path that is not there.
    """
    found = collect(names)
    if len(found.formulas) < 2:
        return None
    house = kitchen_for(found.formulas[0].path).house
    distances = apart(found.formulas, house)
    if len(distances.labels) < 2:
        return None
    return Likeness(
        distances,
        map_of(distances),
        tree_of(distances),
        twins(found.formulas, house),
        nearest_without(distances),
        found.results,
    )
