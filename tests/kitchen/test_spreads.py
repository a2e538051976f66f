"""How far off a measure is: what each kind of food is taken for where nobody published it, and how that is combined.

The shares are common practice, no source: what two careful people differ by with one cup.
"""

from __future__ import annotations

import pytest

from perflour.kitchen.catalogue import Ingredient, Measure, built_in
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.weighing import Mass, weigh


def food(group: str, *measures: Measure) -> Ingredient:
    some = built_in().named("table salt")
    assert some
    return some._replace(name="trial", group=group, measures=measures)


def spread_g(ingredient: Ingredient, amount: str, state: str = "") -> float:
    mass = weigh(parse_amount(amount), ingredient, state)
    assert isinstance(mass, Mass)
    return mass.spread_g


# Of a cup of 100 g, in g: powders pack, liquids hardly do, pieces leave gaps, spices are leaves and dust.
OF_A_CUP = [
    (8, "flour starch chocolate leavening yeast salt"), (4, "sugar syrup fat egg"), (3, "dairy"),
    (2, "oil liquid"), (5, "flavouring"), (10, "fruit nut other"), (15, "spice"), (10, "no such group"),
]  # fmt: skip


@pytest.mark.parametrize(("grams", "groups"), OF_A_CUP)
def test_a_cup_that_nobody_published_a_spread_of(grams: float, groups: str) -> None:
    for group in [groups] if " such " in groups else groups.split():
        cup = Measure("cup", "", 100, None, "house choice")
        assert spread_g(food(group, cup), "2 cup") == pytest.approx(2 * grams), group


@pytest.mark.parametrize(
    ("published_g", "settled", "counted_g"),
    [
        (9, False, 9),  # published figures that disagree say more than the default
        (1, False, 4),  # two that agree say less than a hand: half of 8 % at least
        (1, True, 1),  # one kitchen's own cup
    ],
)
def test_figures_that_agree_are_not_taken_for_a_steady_hand(
    published_g: float, settled: bool, counted_g: float
) -> None:
    flour = food("flour", Measure("cup", "", 100, published_g, "trial", settled))
    assert spread_g(flour, "1 cup") == pytest.approx(counted_g)


def test_a_piece_grew_and_a_stick_was_weighed() -> None:
    """Of 50 g: a piece ± 6 %, whatever its group; a stick of the dairy ± 4 %, as its fat."""
    for per, grams in (("large", 3), ("stick", 2)):
        assert spread_g(food("fat", Measure(per, "", 50, None, "trial")), f"1 {per}") == grams


def test_a_pinch_is_a_half_either_way() -> None:
    """A sixteenth of a teaspoon; from memory, published ones run from a 24th to an eighth."""
    salt = food("salt", Measure("tsp", "", 6, None, "trial"))
    mass = weigh(parse_amount("1 pinch"), salt, "")
    assert isinstance(mass, Mass)
    assert (mass.grams, mass.spread_g) == (pytest.approx(6 / 16), pytest.approx(6 / 32))


PEELED_FIRST = (
    Measure("each", "peeled", 100, 1, "trial"),
    Measure("each", "", 120, 1, "trial"),
    Measure("large", "peeled", 150, 1, "trial"),
)


@pytest.mark.parametrize(
    ("amount", "state", "grams"),
    [
        ("1", "peeled", 100),
        ("1", "", 120),  # one without a word is not the peeled one, though that stands first
        ("1", "chopped", 120),
        ("1 large", "", 150),  # the only one known
    ],
)
def test_a_piece_is_taken_in_its_state_or_as_it_grew(amount: str, state: str, grams: float) -> None:
    mass = weigh(parse_amount(amount), food("fruit", *PEELED_FIRST), state)
    assert isinstance(mass, Mass) and mass.grams == grams
