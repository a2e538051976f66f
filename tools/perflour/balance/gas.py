"""Leavening by what it does: the carbon dioxide that powder and soda give off.

Soda and powder added gram for gram mean nothing. Powder gives off its strength, soda all its gas as far as
there is acid for it and half of it by heat alone. Limits: powder loses gas as it ages and the fresh one may
have a third more than the law's least; part of the gas is lost in the bowl; yeast, steam and beaten air lift as well.
"""

from collections.abc import Sequence

from perflour.kitchen.catalogue import Ingredient
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.balance.balance import TotalLine

GAS = "leavening-gas"
SODA, POWDER, AMMONIA = "baking soda", "baking powder", "baker's ammonia"
# Molar masses in g/mol (IUPAC standard atomic weights): carbon dioxide over sodium bicarbonate.
SODA_GAS = 44.009 / 84.006
# By heat alone: 2 NaHCO3 -> Na2CO3 + H2O + CO2.
SODA_GAS_BY_HEAT = SODA_GAS / 2
# Least carbon dioxide of a baking powder, g in 100 g, where its maker's figure is not in the catalogue: US food-law standard, from memory; 16 % is usual when fresh.
POWDER_GAS_PERCENT = 12.0
# A flour with leavening mixed in, and what gives off more than carbon dioxide: not counted unless its gas is
# declared, and said so.
UNCOUNTED = frozenset(("self-rising flour", AMMONIA))


def is_powder(name: str) -> bool:
    return POWDER in name


def declared_percent(line: "TotalLine") -> float | None:
    """Carbon dioxide in percent of a line that gives off the same whatever else is there; None for others."""
    if line.ingredient and line.ingredient.gas_percent is not None:
        return line.ingredient.gas_percent
    return POWDER_GAS_PERCENT if is_powder(line.name) else None


def is_uncounted(line: "TotalLine") -> bool:
    """Whether a line gives off gas and nobody has said how much."""
    return line.name in UNCOUNTED and declared_percent(line) is None


def acid_for_soda_g(total: Sequence["TotalLine"]) -> float:
    """The soda that the acids of a formula use up, by their usual figures."""
    return sum(
        line.mass_g * line.ingredient.neutralises.soda_g / 100
        for line in total
        if line.ingredient and line.ingredient.neutralises
    )


def gas_lines(total: Sequence["TotalLine"]) -> list[tuple["TotalLine", float]]:
    """The lines that lift, each with the carbon dioxide that a gram of it gives off here."""
    soda_g = sum(line.mass_g for line in total if line.name == SODA)
    of_soda = SODA_GAS
    if soda_g:
        used_g = min(soda_g, acid_for_soda_g(total))
        of_soda = (used_g * SODA_GAS + (soda_g - used_g) * SODA_GAS_BY_HEAT) / soda_g
    found = []
    for line in total:
        name, known = line.name, line.ingredient
        if name == SODA:
            found.append((line, of_soda))
        elif (POWDER in name or (known and known.gas_percent)) and (percent := declared_percent(line)):  # fmt: skip
            found.append((line, percent / 100))
    return found


def may_lift(name: str, ingredient: Ingredient | None, with_soda: bool) -> bool:
    """Whether the gas of a formula is not known while this has no mass, or no figure."""
    if ingredient is None or name in UNCOUNTED:
        return True
    if with_soda and ingredient.neutralises:
        return True  # its acid frees the other half of the soda's gas
    return name == SODA or is_powder(name) or ingredient.gas_percent is not None
