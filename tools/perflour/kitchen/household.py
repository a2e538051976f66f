"""Masses to sensible household measures: the cups and spoons a home baker owns."""

from __future__ import annotations

from fractions import Fraction

from perflour.kitchen.catalogue import Ingredient
from perflour.kitchen.numbers import mixed
from perflour.kitchen.units import find_unit, unit_named
from perflour.kitchen.weighing import nearest_volume_measure
from perflour.kitchen.whose import meant

# Measures in a household set, largest first: cups, then spoons (common practice, no source).
_CUPS = [Fraction(n, 12) for n in (12, 9, 8, 6, 4, 3)]  # 1, 3/4, 2/3, 1/2, 1/3, 1/4
_TBSP = [Fraction(n, 2) for n in (6, 5, 4, 3, 2, 1)]
_TSP = [*(Fraction(n, 8) for n in range(30, 0, -1)), *(Fraction(n, 3) for n in (5, 4, 2, 1))]
# One measure that is this near beats two that are nearer.
NEAR_ENOUGH = 0.02
# Farther off than this no measure is said: a quarter spoon for a third is a quarter of the soda too little.
TOO_FAR = 0.06
# A pinch may be half of one either way, as it is weighed.
PINCH_FROM, PINCH_TO = 0.7, 1.4
# Whole and half eggs up to so far off; the cookbook takes them as near. Common practice, no source.
EGG_TOO_FAR = 0.06
# From here on cups, below spoons; from this share of a tablespoon on those, below teaspoons.
LEAST_CUP_ML = 55.0
LEAST_TBSP = 0.95


def household_measure(grams: float, ingredient: Ingredient | None, state: str) -> str | None:
    """The mass as cups and spoons, nearest first, at most two kinds; None without a volume measure."""
    if ingredient is None or grams <= 0:
        return None
    if ingredient.group == "egg":
        return eggs_measure(grams, ingredient)
    ml = volume_ml(grams, ingredient, state)
    if ml is None:
        return None
    if ml < PINCH_TO * unit_named("pinch").factor:
        return "1 pinch" if ml > PINCH_FROM * unit_named("pinch").factor else None
    own = spoons_of(ingredient)
    best = min(_candidates(ml, own), key=lambda said: _cost(said, ml, own))
    return None if abs(off(best, ml, own)) > TOO_FAR else told(best)


def eggs_measure(grams: float, ingredient: Ingredient) -> str | None:
    """Large eggs, whole or half, where they come near; nobody measures eggs in cups."""
    number = count_measure(grams, ingredient, "large")
    halves = Fraction(round(number * 2), 2) if number else Fraction(0)
    if not number or not halves or abs(float(halves) / number - 1) > EGG_TOO_FAR:
        return None
    return f"{mixed(halves)} large"


def count_measure(grams: float, ingredient: Ingredient, word: str) -> float | None:
    """How many pieces of a size weigh that much; None where the size has no mass."""
    each = next((m.grams for m in ingredient.measures if m.per == word and not m.state), None)
    return grams / each if each else None


Measures = tuple[tuple[Fraction, str], ...]
#: What the cup, tbsp and tsp of a kitchen hold, in ml.
Spoons = dict[str, float]


def spoons_of(ingredient: Ingredient) -> Spoons:
    """Those that an ingredient is measured in."""
    names = ("cup", "tbsp", "tsp")
    return {name: meant(unit_named(name), ingredient.measured_in).factor for name in names}


def off(said: Measures, ml: float, own: Spoons) -> float:
    """How far measures are above a volume, as a share of it; below it, less than zero."""
    # what float() of a Fraction does, five times as fast
    return sum(n.numerator / n.denominator * own[unit] for n, unit in said) / ml - 1


def told(said: Measures) -> str:
    """In the notation of formula files: ``1/2 cup plus 1 tbsp``."""
    return " plus ".join(f"{mixed(number)} {unit}" for number, unit in said)


def volume_ml(grams: float, ingredient: Ingredient, state: str) -> float | None:
    """The volume, by the measure nearest in size to the answer."""
    ml = grams
    for _ in range(2):  # the first guess picks spoon or cup, the second uses it
        measure = nearest_volume_measure(ingredient, ml, state)
        unit = find_unit(measure.per) if measure else None
        if measure is None or unit is None:
            return None
        ml = grams / measure.grams * unit.factor
    return ml


def _candidates(ml: float, own: Spoons) -> list[Measures]:
    """One measure, or a cup measure with spoons, near the volume."""
    cup, tbsp, tsp = own["cup"], own["tbsp"], own["tsp"]
    if ml < LEAST_TBSP * tbsp:
        return [((n, "tsp"),) for n in _TSP]
    spoons: list[Measures] = [((number, "tbsp"),) for number in _TBSP]
    spoons += [
        ((Fraction(whole), "tbsp"), (small, "tsp"))
        for whole in (1, 2, 3)
        for small in _TSP
        if small < tbsp / tsp
    ]
    if ml < LEAST_CUP_ML:
        return spoons
    whole = int(ml // cup)
    steps = [whole + part for part in (Fraction(0), *_CUPS)] + [Fraction(whole + 1)]
    found: list[Measures] = [((number, "cup"),) for number in steps if number]
    found += spoons if ml < cup / 4 else []  # between the last spoon and the smallest cup
    for number in steps:
        rest = ml - float(number) * cup
        if number and 0 < rest < LEAST_CUP_ML:
            spoon, size = ("tbsp", tbsp) if rest >= LEAST_TBSP * tbsp else ("tsp", tsp)
            nearest = min(
                _TBSP if spoon == "tbsp" else _TSP, key=lambda s: abs(float(s) * size - rest)
            )
            found.append(((number, "cup"), (nearest, spoon)))
    return found


def _cost(said: Measures, ml: float, own: Spoons) -> tuple[bool, int, float]:
    """Near enough first, then few measures, then nearest."""
    error = abs(off(said, ml, own))
    return error > NEAR_ENOUGH, len(said) if error <= NEAR_ENOUGH else 0, error
