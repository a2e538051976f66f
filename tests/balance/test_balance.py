"""The baking computation against published worked examples, and its laws."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.balance import Balance, balance
from perflour.balance.ratios import ratios
from perflour.balance.spread import Measures, spread_of, uncertain
from perflour.documents.reader import read_document
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.weighing import Mass, Unweighable, weigh
from tests.conftest import ROOT, examples, formula_text, weigh_text

PUBLISHED = ROOT / "tests" / "published"
EXAMPLES: list[dict[str, Any]] = read_document(
    (PUBLISHED / "worked_examples.yaml").read_bytes(), "worked"
).data["examples"]


def worked(id: str) -> Balance:
    path = PUBLISHED / "worked" / id / "formula.yaml"
    return balance(read_formula(path.read_bytes(), str(path)), built_in())


def main_part(weighed: Balance) -> Any:
    """The part the published lines are of: the one no other part uses."""
    return next(part for part in weighed.parts if not part.used_by_parts)


def published_lines() -> list[Any]:
    """Every line with a published percentage; the source stands in worked_examples.yaml."""
    return [
        pytest.param(example["id"], at, line, id=f"{example['id']}-{line['name']}")
        for example in EXAMPLES
        for at, line in enumerate(example["ingredients"])
        if line["published_percent"] is not None
    ]


@pytest.mark.parametrize(("id", "at", "line"), published_lines())
def test_published_percentages_are_reproduced(id: str, at: int, line: dict[str, Any]) -> None:
    """Source of each figure: the `source` of its example in published/worked_examples.yaml.

    Printed figures are rounded or cut to the decimals they show; where the print is wrong by
    arithmetic (`published_wrong`) the right figure is expected.
    """
    weighed = main_part(worked(id)).lines[at]
    printed = line["published_percent"]
    if wrong := line.get("published_wrong"):
        assert weighed.percent != pytest.approx(printed, abs=0.05)
        printed = wrong["correct_percent"]
    decimals = len(str(printed).split(".")[1]) if "." in str(printed) else 0
    assert weighed.percent == pytest.approx(printed, abs=10**-decimals)


def test_scaling_baguettes() -> None:
    """Culinary course worksheet, 73 baguettes of 390 g: 28,470 g / 1.70 = 16,747 g flour."""
    example = next(e for e in EXAMPLES if e["id"] == "scaling-baguettes")
    weighed = worked("scaling-baguettes")
    total = sum(w.percent or 0 for w in main_part(weighed).lines)
    assert total == pytest.approx(example["published_total_percent"], abs=0.01)
    target = example["target"]
    assert weighed.batch_g == pytest.approx(target["pieces"] * target["piece_weight_g"], abs=0.5)
    for line, published in zip(main_part(weighed).lines, example["ingredients"], strict=True):
        assert line.grams == pytest.approx(published["weight"], abs=0.005)


def test_poolish_baguette_total_formula() -> None:
    """wildyeastblog.com, Baker's Percentage, part 4 (preferments); totals computed in the notes."""
    expected = next(e for e in EXAMPLES if e["id"] == "poolish-baguette")["computed_total_formula"]
    weighed = worked("poolish-baguette")
    found = ratios(weighed)
    assert weighed.basis_g == pytest.approx(expected["flour_g"])
    assert found["hydration"].percent == pytest.approx(expected["water_percent"], abs=0.005)
    assert found["salt"].percent == pytest.approx(expected["salt_percent"], abs=0.005)
    assert found["yeast-instant"].percent == pytest.approx(expected["yeast_percent"], abs=0.005)
    assert found["prefermented-flour"].percent == pytest.approx(
        expected["prefermented_flour_percent"], abs=0.005
    )
    assert main_part(weighed).lines[-1].percent == pytest.approx(104, abs=0.05)


