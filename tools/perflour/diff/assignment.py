"""Who goes with whom at the least cost in all; the same whichever side comes first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from itertools import permutations

from perflour.typed import Any, TypeVar

A = TypeVar("A")
Pair = tuple[int, int]
Costs = dict[Pair, float]
# Ties go to partners that stand at like places, by so little that no cost of ours is that near.
TIE = 1e-9
# Up to this many on either side every way is tried (24 of them), which is as quick as looking for one.
TRIED_OUT = 4
# Up to this many pairs all are held against each other: 150 steps on both sides, more than any formula
# has. Beyond it, time and memory would grow with the square.
MOST_COMPARED = 22_500
# So many of both sides together are held against each other where that are too many for all.
WINDOW = 80


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
        pairs += (by_trying if small else by_paths)(group, rows, columns)
    return sorted(pairs)


def assign_near(
    before: Sequence[A],
    after: Sequence[A],
    cost: Callable[[A, A], float | None],
    kind: Callable[[A], Any],
    order: Callable[[A], Any],
) -> tuple[list[Pair], bool]:
    """The same of any number, in time that grows with it; whether every two were held together.

    Of too many, only those of one kind; of a kind too many, those that stand near in ``order``.
    """
    if len(before) * len(after) <= MOST_COMPARED:
        return assign(before, after, cost), True
    pairs: list[Pair] = []
    whole = True
    for rows, columns in _kinds(before, after, kind):
        windows = [(rows, columns)]
        if len(rows) * len(columns) > MOST_COMPARED:
            windows, whole = _windows(before, after, rows, columns, order), False
        for near, others in windows:
            found = assign([before[a] for a in near], [after[b] for b in others], cost)
            pairs += [(near[a], others[b]) for a, b in found]
    return sorted(pairs), whole


_Places = tuple[list[int], list[int]]


def _kinds(before: Sequence[A], after: Sequence[A], kind: Callable[[A], Any]) -> Iterable[_Places]:
    """The places of each kind on both sides."""
    kinds: dict[Any, _Places] = defaultdict(lambda: ([], []))
    for side, entries in enumerate((before, after)):
        for at, entry in enumerate(entries):
            kinds[kind(entry)][side].append(at)
    return kinds.values()


def _windows(
    before: Sequence[A],
    after: Sequence[A],
    rows: Sequence[int],
    columns: Sequence[int],
    order: Callable[[A], Any],
) -> list[_Places]:
    """Places of both sides in one order, cut into windows."""
    ranked = [(order(before[a]), 0, a) for a in rows] + [(order(after[b]), 1, b) for b in columns]
    ranked.sort()
    cuts = (ranked[start : start + WINDOW] for start in range(0, len(ranked), WINDOW))
    return [([a for _, of, a in cut if not of], [b for _, of, b in cut if of]) for cut in cuts]


def _groups(costs: Costs) -> Iterable[Costs]:
    """The costs in groups that share no partner, each to be settled by itself."""
    leads: dict[Pair, Pair] = {}

    def lead(of: Pair) -> Pair:
        while (over := leads.setdefault(of, of)) != of:
            leads[of] = leads[over]
            of = over
        return of

    for a, b in costs:
        leads[lead((0, a))] = lead((1, b))
    groups: dict[Pair, Costs] = defaultdict(dict)
    for pair, cost in costs.items():
        groups[lead((0, pair[0]))][pair] = cost
    return groups.values()


def by_trying(costs: Costs, rows: Sequence[int], columns: Sequence[int]) -> list[Pair]:
    """The cheapest of all ways."""
    forbidden = _forbidden(costs, rows, columns)
    if len(rows) > len(columns):
        turned = {(b, a): c for (a, b), c in costs.items()}
        return [(a, b) for b, a in by_trying(turned, columns, rows)]
    ways = (list(zip(rows, chosen, strict=True)) for chosen in permutations(columns, len(rows)))
    best = min(ways, key=lambda way: sum(costs.get(pair, forbidden) for pair in way))
    return [pair for pair in best if pair in costs]


def by_paths(costs: Costs, rows: Sequence[int], columns: Sequence[int]) -> list[Pair]:
    """The same for any number."""
    from perflour.diff.augmenting import cheapest_columns

    if len(rows) > len(columns):
        turned = {(b, a): c for (a, b), c in costs.items()}
        return [(a, b) for b, a in by_paths(turned, columns, rows)]
    forbidden = _forbidden(costs, rows, columns)
    table = [[costs.get((a, b), forbidden) for b in columns] for a in rows]
    chosen = [(a, columns[at]) for a, at in zip(rows, cheapest_columns(table), strict=True)]
    return [pair for pair in chosen if pair in costs]


def _forbidden(costs: Costs, rows: Sequence[int], columns: Sequence[int]) -> float:
    """A cost that no number of pairs makes up for."""
    return (max(costs.values()) + 1.0) * (min(len(rows), len(columns)) + 1)
