"""What stands beside the base in several formulas: toppings, fillings, icings, by kind of part."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from perflour.balance.balance import Balance
from perflour.compare.table import UNSAID
from perflour.formula.places import KINDS


@dataclass(frozen=True)
class BesideMiddle:
    """A kind of part beside the base: the median of g for 100 g of the base, over the formulas that have one.

    ``known`` of the ``formulas`` can be weighed whole; None where none can.
    """

    kind: str
    grams_for_100_g: float | None
    formulas: int
    known: int


def beside_middles(balances: Sequence[Balance]) -> tuple[BesideMiddle, ...]:
    """Every kind of part beside the base, by name."""
    found: dict[str, list[float | None]] = {}
    for balance in balances:
        sums: dict[str, float | None] = {}
        for one in balance.beside:
            kind = one.part.part.kind if one.part.part.kind in KINDS else UNSAID
            sums[kind] = (sums.get(kind) or 0.0) + one.part.mass_g
        for kind, grams in sums.items():
            whole = grams and balance.base_g and not balance.unweighed
            found.setdefault(kind, []).append(grams / balance.base_g * 100 if whole and grams else None)  # fmt: skip
    return tuple(_middle(kind, values) for kind, values in sorted(found.items()))


def _middle(kind: str, values: Sequence[float | None]) -> BesideMiddle:
    known = [value for value in values if value is not None]
    return BesideMiddle(kind, median(known) if known else None, len(values), len(known))