def test_italian_bread_total_water() -> None:
    """Texas Education Agency key, 2015: two lines of water, together 32 oz = 53.33 % of flour."""
    assert ratios(worked("tea-italian-bread"))["hydration"].percent == pytest.approx(
        53.33, abs=0.005
    )


def test_multi_flour_exercise() -> None:
    """wildyeastblog.com, exercises part 3: 1,400 g of dough from percentages of three flours.

    Its published answer goes by the flour in whole grams, 807 g, so a line may be half a gram off ours.
    """
    example = next(e for e in EXAMPLES if e["id"] == "multi-flour-exercise")
    weighed = worked("multi-flour-exercise")
    factor = example["target"]["total_g"] / weighed.batch_g
    masses = [w.grams * factor for w in main_part(weighed).lines]
    assert masses == pytest.approx([404, 161, 242, 565, 12, 16], abs=0.55)
    assert list(example["published_weights_g"].values()) == [404, 161, 242, 565, 12, 16]


def test_barrel_of_flour() -> None:
    """Early US bakers' treatise: 300 x 17 oz from about 336 lb, a shortfall near 5 %.

    Yeast 1.02 %, salt 1.53 %, water about 64 % are computed in the notes of the example.
    """
    weighed = worked("treatise-homemade")
    by_name = {line.name: line.percent for line in weighed.total}
    assert by_name["fresh yeast"] == pytest.approx(1.02, abs=0.005)
    assert by_name["table salt"] == pytest.approx(1.53, abs=0.005)
    assert by_name["water"] == pytest.approx(64, abs=0.5)
    assert 300 * 17 / 16 / (weighed.batch_g / 453.59237) == pytest.approx(0.95, abs=0.01)


def test_pounds_and_ounces_in_one_unit() -> None:
    """Trade course book, Basics of Baking, page 67: 20 lb 8 oz = 20.50 lb.

    The page prints one ounce as 0.625 lb; it is 0.0625 lb, which this is computed from.
    """
    mass = weigh(parse_amount("20 lb 8 oz"), None, "")
    assert isinstance(mass, Mass)
    assert mass.grams / 453.59237 == pytest.approx(20.5)


def test_a_percentage_is_of_the_parts_own_flour_else_of_its_heaviest() -> None:
    weighed = weigh_text(
        "formula: t\ntitle: T\nclass: c\nstatus: draft\nparts:\n"
        "  - {part: batter, ingredients: [{item: flour, amount: 200 g}, {item: sugar, amount: 100 g}]}\n"
        "  - {part: crumb, ingredients: [{item: flour, amount: 50 g}, {item: butter, amount: 40 g}]}\n"
        "  - {part: glaze, ingredients: [{item: powdered sugar, amount: 50 g}]}\nmethod: []\n"
    )
    percents = [[w.percent for w in part.lines] for part in weighed.parts]
    assert percents == [[100, 50], [100, 80], [100]]
    assert [weighed.of_part(part) for part in weighed.parts] == [
        "the batter's flour",
        "the crumb's flour",
        "the glaze's powdered sugar",
    ]
    assert (weighed.batch_g, weighed.base_g, weighed.basis_g) == (440, 300, 200)


def test_a_share_of_a_part_and_the_rest_unused() -> None:
    weighed = weigh_text(
        "formula: t\ntitle: T\nclass: c\nstatus: draft\nparts:\n"
        "  - {part: starter, kind: preferment, ingredients: [{item: flour, amount: 100 g}, {item: water, amount: 100 g}]}\n"
        "  - {part: dough, ingredients: [{item: flour, amount: 450 g}, {item: water, amount: 300 g}, {part: starter, amount: 1/2}]}\n"
        "method: []\n"
    )
    assert (weighed.basis_g, weighed.batch_g, weighed.prefermented_g) == (500, 850, 50)
    assert ratios(weighed)["hydration"].percent == pytest.approx(70)
    assert weighed.parts[0].portion == 0.5


