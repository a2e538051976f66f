"""Every measure of every food against its others and against what its composition can weigh."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import pytest

from perflour.kitchen.catalogue import Ingredient, Measure, built_in
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.units import find_unit, unit_named
from perflour.kitchen.weighing import Mass, weigh

FOODS = [food for food in map(built_in().named, built_in().names()) if food]
#: Two figures for one food agree when they are no further apart than two of their spreads together.
SPREADS_APART = 2.0
# Densities in g a ml, from memory: water 1; fat 0.91 as oil and 0.94 set; sugar in solution and dry 1.6,
# starch 1.5, protein 1.35; salt 2.17, soda 2.2.
WATER, FAT, SOLIDS, MINERALS = 1.0, 0.91, 1.58, 2.17
#: Rounding of SR28 (its spoons are often whole grams) and set fat are within this of the matter's density.
AT_MOST = 1.05
# What has no gaps weighs what its matter does; butter and shortening hold a little gas.
WITHOUT_GAPS = {"liquid": 0.94, "oil": 0.94, "syrup": 0.94, "egg": 0.94, "fat": 0.88}
# Common practice, no source: grains poured loose fill a half of the room, flakes and sifted ones a quarter, bran a
# seventh, leaves and threads a tenth of it.
WITH_GAPS = {"sugar": 0.25, "salt": 0.25, "leavening": 0.25, "starch": 0.25, "flour": 0.15, "chocolate": 0.15}  # fmt: skip
LEAST = 0.08
#: Air is beaten in, or it is a powder of its group.
BEATEN_OR_DRIED = ("whipped", "dried", "dry", "powder", "cheese", "cheddar", "parmesan")


def volumes(food: Ingredient) -> Iterator[tuple[Measure, float]]:
    """The measures with the ml they fill; a stick is half a cup."""
    for measure in food.measures:
        unit = find_unit(measure.per)
        if unit and unit.kind == "volume":
            yield measure, unit.factor
        elif measure.per == "stick":
            yield measure, unit_named("cup").factor / 2


def spread_of(food: Ingredient, measure: Measure) -> float:
    mass = weigh(parse_amount(f"1 {measure.per}"), food, measure.state)
    assert isinstance(mass, Mass) and mass.grams == pytest.approx(measure.grams)
    return mass.spread_g


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.name)
def test_cup_spoons_and_stick_agree(food: Ingredient) -> None:
    """A cup is 16 tablespoons is 48 teaspoons, by volume and so by mass, in one state."""
    for (one, ml), (other, other_ml) in combinations(volumes(food), 2):
        if one.state == other.state:
            apart = abs(one.grams / ml - other.grams / other_ml)
            spreads = spread_of(food, one) / ml, spread_of(food, other) / other_ml
            assert apart <= SPREADS_APART * sum(s**2 for s in spreads) ** 0.5, (one, other)


@pytest.mark.parametrize("food", FOODS, ids=lambda food: food.name)
def test_a_measure_weighs_what_its_composition_allows(food: Ingredient) -> None:
    parts = food.composition
    if not parts:
        return
    mineral = parts.get("ash", 0.0) if food.group in ("salt", "leavening") else 0.0
    water, fat = parts.get("water", 0.0), parts.get("fat", 0.0)
    rest = max(0.0, 100 - water - fat - mineral)
    matter = 100 / (water / WATER + fat / FAT + rest / SOLIDS + mineral / MINERALS)
    for measure, ml in volumes(food):
        said = {*food.name.lower().split(), *measure.state.split()}
        has_gaps = food.group not in WITHOUT_GAPS or said & set(BEATEN_OR_DRIED)
        least = WITH_GAPS.get(food.group, LEAST) if has_gaps else WITHOUT_GAPS[food.group]
        rounding = 0.5 / ml if measure.grams == int(measure.grams) else 0.0
        assert least * matter <= measure.grams / ml <= AT_MOST * matter + rounding, measure


def test_a_stick_of_butter_spreads_as_half_a_cup() -> None:
    butter = built_in().find("butter")
    stick, half_cup = (weigh(parse_amount(text), butter, "") for text in ("1 stick", "1/2 cup"))
    assert isinstance(stick, Mass) and isinstance(half_cup, Mass)
    assert stick.spread_g == pytest.approx(half_cup.spread_g, rel=0.01)


@pytest.mark.parametrize(("habit", "grams"), [("spooned", 113.4), ("dipped", 137)])
def test_a_cup_published_as_dipped_is_dipped_once(habit: str, grams: float) -> None:
    cake_flour = built_in().in_habit(habit).find("cake flour")
    mass = weigh(parse_amount("1 cup"), cake_flour, "")
    assert isinstance(mass, Mass) and mass.grams == pytest.approx(grams)


def test_british_double_cream_has_the_fat_that_the_name_promises() -> None:
    double, heavy = map(built_in().find, ("double cream", "heavy cream"))
    assert double and heavy
    assert (
        double.composition["fat"] >= 48 > heavy.composition["fat"]
    )  # the least by UK law, from memory
