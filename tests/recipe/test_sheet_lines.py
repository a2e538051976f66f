"""The lines of a bakery's formula sheets; the spellings are those of the trade (common practice, no source)."""

from __future__ import annotations

import pytest

from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import kitchen_for
from perflour.recipe.header import Header
from perflour.recipe.ingredient_line import TAKEN_AS_GRAMS, read_line
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.sheet_lines import pieces, with_units
from perflour.recipe.to_formula import Imported, formula_file
from perflour.recipe.yields import read_yield, yield_of
from tests.conftest import ROOT

KITCHEN = kitchen_for(str(ROOT / "formulas" / "any"))
LINES = [
    ("Butter, soft 300 g", "300 g | butter | soft"),
    ("Cream cheese, cold 900 g", "900 g | cream cheese | cold"),
    ("Sugar, gran. 1.3 kg", "1.3 kg | granulated sugar"),
    ("caraway, toasted 9 g", "9 g | caraway seed | toasted"),
    ("Butter, cold, cubed 200 g", "200 g | butter | cold, cubed"),
    ("Milk, cold: 205 g (18 % in print)", "205 g | milk | cold | 18 % in print"),
    ("medium rye 330 g", "330 g | medium rye flour"),
    ("bkg pwdr 40 g", "40 g | baking powder"),
    ("Pears, drained: 12 halves", "12 each | pear | halves, drained"),
    ("orange, zest only, 1", "1 each | orange zest"),
    ("Water, 30 C 8 kg", "8 kg | water |  | 30 C"),
    ("Butter (soft) 680 g", "680 g | butter | soft"),
]


@pytest.mark.parametrize(("line", "wanted"), LINES, ids=[line for line, _ in LINES])
def test_lines_of_sheets(line: str, wanted: str) -> None:
    (read,) = read_line(line, built_in())
    assert " | ".join((read.amount, read.item, read.state, read.note)).rstrip(" |") == wanted
    assert not read.unclear


def test_a_number_of_a_flour_is_no_amount_and_an_unknown_flour_is_told() -> None:
    (read,) = read_line("T45 flour 1140 g", built_in())
    assert (read.item, read.amount) == ("T45 flour", "1140 g")
    assert read.unclear.startswith("'T45 flour' is not in the catalogue")


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Eggs 150 g / brown sugar 160 g / orange, zest only, 1", ["Eggs 150 g", "brown sugar 160 g", "orange, zest only, 1"]),
        ("T45 flour 100%, 1140 g. Whole eggs 40%, 456 g, cold. Milk, cold, 18%, 205 g.", ["T45 flour 100%, 1140 g", "Whole eggs 40%, 456 g, cold", "Milk, cold, 18%, 205 g"]),
        ("flour 500 g; water 300 g; salt 10 g", ["flour 500 g", "water 300 g", "salt 10 g"]),
        ("Cheese frosting 300 g icing sugar / 60 g butter soft. Beat the butter first.", ["Cheese frosting:", "300 g icing sugar", "60 g butter soft", "Beat the butter first."]),
        ("Almond cream: butter 250 g / caster sugar 250 g", ["Almond cream:", "butter 250 g", "caster sugar 250 g"]),
        ("flour 500 g, water 300 g, salt 10 g", ["flour 500 g", "water 300 g", "salt 10 g"]),
        ("Soda bread. Flour 500 g, bicarb 10 g, milk 600 g.", ["Soda bread", "Flour 500 g", "bicarb 10 g", "milk 600 g"]),
        ("Glaze - icing sugar 500 g, lemon juice 80 g, pinch salt", ["Glaze:", "icing sugar 500 g", "lemon juice 80 g", "pinch salt"]),
        (". Milk, cold, 18%, 205 g. Sugar 12%, 137 g. Salt 2%, 23 g", ["Milk, cold, 18%, 205 g", "Sugar 12%, 137 g", "Salt 2%, 23 g"]),
        ("Wet: milk 200 g, eggs 300 g, butter 20 g", ["Wet:", "milk 200 g", "eggs 300 g", "butter 20 g"]),
        ("Dry: flour 1.5 kg, sugar 900 g, salt 12 g", ["Dry:", "flour 1.5 kg", "sugar 900 g", "salt 12 g"]),
        # one ingredient, its amount in two measures; sentences
        ("250 g / 2 cups flour", ["250 g / 2 cups flour"]),
        ("1 tsp. salt", ["1 tsp. salt"]),
        ("Mix 200 g flour. Add 100 g butter. Bake 20 min.", ["Mix 200 g flour. Add 100 g butter. Bake 20 min."]),
    ],
)  # fmt: skip
def test_several_ingredients_on_one_line(text: str, wanted: list[str]) -> None:
    assert [piece.text for piece in pieces(text)] == wanted
    assert all(text[piece.start :].startswith(piece.text.rstrip(":")) for piece in pieces(text))


