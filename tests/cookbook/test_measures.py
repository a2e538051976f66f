"""Grams in the cups and spoons that a reader owns."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.cookbook.measures import Owned, owned_measure
from perflour.kitchen.catalogue import Ingredient, built_in
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.weighing import Mass, weigh

USUAL = Owned()


def known(name: str) -> Ingredient:
    found = built_in().find(name)
    assert found
    return found


# Grams by the cup, USDA SR28: water 237, butter 227, granulated sugar 200; a tsp of soda 4.6, of table salt 6.
@pytest.mark.parametrize(("grams", "item", "said"), [
    (227, "unsalted butter", "1 cup"),
    (221, "unsalted butter", "1 cup"),  # 2.7 % off
    (216, "unsalted butter", "scant 1 cup"),  # 4.8 % less
    (120, "unsalted butter", "generous 1/2 cup"),  # 5.4 % more
    (125, "unsalted butter", "1/2 cup plus 1 tbsp"),
    (65, "unsalted butter", "1/4 cup plus 2 tsp"),
    (510, "water", "scant 2 1/4 cup"),
    (150, "granulated sugar", "3/4 cup"),
    (4.6, "baking soda", "1 tsp"),
    (6.0, "baking soda", "generous 1 1/4 tsp"),
    (3.0, "baking soda", "about 1/2 tsp plus 1/8 tsp"),  # two thirds of a spoon, which nobody owns
    (20, "table salt", "1 tbsp plus 1/4 tsp"),
    (0.36, "table salt", "1 pinch"),
    (0.1, "table salt", ""),
    (2, "xanthan gum", ""),  # nobody has published what a spoon of it weighs
])  # fmt: skip
def test_the_nearest_measure_that_is_owned(grams: float, item: str, said: str) -> None:
    assert owned_measure(grams, known(item), "", USUAL) == said


def test_only_what_is_owned_is_named() -> None:
    """Three quarters of a cup, for one who has a half and a quarter, and for one who has spoons alone."""
    butter = known("unsalted butter")
    halves = Owned(cups=(Fraction(1), Fraction(1, 2)), teaspoons=(Fraction(1),))
    assert owned_measure(170, butter, "", USUAL) == "3/4 cup"
    assert (
        owned_measure(170, butter, "", halves) == ""
    )  # four tablespoons more are a cup they do not have
    assert owned_measure(170, butter, "", Owned(cups=())) == "12 tbsp"


NUMBERS = {*USUAL.cups, *USUAL.teaspoons}


@given(st.floats(0.4, 3000), st.sampled_from(["water", "unsalted butter", "granulated sugar", "baking soda", "bread flour"]))  # fmt: skip
def test_a_measure_holds_what_it_says(grams: float, item: str) -> None:
    """Weighed again it is as near as its word says, it has two kinds at most, and each spoon is owned."""
    said = owned_measure(grams, known(item), "", USUAL)
    if not said or "pinch" in said:
        return
    word, plain = re.fullmatch("(?:(scant|generous|about) )?(.+)", said).groups()  # type: ignore[union-attr]
    weighed = weigh(parse_amount(plain), known(item), "")
    assert isinstance(weighed, Mass)
    off = weighed.grams / grams - 1
    # the catalogue weighs spoons and cups of some foods apart, so a sum may be a little off
    slack = 0.03 if " plus " in plain else 0.005
    low, high = {"scant": (0.03, 0.06), "generous": (-0.06, -0.03), "about": (-0.06, 0.06)}.get(word, (-0.03, 0.03))  # fmt: skip
    assert low - slack <= off <= high + slack, said
    for term in parse_amount(plain).terms:
        whole, part = divmod(term.low, 1)
        assert part in {0, *NUMBERS} or part == Fraction(3, 4), said
        assert term.unit.name == "cup" or whole <= 3, said
    assert plain.count(" plus ") <= 1


def test_tolerances_are_the_books() -> None:
    butter = known("unsalted butter")
    strict = Owned(near=0.01, scant=0.02)
    assert owned_measure(216, butter, "", strict) == "about 3/4 cup plus 3 tbsp"
    assert owned_measure(216, butter, "", Owned(near=0.06)) == "1 cup"
