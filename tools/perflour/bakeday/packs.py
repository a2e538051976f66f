"""Which packs to buy: the cheapest that hold enough, then the least left over, then the fewest."""

from __future__ import annotations

import time
from collections.abc import Sequence
from fractions import Fraction
from math import ceil, lcm
from typing import NamedTuple

from perflour.kitchen.prices import Pack

#: Beyond these numbers the sizes are no kitchen's, and the whole numbers below no computer's.
MOST_PACKS = 100_000


#: The longest search for one shopping list.
SECONDS = 10.0
#: Each ingredient is given this much at least, until the time of the list is over.
LEAST_SECONDS = 0.1


class Packs(NamedTuple):
    """How many of each pack to buy; ``proven`` says whether nothing better exists."""

    numbers: tuple[int, ...]
    proven: bool = True


def cheapest_packs(
    packs: Sequence[Pack], grams: Fraction, seconds: float = SECONDS
) -> Packs | None:
    """How many of each pack to buy for ``grams`` of use; None where that is beyond any kitchen.

    Exact: sizes and prices are brought to whole numbers, the minimum is proven by the solver. Where it takes
    longer than ``seconds``, the best that was found.
    """
    if grams <= 0:
        return Packs((0,) * len(packs))
    most = [ceil(grams / pack.grams) for pack in packs]
    if len(packs) == 1:
        return Packs(tuple(most))
    if max(most) > MOST_PACKS:
        return None
    return _solved(packs, grams, most, seconds)


def _solved(
    packs: Sequence[Pack], grams: Fraction, most: Sequence[int], seconds: float
) -> Packs | None:
    from ortools.sat.python import cp_model  # 0.7 s: only where there is a choice

    sizes, need = _whole([pack.grams for pack in packs], grams)
    prices, _ = _whole([pack.price for pack in packs], Fraction(0))
    model = cp_model.CpModel()
    numbers = [model.new_int_var(0, n, f"pack {at}") for at, n in enumerate(most)]
    held = cp_model.LinearExpr.weighted_sum(numbers, sizes)
    model.add(held >= need)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    found = _of_one_size(packs, most)
    until = time.monotonic() + seconds
    for goal in (
        cp_model.LinearExpr.weighted_sum(numbers, prices),
        held,
        cp_model.LinearExpr.sum(numbers),
    ):
        model.minimize(goal)
        model.clear_hints()
        for number, value in zip(numbers, found, strict=True):
            model.add_hint(number, value)
        solver.parameters.max_time_in_seconds = max(until - time.monotonic(), LEAST_SECONDS)
        status = solver.solve(model)
        if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE, cp_model.UNKNOWN):
            return None
        if status != cp_model.UNKNOWN:
            found = tuple(solver.value(number) for number in numbers)
        if status != cp_model.OPTIMAL:
            return Packs(found, proven=False)
        model.add(goal == round(solver.objective_value))
    return Packs(found)


def _of_one_size(packs: Sequence[Pack], most: Sequence[int]) -> tuple[int, ...]:
    """The cheapest of those ways that take packs of one size only."""
    best = min(range(len(packs)), key=lambda at: packs[at].price * most[at])
    return tuple(most[at] if at == best else 0 for at in range(len(packs)))


def _whole(values: Sequence[Fraction], least: Fraction) -> tuple[list[int], int]:
    """Fractions times the number that makes all of them whole; ``least`` is rounded up."""
    scale = lcm(*(value.denominator for value in values))
    return [int(value * scale) for value in values], ceil(least * scale)