@pytest.mark.parametrize(
    ("lines", "wanted"),
    [
        (["flour 100 % 500 g", "water 66 % 330 g", "salt 2 % 10 g, fine"], ["flour 500 g (100 % in print)", "water 330 g (66 % in print)", "salt 10 g (2 % in print), fine"]),
        # not in proportion to its mass: part of the name
        (["flour 100 % 500 g", "water 66 % 330 g", "salt 2 % 10 g", "cream 35 % 200 g"], ["flour 500 g (100 % in print)", "water 330 g (66 % in print)", "salt 10 g (2 % in print)", "cream 35 % 200 g"]),
        (["cream 35 % 200 g", "sugar 100 g"], ["cream 35 % 200 g", "sugar 100 g"]),
        (["Stout 900 g", "Butter, soft 800", "Salt 12", "Icing sugar 450, sifted"], ["Stout 900 g", "Butter, soft 800 g (no unit in print, as in 2 more lines)", "Salt 12 g", "Icing sugar 450 g, sifted"]),
        (["300 g sugar", "60 butter soft"], ["300 g sugar", "60 g (no unit in print) butter soft"]),
        (["% g", "bread flour 80 4000", "water 75 3000"], ["% g", "bread flour 4000 g (80 % in print)", "water 3000 g (75 % in print)"]),
        (["300 g sugar", "900 flour T55", "Chocolate 60% 450"], ["300 g sugar", "900 g (no unit in print, as in 1 more line) flour T55", "Chocolate 60% 450 g"]),
        # counted, not known, no grams beside it, ounces beside it
        (["Milk 420 g", "Egg 2", "Zorb 3"], ["Milk 420 g", "Egg 2", "Zorb 3"]),
        (["Butter 800", "Salt 12"], ["Butter 800", "Salt 12"]),
        (["Flour 2 lb", "Milk 500 g", "Butter 800"], ["Flour 2 lb", "Milk 500 g", "Butter 800"]),
    ],
)  # fmt: skip
def test_columns_and_bare_masses(lines: list[str], wanted: list[str]) -> None:
    assert with_units(lines, built_in()) == wanted


@pytest.mark.parametrize(
    ("line", "pieces", "piece", "weight", "others"),
    [
        ("batch: 4 loaves", 4, "loaf", "", ()),
        ("Target 30 x 850 g", 30, "bun", "850 g", ()),
        ("30 x 850 g", 30, "bun", "850 g", ()),
        ("batch 12 @ 900 g", 12, "bun", "900 g", ()),
        ("Yield 36 @ 70 g, dough 2.5 kg", 36, "bun", "70 g", ("dough 2.5 kg",)),
        ("24 pcs, 8 cm cases", 24, "bun", "", ("8 cm cases",)),
        ("Makes 16, tray bake off at 220", 16, "bun", "", ("tray bake off at 220",)),
        ("sheet pan 18 x 26 x 1 in makes 50 squares (10 x 5)", 50, "square", "", ("sheet pan 18 x 26 x 1 in", "(10 x 5)")),
    ],
)  # fmt: skip
def test_yields_of_sheets(line: str, pieces: int, piece: str, weight: str, others: tuple[str, ...]) -> None:  # fmt: skip
    found = yield_of(line)
    assert found is not None
    read = read_yield(found.said, "bun")
    assert read is not None
    assert (read.pieces, read.piece, read.scaling_weight, found.others) == (pieces, piece, weight, others)  # fmt: skip


