"""Running text: the foods it names with their amounts, and the part each belongs to. Texts are invented."""

from __future__ import annotations

import pytest

from perflour.kitchen.catalogue import built_in
from perflour.recipe.ingredient_line import read_line
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.prose.foods import foods_in

BREAD = "Mix 500 g strong flour, 10 g salt and 350 g water to a dough. "
CAKE = "Cream 200 g butter with 200 g caster sugar, beat in 4 eggs and fold in 200 g plain flour. "


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("add 200 g of stoned dates, chopped, to the pan", [("dates", "200 g", "stoned, chopped")]),
        ("then add one egg, well beaten. Stir", [("egg", "1 each", "well beaten")]),
        ("the yolks of three eggs beaten until thick, then the whites of the eggs beaten stiff", [("egg yolk", "3 each", "beaten until thick"), ("egg white", "3 each", "beaten stiff")]),
        ("a level teaspoon and a half of baking powder", [("baking powder", "1 1/2 tsp", "level")]),
        ("beat two 59 g eggs into it", [("egg", "2 each", "")]),
        ("a big tin of peaches, drained, the 29 ounce one", [("peach", "1 can 29 oz", "drained")]),
        ("a packet of instant yeast, that's two and a quarter teaspoons", [("instant yeast", "2 1/4 tsp", "")]),
        ("two tins of condensed milk, a third of a cup of water", [("condensed milk", "2 can", ""), ("water", "1/3 cup", "")]),
        ("three fourths of a cup of sugar, the brown kind", [("brown sugar", "3/4 cup", "")]),
        ("1 cup plain flour and 1 cup rye flour sifted together", [("plain flour", "1 cup", ""), ("rye flour", "1 cup", "")]),
        ("you want two lemons, zest and juice", [("lemon zest", "2 each", ""), ("lemon juice", "2 each", "")]),
        ("100 g dark muscovado sugar, then 80 g of the same sugar", [("dark muscovado sugar", "100 g", ""), ("dark muscovado sugar", "80 g", "")]),
        ("a tin of crushed pineapple, drained, and half a cup of the juice", [("crushed pineapple", "1 can", "drained"), ("pineapple juice", "1/2 cup", "")]),
        ("flour to make a soft dough, from four to five cups of it", [("flour", "4-5 cup", "")]),
        ("another teaspoon or so of water", [("water", "1 tsp", "")]),
        ("a wineglass of milk and butter the size of an egg", [("milk", "1 wineglass", ""), ("butter", "the size of an egg", "")]),
        ("the juice of the orange", [("orange juice", "1 each", "")]),
        ("add half a yeast cake dissolved in water", [("yeast cake", "1/2 each", "")]),
        ("a couple of eggs", [("egg", "2 each", "")]),
        ("half of the sugar goes in", []),
        ("turn the pan at ten minutes and leave it for an hour", []),
    ],
)  # fmt: skip
def test_foods_are_read_with_their_amounts(text: str, lines: list[tuple[str, str, str]]) -> None:
    catalogue = built_in()
    read = [one for food in foods_in(text, catalogue) for one in read_line(food.line, catalogue)]
    assert [(one.item, one.amount, one.state) for one in read] == lines


@pytest.mark.parametrize(
    ("text", "part", "foods"),
    [
        ("When cold: sift 75 g icing sugar and mix with 3 tsp lemon juice to a runny icing.", "icing", 2),
        ("Boil 200 g sugar with 50 g water, beat in 1 egg white. Frost the cakes with it.", "frosting", 3),
        ("While warm brush it with 2 tablespoons of milk and 1 teaspoon of sugar.", "glaze", 2),
        ("Spread with 100 g apricot jam.", "topping", 1),
    ],
)  # fmt: skip
def test_what_is_told_behind_the_bake_is_no_batter(text: str, part: str, foods: int) -> None:
    recipe = sorted_text(f"{CAKE}Bake at 180 C for 40 minutes.\n\n{text}", "cake.txt")
    base, beside = recipe.part_lines
    assert (len(base.lines), beside.name, len(beside.lines)) == (4, part, foods)


def test_a_part_that_only_its_place_tells_is_asked_about() -> None:
    recipe = sorted_text(f"{CAKE}Bake at 180 C for 40 minutes. Spread with 100 g jam.", "cake.txt")
    assert [bool(part.unclear) for part in recipe.part_lines] == [False, True]


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("Grease the tin with a knob of butter first. ", "for the pan (layer)"),
        ("Butter a 9 inch tin. ", ""),
        ("Lay 4 sliced apples in a deep dish. ", "filling"),
        ("The 9 inch tin is greased with 1 tablespoon of lard. ", "for the pan (layer)"),
    ],
)
def test_what_stands_before_the_batter(text: str, part: str) -> None:
    recipe = sorted_text(f"{text}{CAKE}Bake at 180 C for 40 minutes.", "cake.txt")
    assert {p.name for p in recipe.part_lines if len(p.lines) < 4} == ({part} if part else set())


@pytest.mark.parametrize(
    ("text", "part", "line"),
    [
        ("Icing sugar for dusting.", "topping", "Icing sugar for dusting"),
        ("Brush with egg white.", "topping", "egg white"),
        ("Brush the tin with lard.", "", ""),
        ("Serve it warm with clotted cream.", "to serve (topping)", "clotted cream"),
    ],
)
def test_foods_without_amounts(text: str, part: str, line: str) -> None:
    recipe = sorted_text(f"{BREAD}Shape it. {text}", "bread.txt")
    beside = [(p.name, one.text) for p in recipe.part_lines for one in p.lines][3:]
    assert beside == ([(part, line)] if part else [])


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("Cut into ten.", "makes ten slices"),
        ("Pinch off twenty balls and set them close.", "makes 20"),
        ("It fills ten of twelve cases.", "makes ten"),
        ("Roll out 12 small biscuits.", "makes 12 biscuits"),
    ],
)
def test_yields_in_sentences(sentence: str, said: str) -> None:
    recipe = sorted_text(f"{BREAD}{sentence}", "bread.txt")
    assert recipe.yields is not None
    assert recipe.yields.text.lower() == said
