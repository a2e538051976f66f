"""Running text: the foods it names with their amounts, and the part each belongs to. Texts are invented."""

from __future__ import annotations

import pytest

from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.recipe.header import Header
from perflour.recipe.ingredient_line import read_line
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.prose.foods import foods_in
from perflour.recipe.to_formula import formula_file
from perflour.recipe.yields import read_yield

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
        ("Flour, two cups, and butter, half a stick, soft. Salt, a pinch. Whisk it", [("flour", "2 cup", ""), ("butter", "1/2 stick", "soft"), ("salt", "1 pinch", "")]),
        ("the eggs, two of them, and flour 225 g, sugar 100 g", [("egg", "2 each", ""), ("flour", "225 g", ""), ("sugar", "100 g", "")]),
        ("the juice of two oranges and one lemon", [("orange juice", "2 each", ""), ("lemon juice", "1 each", "")]),
        ("yolks of four eggs and the whites of two, well beaten", [("egg yolk", "4 each", ""), ("egg white", "2 each", "well beaten")]),
        ("half a teacupful of milk, two table-spoonfuls of flour", [("milk", "1/2 teacupful", ""), ("flour", "2 tbsp", "")]),
        ("a teaspoon or two of cold milk", [("milk", "1-2 tsp", "cold")]),
        ("one teaspoon of the salt and one of the soda", [("salt", "1 tsp", ""), ("soda", "1 tsp", "")]),
        ("Flour, I used to do four cups. It's three and a half now, bread flour, in the bowl", [("bread flour", "3 1/2 cup", "")]),
        ("baking powder, I do two teaspoons, no hang on. It's one teaspoon of the powder and one of the soda", [("baking powder", "1 tsp", ""), ("soda", "1 tsp", "")]),
        ("butter, melted, well, three tablespoons go in and you want one more for the pan", [("butter", "3 tbsp", "melted"), ("butter", "1 tbsp", "")]),
        ("Milk, two cups, and cream, a cup, so yeah, two milk, one cream", [("milk", "2 cup", ""), ("cream", "1 cup", "")]),
        ("1 c. white sugar, 1/2 c. brown (pkd.), 1 c. oil", [("white sugar", "1 cup", ""), ("brown sugar", "1/2 cup", "packed"), ("oil", "1 cup", "")]),
        ("1 can crushed pineapple, drained", [("crushed pineapple", "1 can", "drained")]),
        ("Work in 4 1/2 c. more flour", [("flour", "4 1/2 cup", "")]),
        ("2 tsp. cinn., 1 tsp. ea. soda & salt, 8 oz. cream ch.", [("cinnamon", "2 tsp", ""), ("soda", "1 tsp", ""), ("salt", "1 tsp", ""), ("cream cheese", "8 oz", "")]),
        ("Cream 6 oz (175 g) soft butter", [("butter", "6 oz", "soft")]),
        ("Halve and stone six ripe plums; cut each in three", [("plum", "6 each", "ripe, halved, stoned")]),
        ("Rinse 200 g of cherries, dry them and halve them", [("cherries", "200 g", "rinsed, halved")]),
        ("Sift 75 g icing sugar and mix it", [("icing sugar", "75 g", "sifted")]),
        ("Sift 2 cups flour and mix it. Chop 1 cup walnuts", [("flour", "2 cup", ""), ("walnuts", "1 cup", "")]),  # measured before
        ("Warm 225 ml milk. Melt half a cup of butter", [("milk", "225 ml", "warm"), ("butter", "1/2 cup", "melted")]),
        ("Chop 100 g nuts and 50 g dates", [("nuts", "100 g", ""), ("dates", "50 g", "")]),  # of one, or of both?
        ("with 1 tablespoon of golden syrup in a small saucepan", [("golden syrup", "1 tbsp", "")]),
        ("Stir the bicarb (1/2 teaspoon) into 1 tablespoon of water", [("bicarb", "1/2 tsp", ""), ("water", "1 tbsp", "")]),
        ("the zest of two oranges, then a tablespoon of the orange juice", [("orange zest", "2 each", ""), ("orange juice", "1 tbsp", "")]),
        ("a level teaspoonful of soda and the same of salt.", [("soda", "1 tsp", "level"), ("salt", "1 tsp", "level")]),
        ("Two eggs are beaten light; to these", [("egg", "2 each", "beaten")]),
        ("a stick and a half of butter that's been sitting out so it's soft, and", [("butter", "1 1/2 stick", "soft")]),
        ("two cups of sugar, the brown kind, packed down, and", [("brown sugar", "2 cup", "packed")]),
        ("a quarter cup of sugar - save a spoonful of that.", [("sugar", "1/4 cup", "")]),
        ("a tin of crushed pineapple, drained (keep the juice), goes in", [("crushed pineapple", "1 can", "drained")]),
        ("the remaining flour, 2 cups, and 100 g of this sugar", []),
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
        ("While hot brush it with 2 tablespoons of butter and 1 teaspoon of salt.", "topping", 2),
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


def test_what_a_food_is_for_tells_what_is_done_with_it() -> None:
    recipe = sorted_text(f"{BREAD}Shape it. Icing sugar for dusting.", "bread.txt")
    made = formula_file(recipe, Header(), Kitchen(House(), built_in()))
    assert "do: dust" in made.text


def test_a_method_tells_the_foods_that_no_list_has() -> None:
    text = "Oat squares\n\n200 g rolled oats\n100 g butter\n100 g sugar\n\nMethod\nMelt the butter. Stir in 50 g raisins and half of the sugar. Brush with 1 egg beaten with 1 tbsp milk."
    recipe = sorted_text(text, "squares.txt")
    assert [one.text for one in recipe.part_lines[0].lines][3:] == ["50 g raisins"]
    assert [one.text for one in recipe.part_lines[1].lines] == ["1 egg beaten", "1 tbsp milk"]