def test_an_own_basis() -> None:
    text = formula_text(
        "{item: almond meal, amount: 200 g}",
        "{item: granulated sugar, amount: 150 g}",
        extra="basis: [almond meal]\n",
    )
    assert [w.percent for w in weigh_text(text).parts[0].lines] == [100, 75]


# Household measures against USDA SR28 gram weights (NDB number beside each).
USDA = [
    ("2 large", "egg", "", 100.0),  # 01123: large 50 g
    ("1 stick", "unsalted butter", "", 113.0),  # 01145: stick 113 g
    ("1 cup", "dark brown sugar", "packed", 220.0),  # 19334
    ("1 tsp", "baking soda", "", 4.6),  # 18372: 1/2 tsp 2.3 g
    ("1 cup", "all-purpose flour", "", 125.0),  # 20081
    ("1 cup", "banana", "mashed", 225.0),  # 09040
    ("2 medium", "banana", "", 236.0),  # 09040: medium 118 g
    ("1 tbsp", "shortening", "", 12.8),  # 04615
]


@pytest.mark.parametrize(("amount", "item", "state", "grams"), USDA)
def test_household_measures_are_usdas(amount: str, item: str, state: str, grams: float) -> None:
    mass = weigh(parse_amount(amount), built_in().find(item), state)
    assert isinstance(mass, Mass)
    assert mass.grams == pytest.approx(grams)
    assert mass.spread_g > 0


# Common practice, no source: a stick of butter is half a cup, half a stick a quarter cup.
@pytest.mark.parametrize("item", ["unsalted butter", "salted butter", "margarine", "shortening"])
@pytest.mark.parametrize(("sticks", "cups"), [("1 stick", "1/2 cup"), ("1/2 stick", "1/4 cup")])
def test_a_stick_is_half_a_cup(item: str, sticks: str, cups: str) -> None:
    ingredient = built_in().find(item)
    stick, cup = (
        weigh(parse_amount(sticks), ingredient, ""),
        weigh(parse_amount(cups), ingredient, ""),
    )
    assert isinstance(stick, Mass)
    assert isinstance(cup, Mass)
    assert stick.grams == pytest.approx(cup.grams, rel=0.01)


def test_a_drained_can_weighs_what_is_drained() -> None:
    mass = weigh(parse_amount("2 can 425 g drained 250 g"), built_in().find("chickpea flour"), "")
    assert mass == Mass(500, 0)


def test_a_range_has_a_wider_spread() -> None:
    flour = built_in().find("flour")
    plain, wide = (weigh(parse_amount(t), flour, "") for t in ("4 1/2 cup", "4-5 cup"))
    assert isinstance(plain, Mass)
    assert isinstance(wide, Mass)
    assert plain.grams == wide.grams
    assert wide.spread_g > plain.spread_g


@pytest.mark.parametrize(
    ("amount", "item", "reason"),
    [
        ("1 can", "pineapple", "a can of pineapple has no fixed mass; write it, like `1 can 400 g drained 240 g`"),
        ("30 min", "water", "min measures a time, not an amount; write a mass, a measure or a count"),
        ("2 clove", "water", "no published mass of one 'clove' of water; weigh it, or add a measure to ingredients.yaml"),
    ],
)  # fmt: skip
def test_what_cannot_be_weighed_says_why(amount: str, item: str, reason: str) -> None:
    outcome = weigh(parse_amount(amount), built_in().find(item), "")
    assert isinstance(outcome, Unweighable)
    assert outcome.reason == reason


def test_an_unweighable_line_is_never_zero() -> None:
    weighed = weigh_text(
        formula_text("{item: flour, amount: 100 g}", "{item: pineapple, amount: 1 can}")
    )
    assert [line.name for line in weighed.unweighed] == ["pineapple"]
    assert weighed.parts[0].lines[1].mass is None
    assert "pineapple" in ratios(weighed)["total-water"].lacking


