"""Who goes with whom at the least cost in all; the same whichever side comes first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any, TypeVar

A = TypeVar("A")
# Ties go to partners that stand at like places, by so little that no cost of ours is that near.
TIE = 1e-9


def assign(
    before: Sequence[A], after: Sequence[A], cost: Callable[[A, A], float | None]
) -> list[tuple[int, int]]:
    """Places of the pairs, by place in ``before``; None as a cost forbids a pair.

    As many pairs as can be, at the least sum of costs. Sort both sides by what they hold, not by
    where they come from, to make ties independent of that.
    """
    costs = {
        (a, b): c
        for a, one in enumerate(before)
        for b, other in enumerate(after)
        if (c := cost(one, other)) is not None
    }
    if _no_choice(list(costs)):
        return sorted(costs)
    return _least(costs, len(before), len(after))


def _no_choice(pairs: list[tuple[int, int]]) -> bool:
    return len({a for a, _ in pairs}) == len({b for _, b in pairs}) == len(pairs)


def _least(costs: dict[tuple[int, int], float], rows: int, columns: int) -> list[tuple[int, int]]:
    import numpy  # 90 ms with scipy: only where there is something to choose
    from scipy.optimize import linear_sum_assignment

    forbidden = (max(costs.values()) + 1.0) * (min(rows, columns) + 1)
    table: Any = numpy.full((rows, columns), forbidden)
    for (a, b), value in costs.items():
        table[a, b] = value + TIE * (a / rows - b / columns) ** 2
    chosen = zip(*(places.tolist() for places in linear_sum_assignment(table)), strict=True)
    return [pair for pair in chosen if pair in costs]
