"""The grammar of ingredient lines and steps; the spellings are ordinary kitchen English (no source)."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.kitchen.catalogue import built_in
from perflour.kitchen.numerals import in_figures
from perflour.recipe.grammar import take_apart, work
from perflour.recipe.ingredient_line import read_line
from perflour.recipe.lexemes import tidy
from perflour.recipe.method.mentions import Index, listed
from perflour.recipe.method.sentences import clauses, sentences
from perflour.recipe.method.steps import Paragraph, read_steps
from perflour.recipe.yields import read_yield
from perflour.result import Place
from tests.conftest import examples

LINES = [
    ("1½ cups flour", "1 1/2 cup | flour"),
    ("1 1/2 cups flour", "1 1/2 cup | flour"),
    ("1-1/2 c. flour", "1 1/2 cup | flour"),
    ("1 and 1/2 cups flour", "1 1/2 cup | flour"),
    ("one and a half cups flour", "1 1/2 cup | flour"),
    ("half a cup of milk", "1/2 cup | milk"),
    ("0,5 kg flour", "0.5 kg | flour"),
    ("4–5 cups bread flour", "4-5 cup | bread flour"),
    ("2 to 3 Tbsp. milk", "2-3 tbsp | milk"),
    ("2 or 3 eggs", "2-3 each | egg"),
    ("3 lb 10 oz flour", "3 lb plus 10 oz | flour"),
    ("1 cup and 2 tablespoons sugar", "1 cup plus 2 tbsp | sugar"),
    ("100g butter, softened", "100 g | butter | softened"),
    ("- 2 large eggs, at room temperature", "2 large | egg | at room temperature"),
    ("• 3 medium ripe bananas, mashed", "3 medium | ripe banana | mashed"),
    ("a dozen eggs", "12 each | egg"),
    ("1 stick (1/2 cup) unsalted butter, melted and cooled", "1 stick | unsalted butter | melted and cooled | also given as 1/2 cup"),
    ("2 cups (250 g) sifted all-purpose flour", "250 g | all-purpose flour | sifted | also given as 2 cup"),
    ("250 g / 2 cups flour", "250 g | flour |  | also given as 2 cup"),
    ("1 cup or 240 ml milk", "1 cup | milk |  | also given as 240 ml"),
    ("2 (14 oz) cans crushed pineapple, drained", "2 can 14 oz | crushed pineapple | drained"),
    ("1 14-ounce can crushed pineapple", "1 can 14 oz | crushed pineapple"),
    ("1 can (425 g, drained 250 g) peaches", "1 can 425 g drained 250 g | peach"),
    ("2 packages (2 1/4 tsp each) active dry yeast", "4 1/2 tsp | active dry yeast |  | 2 packet"),
    ("1 (8 oz.) package cream cheese, softened", "1 packet 8 oz | cream cheese | softened"),
    ("a pinch of salt", "1 pinch | salt"),
    ("pinch of salt", "1 pinch | salt"),
    ("3 oz. bread flour", "3 oz | bread flour"),
    ("Flour 500 g", "500 g | flour"),
    ("Butter – 125 g", "125 g | butter"),
    ("Yolks of 3 eggs", "3 each | egg yolk"),
    ("grated rind of 1 lemon", "1 each | lemon zest | grated | of 1 lemon"),
    ("milk, nonfat, dry, 1/2 cup", "1/2 cup | nonfat dry milk"),
    ("1 cup sugar, divided", "1 cup | sugar |  | divided"),
    ("1/2 cup butter or margarine", "1/2 cup | butter |  | or margarine"),
    ("2 cups all-purpose or bread flour", "2 cup | all-purpose flour |  | or bread flour"),
    ("1/2 cup walnuts (optional), chopped", "1/2 cup | walnuts | chopped | optional"),
]  # fmt: skip


def shown(text: str) -> list[str]:
    """Each entry a line stands for, without empty ends."""
    reads = read_line(text, built_in())
    rows = (" | ".join((r.amount, r.item, r.state, r.note)) for r in reads)
    return [row.rstrip(" |") for row in rows]


@pytest.mark.parametrize(("line", "wanted"), LINES, ids=[line for line, _ in LINES])
def test_lines_that_are_understood(line: str, wanted: str) -> None:
    assert shown(line) == [wanted]
    assert [read.unclear for read in read_line(line, built_in())] == [""]


def test_one_line_may_be_two_entries() -> None:
    assert shown("2 cups flour, plus 1/4 cup for dusting") == [
        "2 cup | flour",
        "1/4 cup | flour |  | for dusting",
    ]
    assert shown("2 eggs plus 1 yolk") == ["2 each | egg", "1 each | egg yolk"]
    assert shown("3/4 cup milk and water in equal parts") == [
        "3/8 cup | milk |  | of 3/4 cup milk and water in equal parts",
        "3/8 cup | water |  | of 3/4 cup milk and water in equal parts",
    ]


UNCLEAR = [
    ("salt to taste", "to taste | salt |  | to taste", "no amount; write one when you have weighed it"),
    ("butter for the pan", "not stated | butter |  | for the pan", "no amount; write one when you have weighed it"),
    ("2 T. sugar", "2 T. | sugar", "unknown unit 'T.' in '2 T.' (T and t are easily mixed up: write tbsp or tsp); use a unit such as g, ml, tsp, cup, large or each"),
    ("1 cup dry milk", "1 cup | dry milk", "'dry milk' is not in the catalogue; name it otherwise or add it"),
    ("1 tbsp minced ginger", "1 tbsp | minced ginger", "'minced ginger' is not in the catalogue; name it otherwise or add it"),
    ("100 g palm sugar", "100 g | palm sugar", "'palm sugar' is not in the catalogue; name it otherwise or add it"),
    ("1 cup black rice flour", "1 cup | black rice flour", "'black rice flour' is not in the catalogue; name it otherwise or add it"),
    ("2 tbsp brandy", "2 tbsp | brandy", "'brandy' is not in the catalogue; name it otherwise or add it"),
    ("0 g salt", "0 g | salt", "'0 g' is zero; write an amount above zero, or remove the line"),
    ("5-4 cups flour", "5-4 cup | flour", "the range in '5-4 cup' is upside down; write the smaller number first"),
    ("1/0 cup flour", "1/0 cup | flour", "'1/0' divides by zero; mend the fraction"),
    ("1,250 g flour", "1,250 g | flour", "'1,250 g' is 1250 g or 1.25 g; write which, or say in house.yaml how you write numbers (`numbers: \"1,234.5\"`)"),
    ("1 heaping tablespoon cocoa", "1 heaped tbsp | cocoa", "how much a heaped tbsp holds is not settled; level it, or weigh it"),
    ("1 cup", "not stated | 1 cup", "not read as an ingredient; write its item and amount"),
    ("butter the size of 2 eggs", "not stated | butter the size of 2 eggs", "not read as an ingredient; write its item and amount"),
]  # fmt: skip


@pytest.mark.parametrize(("line", "wanted", "why"), UNCLEAR, ids=[line for line, *_ in UNCLEAR])
def test_lines_that_are_told(line: str, wanted: str, why: str) -> None:
    assert shown(line) == [wanted]
    (read,) = read_line(line, built_in())
    assert read.unclear == why
    assert read.confidence < 1


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("twelve to fifteen minutes", "12 to 15 minutes"),
        ("one and one-fourth hours", "1 1/4 hours"),
        ("three quarters of an hour", "3/4 hour"),
        ("two dozen", "24"),
        ("thirty-five", "35"),
        ("seven eighths", "7/8"),
    ],
)
def test_numbers_in_words(text: str, wanted: str) -> None:
    assert in_figures(text) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("Makes 5 dozen", (60, "cake", "")),
        ("(Sufficient to Serve Six)", (6, "serving", "")),
        ("Makes 12 squares of 113 g", (12, "square", "113 g")),
        ("Yield: 2 loaves", (2, "loaf", "")),
        ("Serves 4 to 6", None),
        ("Makes 6 1/2 lb", None),
    ],
)
def test_yields(text: str, wanted: tuple[int, str, str] | None) -> None:
    read = read_yield(text.strip("()"), "cake")
    assert (read and (read.pieces, read.piece, read.scaling_weight)) == wanted


LISTED = ("all-purpose flour", "baking powder", "table salt", "granulated sugar", "unsalted butter", "egg", "whole milk", "vanilla extract", "crumb topping")  # fmt: skip
STEPS = [
    ("Preheat the oven to 350°F (175°C).", "preheat", [], {"to": "350 °F (175 °C)"}),
    ("In a large bowl, whisk the flour, baking powder and salt.", "whisk", ["all-purpose flour", "baking powder", "table salt"], {}),
    ("Mix dry ingredients", "mix", ["all-purpose flour", "baking powder", "table salt", "granulated sugar"], {}),
    ("Add half of the milk", "add", ["half of whole milk"], {}),
    ("Beat in the eggs one at a time", "beat in", ["egg"], {"note": "Beat in the eggs one at a time"}),
    ("Add 1/3 of the flour", "add", ["1/3 of all-purpose flour"], {}),
    ("Stir in some of the milk", "stir in", ["some of whole milk"], {}),
    ("Add half of the remaining milk", "add", ["half of the remaining whole milk"], {}),
    ("Scatter the crumb topping over", "scatter", ["crumb topping"], {"note": "Scatter the crumb topping over"}),
    ("Fold in 1/4 cup of the sugar", "fold in", ["1/4 cup of granulated sugar"], {}),
    ("Top with the crumb topping", "top", ["crumb topping"], {}),
    ("Bake at 180 C for 1 hour and 15 minutes, until a skewer comes out clean.", "bake", [], {"at": "180 °C", "for": "1 h 15 min", "until": "a skewer comes out clean"}),
    ("Bake 35 to 40 minutes or until golden", "bake", [], {"for": "35-40 min", "until": "golden"}),
    ("Bake until the internal temperature is 200 degrees F", "bake", [], {}),
    ("Beat on medium speed for 3 minutes", "beat", [], {"speed": "medium", "for": "3 min"}),
    ("Let rise in a warm place for about an hour", "let rise", [], {}),
    ("Cool on a wire rack", "cool", [], {"on": "wire rack"}),
    ("Fill the tins two-thirds full", "fill", [], {"fill": "2/3"}),
]  # fmt: skip


@pytest.mark.parametrize(("text", "do", "uses", "fields"), STEPS, ids=[s[0][:40] for s in STEPS])
def test_steps(text: str, do: str, uses: list[str], fields: dict[str, str]) -> None:
    index = Index(listed(name, built_in()) for name in LISTED)
    first, *others = read_steps([Paragraph(text, ((0, Place("x")),))], index, ["crumb topping"])
    assert (first.do, list(first.uses), others) == (do, uses, [])
    assert fields.items() <= dict(first.fields).items()


def test_remaining_and_excepted_ingredients() -> None:
    index = Index(listed(name, built_in()) for name in LISTED[:4])
    text = "Sift all dry ingredients except the sugar. Stir in the remaining ingredients."
    one, two = read_steps([Paragraph(text, ((0, Place("x")),))], index, [])
    assert one.uses == ("all-purpose flour", "baking powder", "table salt")
    assert two.uses == ("granulated sugar",)


def test_a_heading_in_the_method_is_no_step_and_no_use() -> None:
    index = Index(listed(name, built_in()) for name in LISTED)
    paragraphs = [Paragraph("Crumb topping: Rub the butter into the flour.", ((0, Place("x")),))]
    (step,) = read_steps(paragraphs, index, ["crumb topping"])
    assert (step.do, step.uses) == ("rub", ("unsalted butter", "all-purpose flour"))
    assert dict(step.fields) == {"note": "Crumb topping: Rub the butter into the flour"}


def test_a_sentence_may_hold_several_steps_and_a_point_may_end_none() -> None:
    assert [
        c.do for c in clauses("Toss on a floured board, roll, cut and bake in a hot oven.")
    ] == [
        "toss",
        "roll",
        "cut and bake",
    ]
    assert [
        text for _, text in sentences("Bake at 375 F. (moderate oven). Use a No. 40 scoop.")
    ] == [
        "Bake at 375 F. (moderate oven).",
        "Use a No. 40 scoop.",
    ]


@given(st.text(alphabet="12 ½/,.()-+–orplusandtcupge°F%'½#\t", max_size=120))
@examples(300)
def test_any_line_is_read_and_its_work_grows_with_its_length(line: str) -> None:
    """No token without a character behind it: the parser's work is at most the length of the line."""
    plain = tidy(line)
    assert work(plain) <= 2 * len(plain) + 1
    reads = read_line(line, built_in())
    assert reads and all(read.amount and read.confidence <= 1 for read in reads)
    take_apart(plain)


@given(st.integers(2, 40))
@examples(20)
def test_a_line_repeated_costs_as_much_more(times: int) -> None:
    """Lexemes of n lines behind each other are n times those of one, for every line of the table."""
    for line, _ in LINES:
        once = work(f"x, {tidy(line)}, ")
        assert work(f"x, {tidy(line)}, " * times) <= times * (once + 2)
