"""Who goes with whom at the least cost in all; the same whichever side comes first."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import permutations
from typing import Any, TypeVar

A = TypeVar("A")
Pair = tuple[int, int]
Costs = dict[Pair, float]
# Ties go to partners that stand at like places, by so little that no cost of ours is that near.
TIE = 1e-9
# Up to this many on either side every way is tried (24 of them): scipy takes longer to load than all
# the rest of a diff.
TRIED_OUT = 4


def assign(
    before: Sequence[A], after: Sequence[A], cost: Callable[[A, A], float | None]
) -> list[Pair]:
    """Places of the pairs, by place in ``before``; None as a cost forbids a pair.

    As many pairs as can be, at the least sum of costs. Sort both sides by what they hold, not by
    where they come from, to make ties independent of that.
    """
    costs = {
        (a, b): c + TIE * (a / len(before) - b / len(after)) ** 2
        for a, one in enumerate(before)
        for b, other in enumerate(after)
        if (c := cost(one, other)) is not None
    }
    pairs: list[Pair] = []
    for group in _groups(costs):
        rows, columns = sorted({a for a, _ in group}), sorted({b for _, b in group})
        small = max(len(rows), len(columns)) <= TRIED_OUT
        pairs += (by_trying if small else by_scipy)(group, rows, columns)
    return sorted(pairs)


def _groups(costs: Costs) -> Iterator[Costs]:
    """The costs in groups that share no partner, each to be settled by itself."""
    left = dict(costs)
    while left:
        a, b = next(iter(left))
        rows, columns, size = {a}, {b}, 0
        while size < len(rows) + len(columns):
            size = len(rows) + len(columns)
            near = [(a, b) for a, b in left if a in rows or b in columns]
            rows |= {a for a, _ in near}
            columns |= {b for _, b in near}
        yield {pair: left.pop(pair) for pair in near}


def by_trying(costs: Costs, rows: Sequence[int], columns: Sequence[int]) -> list[Pair]:
    """The cheapest of all ways."""
    forbidden = _forbidden(costs, rows, columns)
    if len(rows) > len(columns):
        turned = {(b, a): c for (a, b), c in costs.items()}
        return [(a, b) for b, a in by_trying(turned, columns, rows)]
    ways = (list(zip(rows, chosen, strict=True)) for chosen in permutations(columns, len(rows)))
    best = min(ways, key=lambda way: sum(costs.get(pair, forbidden) for pair in way))
    return [pair for pair in best if pair in costs]


def by_scipy(costs: Costs, rows: Sequence[int], columns: Sequence[int]) -> list[Pair]:
    """The same for any number; 0.5 s to load."""
    import numpy
    from scipy.optimize import linear_sum_assignment

    table: Any = numpy.full((len(rows), len(columns)), _forbidden(costs, rows, columns))
    for (a, b), value in costs.items():
        table[rows.index(a), columns.index(b)] = value
    places = (found.tolist() for found in linear_sum_assignment(table))
    chosen = [(rows[a], columns[b]) for a, b in zip(*places, strict=True)]
    return [pair for pair in chosen if pair in costs]


def _forbidden(costs: Costs, rows: Sequence[int], columns: Sequence[int]) -> float:
    """A cost that no number of pairs makes up for."""
    return (max(costs.values()) + 1.0) * (min(len(rows), len(columns)) + 1)
