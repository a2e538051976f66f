"""Amounts and states as people write them: the lists of published/reference, and every word of the grammar."""

from __future__ import annotations

import csv
import re

import pytest

from perflour.kitchen.catalogue import Ingredient, built_in, ingredient_from
from perflour.kitchen.quantity import AmountProblem, Customs, parse_amount
from perflour.kitchen.spelling import spelled
from perflour.kitchen.states import INERT, INERT_IN, words_of
from perflour.kitchen.units import find_unit
from perflour.kitchen.weighing import Mass, Unweighable, weigh
from perflour.recipe.ingredient_line import read_line
from perflour.recipe.words import word_set
from tests.kitchen.test_usda import name_of
from tests.kitchen.usda_tables import ENTRIES, REFERENCE, SR28, Weight

CATALOGUE = built_in()
ASKED = "ask"
FOODS = [ingredient_from(entry) for entry in ENTRIES]


def rows(name: str) -> list[dict[str, str]]:
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


AMOUNTS = rows("amounts_as_written")


def taken_as(item: str, amount: str, state: str = "") -> float | str:
    """An amount in ml where it measures a volume, else in g; `ask` where it is refused or doubted."""
    try:
        read = parse_amount(amount)
    except AmountProblem:
        return ASKED
    mass = weigh(read, CATALOGUE.find(item), state)
    if isinstance(mass, Unweighable) or mass.doubt:
        return ASKED
    if read.kinds <= {"volume", "pinch"}:
        return sum(float(term.mean) * term.unit.factor for term in read.terms)
    return mass.grams


@pytest.mark.parametrize("row", AMOUNTS, ids=[f"{r['amount']} {r['item']}" for r in AMOUNTS])
def test_formulas_and_import_read_one_amount(row: dict[str, str]) -> None:
    asked = row["unit"] == ASKED
    wanted = ASKED if asked else pytest.approx(float(row["expected"]), rel=0.005)
    assert taken_as(row["item"], row["amount"]) == wanted
    line, *more = read_line(f"{row['amount']} {row['item']}", CATALOGUE)
    imported = taken_as(line.item, line.amount, line.state)
    assert (bool(line.unclear or more) or imported == ASKED) if asked else imported == wanted
    assert asked or not line.unclear


@pytest.mark.parametrize(
    "row", rows("states_as_written"), ids=lambda r: f"{r['food']}, {r['state']}"
)
def test_a_cup_in_a_state_weighs_what_is_published_or_is_doubted(row: dict[str, str]) -> None:
    food = CATALOGUE.find(row["food"])
    mass = weigh(parse_amount("1 cup"), food, row["state"])
    plain = weigh(parse_amount("1 cup"), food, "")
    assert isinstance(mass, Mass) and isinstance(plain, Mass)
    low, _, high = row["one_cup_g"].partition("-")
    if low:
        assert float(low) * 0.995 <= mass.grams <= float(high or low) * 1.005
    else:
        assert mass.doubt or mass.grams != plain.grams
        assert mass.spread_g > plain.spread_g or not mass.doubt


QUALIFIED = [w for w in SR28 if w.qualifier and find_unit(w.unit)]


@pytest.mark.parametrize("row", QUALIFIED, ids=lambda w: f"{w.ingredient}, {w.unit}, {w.qualifier}")
def test_every_qualified_row_of_usda_is_right_or_doubted(row: Weight) -> None:
    mass = weigh(
        parse_amount(f"1 {row.unit}"), CATALOGUE.find(name_of(row.ingredient)), row.qualifier
    )
    assert (
        isinstance(mass, Unweighable)
        or mass.doubt
        or mass.grams == pytest.approx(row.grams, rel=0.01)
    )


def changes_nothing(word: str, food: Ingredient) -> bool:
    """Whether a list says, with its reason, that a word changes no cup of a food."""
    own = words_of(food.name)
    return all(
        part in INERT or part in own or (part in INERT_IN and food.group in INERT_IN[part][0])
        for part in words_of(word)
    )


