"""Whose cups, spoons, pints and eggs a kitchen means: US, UK, metric or Australian."""

from perflour.kitchen.catalogue import Ingredient, Measure
from perflour.kitchen.units import Unit, find_unit, unit_named

_IMPERIAL = {
    "pint": "imperial pint", "qt": "imperial qt", "gal": "imperial gal", "fl oz": "imperial fl oz",
}  # fmt: skip
_METRIC = {"cup": "metric cup", "tbsp": "metric tbsp", "tsp": "metric tsp", **_IMPERIAL}
# What a bare name means. British cups and spoons in print are metric today; the cup of half an imperial
# pint is rare (units.csv). All from memory, and units.txt has what each holds.
SYSTEMS: dict[str, dict[str, str]] = {
    "us": {},
    "uk": _METRIC,
    "metric": _METRIC,
    "australian": {**_METRIC, "tbsp": "Australian tbsp"},
}
# Edible grams and their spread by size, and of an egg that says no size. The shell and what clings to it are
# 12 % (USDA SR28, NDB 01123: 50 g of a large egg of at least 56.7 g). EU and UK classes are those of Regulation
# (EC) 589/2008, from memory: S under 53 g in the shell, M to 63, L to 73, XL above. Australian cartons
# state a dozen of 500, 600, 700 and 800 g, from memory; recipes there mean an egg of 59 g, common practice.
_EDIBLE = 0.88
_EU: dict[str, tuple[float, float]] = {
    "small": (48, 3),
    "medium": (58, 2.9),
    "large": (68, 2.9),
    "extra large": (76, 3),
    "each": (58, 6),
}
_AUSTRALIAN: dict[str, tuple[float, float]] = {
    "medium": (46, 2.4),
    "large": (54, 2.4),
    "extra large": (62.5, 2.4),
    "jumbo": (69, 2),
    "each": (59, 4),
}
EGGS: dict[str, dict[str, tuple[float, float]]] = {
    "us": {},
    "eu": _EU,
    "uk": _EU,
    "australian": _AUSTRALIAN,
}
# The large egg of the US, of which whites and yolks are published.
_US_LARGE_G = 50.0
_SIZES_OF_PLACE = "class of the place by its mass in the shell, from memory, times 0.88"
_SIZES = ("jumbo", "extra large", "large", "medium", "small", "each")


def meant(unit: Unit, measures: str) -> Unit:
    """The unit that a bare name means in a kitchen: its cup, its pint."""
    name = SYSTEMS[measures].get(unit.name) if measures else None
    return unit_named(name) if name else unit


def as_meant(ingredient: Ingredient, measures: str, eggs: str) -> Ingredient:
    """An ingredient of a kitchen that means those cups, and those eggs: else those of the place whose cups are."""
    sizes = EGGS.get(eggs or measures, {})
    if ingredient.group == "egg" and sizes and any(m.per == "large" for m in ingredient.measures):
        ingredient = ingredient._replace(measures=_resized(ingredient, sizes))
    return ingredient._replace(measured_in=measures)


def own_measure(measure: Measure, measures: str) -> Measure:
    """A measure of the house's own list, whose cup is the house's cup."""
    unit = find_unit(measure.per)
    return measure._replace(per=meant(unit, measures).name) if unit else measure


def _resized(ingredient: Ingredient, sizes: dict[str, tuple[float, float]]) -> tuple[Measure, ...]:
    """Its pieces by the sizes of another place: whites and yolks as their share of a large egg."""
    large_g = next(m.grams for m in ingredient.measures if m.per == "large")
    share = large_g / _US_LARGE_G * _EDIBLE
    own = [m for m in ingredient.measures if m.settled and m.per in _SIZES]
    stated = {m.per for m in own}
    kept = [m for m in ingredient.measures if m.per not in _SIZES or m.settled]
    made = [
        Measure(size, "", in_shell * share, spread * share, _SIZES_OF_PLACE, settled=True)
        for size, (in_shell, spread) in sizes.items()
        if size not in stated
    ]
    return (*kept, *made)
