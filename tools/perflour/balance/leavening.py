"""Baking soda against the acids of a formula, and baking powder against the usual dose.

Soda works only as far as acid uses it up; 100 g of each acid ingredient use up what the catalogue's
``neutralises`` says. Limits: published figures differ up to threefold, the acid of fruit and cocoa
varies, fruit in pieces gives it up late. Baking powder's acid is spent on its own soda.
"""

from dataclasses import dataclass
from typing import Literal

from perflour.balance.balance import Balance, TotalLine
from perflour.balance.gas import AMMONIA, POWDER, POWDER_GAS_PERCENT, SODA, gas_lines, is_uncounted
from perflour.kitchen.catalogue import Ingredient
from perflour.tuples import NamedTuple

GRAMS_PER_TSP = 4.6  # baking soda and baking powder: USDA SR28, NDB 18372 and 18369
FLOUR_GRAMS_PER_CUP = 125.0  # all-purpose flour: USDA SR28, NDB 20081
# Teaspoons of baking powder to a US cup of flour: common practice, no source. A published
# cake-balance note (online recipe page) gives 1 for cake.
POWDER_TSP_LOW, POWDER_TSP_HIGH, POWDER_TSP_FLAG = 1.0, 1.5, 2.0
# A thousandth of the soda is no difference: masses of measures are given to three digits.
BALANCE_TOLERANCE = 0.001

Verdict = Literal["no-soda", "balanced", "soda-left", "acid-left"]
Dose = Literal["none", "below", "usual", "high", "too-high"]


class MassRange(NamedTuple):
    """A mass in g by the lowest, the usual and the highest published figure."""

    low_g: float
    usual_g: float
    high_g: float


class Acid(NamedTuple):
    """An acid ingredient and the soda it uses up."""

    name: str
    mass_g: float
    soda_g: MassRange


@dataclass(frozen=True)
class Leavening:
    """The leavening of a batch.

    ``soda_left`` is soda less what the acids use up; below zero, acid is left that could use up so
    much more. ``gas_g`` is carbon dioxide, ``as_powder_percent`` the powder of the law's least strength that gives
    as much. All of it is of the base. ``leavened`` are flours with leavening mixed in, ``not_counted`` acids without
    a figure or mass, and what is not known at all.
    """

    soda_g: float
    soda_percent: float | None
    soda_tsp_per_cup: float | None
    acids: tuple[Acid, ...]
    used_up: MassRange
    soda_left: MassRange
    verdict: Verdict
    powder_g: float
    powder_percent: float | None
    powder_tsp_per_cup: float | None
    powder_dose: Dose | None
    gas_g: float
    gas_percent: float | None
    as_powder_percent: float | None
    ammonia: bool
    leavened: tuple[str, ...]
    not_counted: tuple[str, ...]


def leavening(balance: Balance) -> Leavening:
    """Soda, acids and powder of a formula. Percentages are of the basis, None without one."""
    soda_g = sum(line.mass_g for line in balance.total if line.name == SODA)
    powder_g = sum(line.mass_g for line in balance.total if POWDER in line.name)
    acids = tuple(acid for line in balance.total if (acid := _acid(line)))
    used_up = (
        MassRange(*(sum(column) for column in zip(*(a.soda_g for a in acids), strict=True)))
        if acids
        else MassRange(0.0, 0.0, 0.0)
    )
    powder_tsp = _tsp_per_cup(powder_g, balance)
    gas_g = sum(line.mass_g * share for line, share in gas_lines(balance.total))
    return Leavening(
        soda_g=soda_g,
        soda_percent=_percent(soda_g, balance),
        soda_tsp_per_cup=_tsp_per_cup(soda_g, balance),
        acids=acids,
        used_up=used_up,
        soda_left=MassRange(
            soda_g - used_up.high_g, soda_g - used_up.usual_g, soda_g - used_up.low_g
        ),
        verdict=_verdict(soda_g, used_up),
        powder_g=powder_g,
        powder_percent=_percent(powder_g, balance),
        powder_tsp_per_cup=powder_tsp,
        powder_dose=None if powder_tsp is None else _dose(powder_tsp),
        gas_g=gas_g,
        gas_percent=_percent(gas_g, balance),
        as_powder_percent=_percent(gas_g / POWDER_GAS_PERCENT * 100, balance),
        ammonia=any(line.name == AMMONIA and is_uncounted(line) for line in balance.total),
        leavened=tuple(
            line.name for line in balance.total if line.name != AMMONIA and is_uncounted(line)
        ),
        not_counted=_not_counted(balance),
    )


def _acid(line: TotalLine) -> Acid | None:
    figures = line.ingredient.neutralises if line.ingredient else None
    if figures is None:
        return None
    in_hundreds = line.mass_g / 100
    span = MassRange(
        figures.low_g * in_hundreds, figures.soda_g * in_hundreds, figures.high_g * in_hundreds
    )
    return Acid(line.name, line.mass_g, span)


def _verdict(soda_g: float, used_up: MassRange) -> Verdict:
    if soda_g == 0:
        return "no-soda"
    tolerance_g = soda_g * BALANCE_TOLERANCE
    if soda_g > used_up.high_g + tolerance_g:
        return "soda-left"
    return "acid-left" if soda_g < used_up.low_g - tolerance_g else "balanced"


def _dose(tsp_per_cup: float) -> Dose:
    tsp_per_cup = round(tsp_per_cup, 2)  # finer than any spoon, coarser than a float's last digit
    if tsp_per_cup == 0:
        return "none"
    if tsp_per_cup < POWDER_TSP_LOW:
        return "below"
    if tsp_per_cup <= POWDER_TSP_HIGH:
        return "usual"
    return "high" if tsp_per_cup <= POWDER_TSP_FLAG else "too-high"


def _percent(mass_g: float, balance: Balance) -> float | None:
    return mass_g / balance.basis_g * 100 if balance.basis_g else None


def _tsp_per_cup(mass_g: float, balance: Balance) -> float | None:
    """Teaspoons to 125 g of the basis, a US cup of flour."""
    if not balance.basis_g:
        return None
    return mass_g / GRAMS_PER_TSP / (balance.basis_g / FLOUR_GRAMS_PER_CUP)


def _not_counted(balance: Balance) -> tuple[str, ...]:
    lacking = [
        w.name for w in balance.unweighed_in_base if w.ingredient is None or _matters(w.ingredient)
    ]
    for line in balance.total:
        known = line.ingredient
        if (
            known is None
            or (line.name != AMMONIA and is_uncounted(line))
            or (known.reacts == "acid" and known.neutralises is None)
        ):
            lacking.append(line.name)
    return tuple(dict.fromkeys(lacking))


def _matters(ingredient: Ingredient) -> bool:
    return bool(ingredient.reacts or ingredient.neutralises) or ingredient.group == "leavening"
