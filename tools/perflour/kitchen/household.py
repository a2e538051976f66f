"""Masses to sensible household measures: the cups and spoons a home baker owns."""

from __future__ import annotations

from fractions import Fraction

from perflour.kitchen.catalogue import Ingredient
from perflour.kitchen.units import find_unit, unit_named
from perflour.kitchen.weighing import nearest_volume_measure

# Measures in a household set, largest first: cups, then spoons (common practice, no source).
_CUPS = [Fraction(n, 12) for n in (12, 9, 8, 6, 4, 3)]  # 1, 3/4, 2/3, 1/2, 1/3, 1/4
_TBSP = [Fraction(n, 2) for n in (6, 5, 4, 3, 2, 1)]
_TSP = [Fraction(n, 8) for n in (20, 16, 12, 10, 8, 6, 4, 2, 1)]
# One measure that is this near beats two that are nearer.
NEAR_ENOUGH = 0.02
# From here on cups, below spoons; from here on tablespoons, below teaspoons.
LEAST_CUP_ML = 55.0
LEAST_TBSP_ML = 14.0


def household_measure(grams: float, ingredient: Ingredient | None, state: str) -> str | None:
    """The mass as cups and spoons, nearest first, at most two kinds; None without a volume measure."""
    if ingredient is None or grams <= 0:
        return None
    ml = _volume_ml(grams, ingredient, state)
    if ml is None:
        return None
    best = min(_candidates(ml), key=lambda said: _cost(said, ml))
    return " plus ".join(f"{_mixed(number)} {unit}" for number, unit in best)


def count_measure(grams: float, ingredient: Ingredient, word: str) -> float | None:
    """How many pieces of a size weigh that much; None where the size has no mass."""
    each = next((m.grams for m in ingredient.measures if m.per == word and not m.state), None)
    return grams / each if each else None


Measures = tuple[tuple[Fraction, str], ...]


def _volume_ml(grams: float, ingredient: Ingredient, state: str) -> float | None:
    """The volume, by the measure nearest in size to the answer."""
    ml = grams
    for _ in range(2):  # the first guess picks spoon or cup, the second uses it
        measure = nearest_volume_measure(ingredient, ml, state)
        unit = find_unit(measure.per) if measure else None
        if measure is None or unit is None:
            return None
        ml = grams / measure.grams * unit.factor
    return ml


def _candidates(ml: float) -> list[Measures]:
    """One measure, or a cup measure with spoons, near the volume."""
    cup, tbsp, tsp = (unit_named(name).factor for name in ("cup", "tbsp", "tsp"))
    if ml < LEAST_TBSP_ML:
        pinch = unit_named("pinch").factor
        return [((Fraction(1), "pinch"),)] if ml < 1.4 * pinch else [((n, "tsp"),) for n in _TSP]
    spoons: list[Measures] = [((number, "tbsp"),) for number in _TBSP]
    spoons += [
        ((Fraction(whole), "tbsp"), (small, "tsp"))
        for whole in (1, 2, 3)
        for small in _TSP
        if small < 3
    ]
    if ml < LEAST_CUP_ML:
        return spoons
    whole = int(ml // cup)
    steps = [whole + part for part in (Fraction(0), *_CUPS)] + [Fraction(whole + 1)]
    found: list[Measures] = [((number, "cup"),) for number in steps if number]
    for number in steps:
        rest = ml - float(number) * cup
        if number and 0 < rest < LEAST_CUP_ML:
            spoon, size = ("tbsp", tbsp) if rest >= LEAST_TBSP_ML else ("tsp", tsp)
            nearest = min(
                _TBSP if spoon == "tbsp" else _TSP, key=lambda s: abs(float(s) * size - rest)
            )
            found.append(((number, "cup"), (nearest, spoon)))
    return found


def _cost(said: Measures, ml: float) -> tuple[bool, int, float]:
    """Near enough first, then few measures, then nearest."""
    error = abs(sum(float(number) * unit_named(unit).factor for number, unit in said) / ml - 1)
    return error > NEAR_ENOUGH, len(said) if error <= NEAR_ENOUGH else 0, error


def _mixed(number: Fraction) -> str:
    whole, rest = divmod(number, 1)
    return f"{whole} {rest}" if whole and rest else str(rest or whole)
