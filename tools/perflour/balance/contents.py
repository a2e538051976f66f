"""Composition, leavening and allergens of one formula together: what `contents` reports."""

from __future__ import annotations

from dataclasses import dataclass

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance
from perflour.balance.composition import Figure, FigureSpread, composition, composition_spreads
from perflour.balance.leavening import Leavening, leavening
from perflour.balance.spread import Measures, uncertain
from perflour.formula.digests import digest
from perflour.formula.formula import Formula
from perflour.kitchen.cautions import Caution, texts


@dataclass(frozen=True)
class Contents:
    """What a formula holds, of the batch before the oven.

    ``leavening`` and all percentages are of the base, in percent ``of`` its flour; ``may_be_flour`` is not in that
    100 % and may belong there. ``spreads`` is empty unless asked for; ``limits`` say what the figures do not cover.
    """

    formula: Formula
    digest: str
    base: str
    of: str
    may_be_flour: tuple[str, ...]
    basis_items: tuple[str, ...]
    basis_g: float
    batch_g: float
    pieces: int | None
    mass_per_piece_g: float | None
    figures: tuple[Figure, ...]
    spreads: dict[str, FigureSpread]
    leavening: Leavening
    allergens: Allergens
    limits: tuple[Caution, ...]


def contents(balance: Balance, with_spreads: bool = False) -> Contents:
    """The contents of a formula; spreads from measuring only where asked for."""
    lift = leavening(balance)
    yields = balance.formula.yields
    numbers = uncertain(balance, Measures()) if with_spreads else None
    return Contents(
        formula=balance.formula,
        digest=digest(balance.formula),
        base=balance.base_name,
        of=balance.of,
        may_be_flour=balance.may_be_flour,
        basis_items=tuple(line.name for line in balance.total if line.in_basis),
        basis_g=balance.basis_g,
        batch_g=balance.batch_g,
        pieces=yields.pieces if yields else None,
        mass_per_piece_g=balance.mass_per_piece_g,
        figures=composition(balance),
        spreads=composition_spreads(balance, numbers) if numbers else {},
        leavening=lift,
        allergens=allergens(balance),
        limits=texts().that_hold(_situations(lift)),
    )


def _situations(lift: Leavening) -> frozenset[str]:
    found = {"composition"}
    if lift.acids or lift.soda_g:
        found.add("acids")
    if lift.verdict == "soda-left":
        found.add("soda-left")
    return frozenset(found)