def test_foods_that_share_a_line_of_a_list_are_read_apart() -> None:
    text = "Tart filling\n\n1/2 c. butter, melted & cooled 1 1/2 c. sugar\n3 eggs 1 c. buttermilk\n\nMix all."
    (part,) = sorted_text(text, "tart.txt").part_lines
    assert [one.text for one in part.lines] == [
        "1/2 c. butter, melted & cooled",
        "1 1/2 c. sugar",
        "3 eggs",
        "1 c. buttermilk",
    ]


@pytest.mark.parametrize(
    ("sentence", "said"),
    [
        ("Cut into ten.", "makes ten slices"),
        ("Pinch off twenty balls and set them close.", "makes 20"),
        ("It fills ten of twelve cases.", "makes ten"),
        ("Roll out 12 small biscuits.", "makes 12 biscuits"),
        ("There will be two dozen.", "makes two dozen"),
        ("Cut it in sixteen, no, fifteen.", "makes fifteen slices"),
        ("Cut into squares, of which there will be forty.", "makes forty squares"),
        ("Enough for ten.", "serves ten"),
    ],
)
def test_yields_in_sentences(sentence: str, said: str) -> None:
    recipe = sorted_text(f"{BREAD}{sentence}", "bread.txt")
    assert recipe.yields is not None
    assert recipe.yields.text.lower() == said


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("Spoon it into the tin.", "23 cm springform"),
        ("Bake it for 40 minutes at 180 C.", "23 cm springform"),
        ("Spoon it into a 20 cm tin.", "20 cm tin"),
        ("Melt butter in a small pan.", "small pan"),
        ("Drop 5 x 7 a pan on the sheets.", "sheets"),
    ],
)
def test_a_pan_told_with_its_measure_is_the_one_that_is_filled(text: str, place: str) -> None:
    title = "Plum cake for a 23 cm springform" if "23" in place else "Plum cake"
    read = formula_file(
        sorted_text(f"{title}\n\n{CAKE}{text}", "c"), Header(), Kitchen(House(), built_in())
    )
    places = [v for one in read.readings for key, v in one.fields if key in ("into", "on")]
    assert places == [place]


@pytest.mark.parametrize(
    ("title", "yields"),
    [
        ("BUTTERMILK TARTS, 2 doz.   sell @ 25c", (24, "tart", "")),
        ("Plain rolls, 12 pieces at 60 g", (12, "roll", "60 g")),
    ],
)
def test_a_title_tells_the_yield_and_no_price(title: str, yields: tuple[int, str, str]) -> None:
    recipe = sorted_text(f"{title}\n\n100 g flour\n50 g butter\n\nMix all.", "x")
    assert recipe.yields is not None
    read = read_yield(recipe.yields.text, yields[1])
    assert read is not None and (read.pieces, read.piece, read.scaling_weight) == yields


@pytest.mark.parametrize(
    ("said", "pieces", "pan"),
    [
        ("1 pan 9x13, cuts 24.", 24, "pan 9x13"),
        ("Makes 24.", 24, ""),
        ("1 tin 20 cm, makes 8.", 8, "tin 20 cm"),
    ],
)
def test_a_sentence_of_pan_and_pieces_loses_neither(said: str, pieces: int, pan: str) -> None:
    recipe = sorted_text(f"{CAKE}{said} Bake at 180 C for 40 minutes.", "cake.txt")
    made = formula_file(recipe, Header(), Kitchen(House(), built_in())).text
    assert f"yield: {{pieces: {pieces}, " in made
    assert pan in made


@pytest.mark.parametrize(
    ("head", "title", "said"),
    [
        ("Apple cake (makes 12)", "Apple cake", "makes 12"),
        ("Apple buns - 2 dozen", "Apple buns", "2 dozen"),
        ("Apple cake\nYield: 3 loaves", "Apple cake", "Yield: 3 loaves"),
        ("Apple cake for Sundays", "Apple cake for Sundays", ""),
    ],
)
def test_a_title_over_running_text_tells_the_yield(head: str, title: str, said: str) -> None:
    recipe = sorted_text(f"{head}\n\n{CAKE}Bake at 180 C for 40 minutes.", "cake.txt")
    assert (recipe.title, recipe.yields.text if recipe.yields else "") == (title, said)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        ("Sprinkle a teaspoon of baking soda over the top and stir.", ""),
        ("Sprinkle 50 g walnuts over and stir.", ""),
        ("Stir in 2 tbsp honey. Sprinkle over the rest.", ""),
        ("Sprinkle 50 g walnuts over the top.", "topping"),
    ],
)  # fmt: skip
def test_what_is_sprinkled_over_and_stirred_in_is_no_topping(text: str, part: str) -> None:
    recipe = sorted_text(f"{CAKE}{text} Bake at 180 C for 40 minutes.", "cake.txt")
    beside = {p.name for p in recipe.part_lines if len(p.lines) == 1}
    assert beside == ({part} if part else set())


def test_a_decimal_may_begin_with_its_point() -> None:
    """Half a cup, never five."""
    text = "Cream .5 cup of butter with 1 cup sugar, add .25 kg flour. Bake at 180 C for .5 hours."
    recipe = sorted_text(text, "cake.txt")
    assert [line.text for part in recipe.part_lines for line in part.lines] == ["0.5 cup of butter", "1 cup sugar", "0.25 kg flour"]  # fmt: skip
    made = formula_file(recipe, Header(), Kitchen(House(), built_in()))
    assert "for: 0.5 h" in made.text
    assert foods_in("add .5 cup flour", built_in()) == []  # as a line is read that nobody wrote out