def made_of(text: str) -> Imported:
    return formula_file(sorted_text(text, "x"), Header(), KITCHEN)


SHEET = """\
PROD. SHEET 14 - STOUT ROLLS      batch: 40 rolls     DDT 25 C

Flour 1 kg
Stout 600
Egg 2

Mix and prove. Bake 20 min.

GLAZE
Icing sugar 450, sifted
Milk 60 g
"""


def test_a_sheet_is_read_by_part_and_bare_masses_are_told_once_a_list() -> None:
    made = made_of(SHEET)
    told = [(result.place.line, result.message) for result in made.unclear]
    assert [line for line, message in told if TAKEN_AS_GRAMS in message] == [4, 10]
    for wanted in ("title: Stout rolls", "pieces: 40", "part: glaze", "amount: 600 g", "amount: 2 each", "DDT 25 C", "PROD. SHEET 14"):  # fmt: skip
        assert wanted in made.text


def test_lines_behind_an_indented_part_go_back_to_the_part_around_it() -> None:
    text = "Tarts\n\nPaste 960 g\nAlmond cream:\n  butter, soft 250\n  sugar 250 g\nApricot glaze: 150 g\n"
    recipe = sorted_text(text, "x")
    assert [(part.name, len(part.lines)) for part in recipe.part_lines] == [("", 2), ("almond cream", 2)]  # fmt: skip


def test_a_part_told_in_the_method_beside_a_list_is_a_part() -> None:
    text = (
        "Pucks\n\nFlour 500 g\nMilk 200 g\n\nMix and bake.\n\n"
        "Crust: whip 120 g egg white, stir in 200 g icing sugar and 160 g ground hazelnuts.\n"
    )
    recipe = sorted_text(text, "x")
    assert [(part.name, len(part.lines)) for part in recipe.part_lines] == [("", 2), ("crust", 3)]


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("rosemary, salt 5 g", "the amount stands behind 'salt'; check which of the two it is of"),
        ("Butter 800", "no unit; write the one that is meant"),
        ("bread flour 80 4000", "not read as an ingredient; write its item and amount"),
    ],
)
def test_what_is_not_clear_is_told(line: str, why: str) -> None:
    (told,) = made_of(f"Title\n\n{line}\nmilk 2 cups\n").unclear
    assert why in told.message


def test_a_yield_stands_behind_the_title_and_a_part_has_its_name_alone_on_a_line() -> None:
    recipe = sorted_text("RYE ROLLS - makes 60 @ 45 g\nDough\nflour 900 g\nGlaze\nmilk 50 g\n", "x")
    assert (recipe.title, recipe.yields and recipe.yields.text) == ("RYE ROLLS", "makes 60 @ 45 g")
    assert [part.name for part in recipe.part_lines] == ["dough", "glaze"]


def test_a_part_in_one_line_stands_below_the_method_and_an_empty_field_is_no_part() -> None:
    text = (
        "Ginger cake\nDate: ____\n\nFlour 500 g\nMilk 200 g\n\n"
        "Warm the milk and stir in the flour. Bake 160 C, 40-45 min.\n"
        "Glaze - icing sugar 500 g, lemon juice 80 g, pinch salt\n"
    )
    recipe = sorted_text(text, "x")
    assert [(part.name, len(part.lines)) for part in recipe.part_lines] == [("", 2), ("glaze", 3)]
    assert recipe.notes == ("Date: ____",)


@pytest.mark.parametrize("unit", [". A", "a / ", "flour 2 g; ", "1 cup flour, ", "80 % 9 g ", "a: ", "batch 1 x "])  # fmt: skip
def test_long_monotonous_lines_are_taken_apart(unit: str) -> None:
    assert sorted_text(f"Title\n\n200 g flour\n{unit * 5000}", "x").title == "Title"