@pytest.mark.parametrize("word", sorted(word_set("states") | word_set("state-phrases")))
def test_no_state_of_any_food_is_passed_over(word: str) -> None:
    """It names a measure of its own, or is told as unknown, or a list says why it changes nothing."""
    silent = [
        food.name
        for food in FOODS
        if isinstance(plain := weigh(parse_amount("1 cup"), food, ""), Mass)
        and isinstance(mass := weigh(parse_amount("1 cup"), food, word), Mass)
        and mass[:2] == plain[:2]
        and not mass.doubt
        and not changes_nothing(word, food)
        and not any(m.state and words_of(m.state) <= words_of(word) for m in food.measures)
    ]
    assert silent == []


def test_every_reason_for_changing_nothing_is_given() -> None:
    assert all(INERT.values())
    assert all(reason for _, reason in INERT_IN.values())


# More ways to write it, none of them a list of somebody's: what formulas and import have to agree on.
@pytest.mark.parametrize(
    ("said", "wanted"),
    [
        ("1 and a half cups", "1 1/2 cup"), ("a cup and a half", "1 1/2 cup"), ("two and a half cups", "2 1/2 cup"),
        ("1/2 cup scant", "1/2 scant cup"), ("scant 1/2 cup", "1/2 scant cup"), ("1 cup, packed", "1 packed cup"),
        ("1/2 dozen", "6 each"), ("1/2 x 1 cup", "1/2 cup"), ("1 pint (UK)", "1 imperial pint"),
        ("100g-150g", "100-150 g"), ("100 g to 150 g", "100-150 g"), ("2 x 400 g tins", "2 can 400 g"),
        ("1 can (14 oz)", "1 can 14 oz"), ("1 cup less 2 tbsp plus 1 tsp", "7/8 cup plus 1 tsp"),
        ("1 cup plus 2", ""), ("1,5,2 g", ""), ("1kg200", ""), ("100+50 g", ""), ("1 2 cups", ""),
    ],
)  # fmt: skip
def test_other_ways_to_write_it(said: str, wanted: str) -> None:
    try:
        read = spelled(parse_amount(said))
    except AmountProblem:
        read = ""
    assert read == wanted
    line, *_ = read_line(f"{said} flour", CATALOGUE)
    flour = CATALOGUE.find("flour")
    if wanted and not line.unclear:
        imported = weigh(parse_amount(line.amount), flour, line.state)
        assert imported == weigh(parse_amount(wanted), flour, "")
    assert wanted or line.unclear


@pytest.mark.parametrize(
    ("text", "numbers", "grams"),
    [
        ("0,500 kg", "", 500),
        ("1,234.5 g", "", 1234.5),
        ("1.234,5 g", "", 1234.5),
        ("1,000 g", "1,234.5", 1000),
        ("1,000 g", "1.234,5", 1),
        ("1.000 g", "1.234,5", 1000),
        ("1.000 g", "1,234.5", 1),
        ("1.250 kg", "", 1250),
        ("0.125 g", "", 0.125),
        ("1,000 g", "", None),
        ("1.000-1.200 g", "", None),
    ],
)
def test_a_comma_is_read_as_the_house_writes_it(
    text: str, numbers: str, grams: float | None
) -> None:
    if grams is None:
        with pytest.raises(AmountProblem, match=re.escape("; write which, or say in house.yaml")):
            parse_amount(text, Customs(numbers))
        return
    mass = weigh(parse_amount(text, Customs(numbers)), None, "")
    assert isinstance(mass, Mass) and mass.grams == pytest.approx(grams)


@pytest.mark.parametrize(
    ("amount", "low", "high"),
    [("1 heaped tsp", 1.5, 2.5), ("1 scant cup", 0.8, 1), ("a generous cup", 1, 1.3), ("1 tbsp rounded", 1.2, 2), ("1 level cup", 1, 1)],
)  # fmt: skip
def test_how_a_measure_is_filled_is_a_factor_with_a_wide_spread(
    amount: str, low: float, high: float
) -> None:
    flour = CATALOGUE.find("all-purpose flour")
    level = weigh(
        parse_amount(re.sub("heaped|scant|generous|rounded|level", "", amount)), flour, ""
    )
    filled = weigh(parse_amount(amount), flour, "")
    assert isinstance(level, Mass) and isinstance(filled, Mass)
    assert low <= filled.grams / level.grams <= high
    assert bool(filled.doubt) == (filled.spread_g / filled.grams > level.spread_g / level.grams)
    assert bool(filled.doubt) == (low != high)
