"""Which packs to buy: the cheapest that hold enough, then the least left over, then the fewest."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from math import ceil, lcm

from perflour.kitchen.prices import Pack

#: Beyond these numbers the sizes are no kitchen's, and the whole numbers below no computer's.
MOST_PACKS = 100_000
#: Usual ones take milliseconds.
LONGEST_S = 5.0


def cheapest_packs(packs: Sequence[Pack], grams: Fraction) -> tuple[int, ...] | None:
    """How many of each pack to buy for ``grams`` of use; None where that is beyond any kitchen, or not found in time.

    Exact: sizes and prices are brought to whole numbers, the minimum is proven by the solver.
    """
    if grams <= 0:
        return (0,) * len(packs)
    most = [ceil(grams / pack.grams) for pack in packs]
    if len(packs) == 1:
        return tuple(most)
    if max(most) > MOST_PACKS:
        return None
    return _solved(packs, grams, most)


def _solved(packs: Sequence[Pack], grams: Fraction, most: Sequence[int]) -> tuple[int, ...] | None:
    from ortools.sat.python import cp_model  # 0.7 s: only where there is a choice

    sizes, need = _whole([pack.grams for pack in packs], grams)
    prices, _ = _whole([pack.price for pack in packs], Fraction(0))
    model = cp_model.CpModel()
    numbers = [model.new_int_var(0, n, f"pack {at}") for at, n in enumerate(most)]
    held = cp_model.LinearExpr.weighted_sum(numbers, sizes)
    model.add(held >= need)
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.max_time_in_seconds = LONGEST_S
    for goal in (
        cp_model.LinearExpr.weighted_sum(numbers, prices),
        held,
        cp_model.LinearExpr.sum(numbers),
    ):
        model.minimize(goal)
        if solver.solve(model) != cp_model.OPTIMAL:
            return None
        model.add(goal == round(solver.objective_value))
    return tuple(solver.value(number) for number in numbers)


def _whole(values: Sequence[Fraction], least: Fraction) -> tuple[list[int], int]:
    """Fractions times the number that makes all of them whole; ``least`` is rounded up."""
    scale = lcm(*(value.denominator for value in values))
    return [int(value * scale) for value in values], ceil(least * scale)