ITEMS = [
    "all-purpose flour",
    "rye flour",
    "water",
    "table salt",
    "granulated sugar",
    "egg",
    "whole milk",
]
masses = st.lists(st.tuples(st.sampled_from(ITEMS), st.integers(1, 2000)), min_size=1, max_size=8)


@given(masses, st.integers(2, 50))
@examples(60)
def test_scaling_keeps_every_ratio(lines: list[tuple[str, int]], factor: int) -> None:
    lines = [("all-purpose flour", 500), *lines]
    once = weigh_text(formula_text(*(f"{{item: {i}, amount: {g} g}}" for i, g in lines)))
    more = weigh_text(formula_text(*(f"{{item: {i}, amount: {g * factor} g}}" for i, g in lines)))
    assert more.batch_g == pytest.approx(once.batch_g * factor)
    for name, ratio in ratios(once).items():
        assert ratios(more)[name].percent == pytest.approx(ratio.percent)


@given(masses, st.integers(1, 7))
@examples(60)
def test_a_part_inside_a_part_changes_no_total(lines: list[tuple[str, int]], cut: int) -> None:
    """Taking some lines out into a part that is used whole leaves the total formula as it was."""
    lines = [("all-purpose flour", 500), ("water", 300), *lines]
    cut = min(cut, len(lines) - 1)
    written = [f"{{item: {i}, amount: {g} g}}" for i, g in lines]
    flat = weigh_text(formula_text(*written))
    inner = "\n".join(f"      - {line}" for line in written[:cut])
    text = formula_text(*written[cut:], "{part: inner, amount: all}")
    nested = weigh_text(
        text.replace("method:", f"  - part: inner\n    ingredients:\n{inner}\nmethod:")
    )
    assert {t.name: t.mass_g for t in nested.total} == pytest.approx(
        {t.name: t.mass_g for t in flat.total}
    )
    assert nested.batch_g == pytest.approx(flat.batch_g)
    assert nested.basis_g == pytest.approx(flat.basis_g)


SOAKED = """\
formula: trial
title: Trial
class: loaf-cake
status: draft
parts:
  - part: soaker
    kind: soaker
    ingredients:
      - {{item: all-purpose flour, amount: {flour}}}
      - {{item: water, amount: 100 g}}
  - part: dough
    kind: dough
    ingredients:
      - {{part: soaker, amount: {taken}}}
      - {{item: all-purpose flour, amount: 400 g}}
method: []
"""


@pytest.mark.parametrize(("taken", "portion"), [("50 g", 0.25), ("1/4", 0.25), ("200 g", 1.0)])
def test_a_part_hands_on_the_share_that_is_taken_by_weight(taken: str, portion: float) -> None:
    """By hand: 50 g of 200 g is a quarter, which holds 25 g of the soaker's 100 g of flour."""
    weighed = weigh_text(SOAKED.format(flour="100 g", taken=taken))
    assert weighed.parts[0].portion == pytest.approx(portion)
    assert weighed.basis_g == pytest.approx(400 + 100 * portion)
    assert weighed.batch_g == pytest.approx(400 + 200 * portion)
    assert weighed.overdrawn == ()


def test_more_than_a_part_weighs_is_overdrawn() -> None:
    weighed = weigh_text(SOAKED.format(flour="100 g", taken="300 g"))
    assert weighed.overdrawn == (("soaker", pytest.approx(1.5)),)


@pytest.mark.parametrize(("taken", "share"), [("half", 0.5), ("all", 1.0)])
def test_the_spread_of_a_part_is_handed_on_by_its_share(taken: str, share: float) -> None:
    """By hand: of a soaker that is off by s grams, half is off by s / 2."""
    weighed = weigh_text(SOAKED.format(flour="1 cup", taken=taken))
    numbers = uncertain(weighed, Measures())
    whole = spread_of(numbers.masses["soaker", 0])
    assert whole > 0
    assert spread_of(numbers.masses["dough", 0]) == pytest.approx(whole * share)
