"""`perflour import` from the command line, from web pages and sheets, and with any text at all.

The vocabulary of pages is schema.org's Recipe (https://schema.org/Recipe; from memory: the names of its
properties and types); the recipes in them are invented.
"""

from __future__ import annotations

import io
import json
from datetime import datetime
from fractions import Fraction
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.commands.parts import option_name
from perflour.documents.reader import read_document
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.quantity import Amount
from perflour.recipe.header import Header, formula_id
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.request import ImportRequest, import_recipe
from perflour.recipe.to_formula import Imported, formula_file
from perflour.result import CannotRun
from tests.conftest import ROOT, Outcome, examples, run_cli

TEXTS = sorted((ROOT / "tests" / "published" / "text").glob("*.txt"))
KITCHEN = Kitchen(House(), built_in())

SLIP = """Marram buns
Makes 12 buns

For the sponge:
150 g bread flour
150 g water
1/2 tsp instant yeast

For the dough:
350 g bread flour, plus more for the bench
120 ml milk, warm
2 large eggs
60 g butter, soft
all of the sponge

Method
1. Mix the flour, water and yeast; makes the sponge. Leave for 2 hours.
2. Knead the sponge with the remaining flour, milk, eggs and butter until smooth, 10 min.
3. Bake at 190 °C for 18-20 min until brown.

Notes
Best on the day.
"""


def imported_by(tmp_path: Path, text: str, *options: str) -> Outcome:
    (tmp_path / "slip.txt").write_text(text, encoding="utf-8")
    return run_cli("import", "slip.txt", *options, cwd=tmp_path)


@pytest.mark.parametrize(
    ("text", "options", "header", "told"),
    [
        (SLIP, (), {"status": "draft"}, ""),
        (SLIP, ("--citation", "A card"), {"status": "draft", "origin": "adapted", "citation": "A card"}, ""),
        (SLIP, ("--reference", "--citation", "A card"), {"status": "reference", "citation": "A card"}, ""),
        (SLIP.replace("Makes", "Source: A card\nMakes"), ("--reference",), {"status": "reference", "citation": "A card"}, ""),
        (SLIP, ("--reference",), {"status": "reference"}, "slip.txt:1:1: no source is said, which a reference needs; write author, work and year in `citation`\n"),
    ],
)  # fmt: skip
def test_whose_a_formula_is(
    tmp_path: Path, text: str, options: tuple[str, ...], header: dict[str, str], told: str
) -> None:
    done = imported_by(tmp_path, text, *options)
    data = data_of(done.out.encode())
    assert {key: data[key] for key in ("status", "origin", "citation") if key in data} == header
    assert [line for line in done.err.splitlines(True) if "no source" in line] == [told][
        : bool(told)
    ]
    assert ("# no source is said" in done.out) == bool(told)


def data_of(content: bytes) -> Any:
    return read_document(content, "formula.yaml").data


def test_a_slip_becomes_a_formula_in_parts(tmp_path: Path) -> None:
    """By hand: every line of the golden file was read against the slip above."""
    done = imported_by(tmp_path, SLIP, "--citation", "A kitchen slip", "--class", "sweet-dough")
    assert done.code == 0
    assert done.out == (ROOT / "tests" / "golden" / "imported-slip.yaml").read_text("utf-8")
    assert "US list: milk, egg, wheat" in done.err
    assert "Raw flour is a raw food." in done.err


def test_into_a_folder_never_over_a_formula_that_is_there(tmp_path: Path) -> None:
    assert (
        imported_by(tmp_path, SLIP, "--into", "formulas").out
        == "formulas/marram-buns/formula.yaml\n"
    )
    file = tmp_path / "formulas" / "marram-buns" / "formula.yaml"
    file.write_text("mine", encoding="utf-8")
    again = imported_by(tmp_path, SLIP, "--into", "formulas")
    assert (again.code, again.out) == (2, "")
    assert again.err == (
        "perflour: formulas/marram-buns/formula.yaml: is there already; "
        "give the formula another --title, or say --overwrite\n"
    )
    assert file.read_text("utf-8") == "mine"
    assert imported_by(tmp_path, SLIP, "--into", "formulas", "--overwrite").code == 0
    assert run_cli("lint", "formulas", cwd=tmp_path).code in (0, 1)


def test_what_is_not_understood_is_told_with_its_place(tmp_path: Path) -> None:
    text = "Plain cake\n\n200 g flour\n  2 tbsp brandy\nsalt to taste\n\nMix it all. Nobody knows why.\n"
    done = imported_by(tmp_path, text)
    assert done.code == 1
    assert done.err.splitlines()[:3] == [
        "slip.txt:4:3: 'brandy' is not in the catalogue; name it otherwise or add it (50 % sure)",
        "slip.txt:5:1: no amount; write one when you have weighed it (50 % sure)",
        "slip.txt:7:13: not read as a step, kept as a note; make it a step if it is one (50 % sure)",
    ]
    assert "# 50 % sure: 'brandy' is not in the catalogue; name it otherwise or add it. Read from: 2 tbsp brandy" in done.out  # fmt: skip
    assert "{item: salt, amount: to taste" in done.out


def test_standard_input_and_a_bad_name(tmp_path: Path) -> None:
    done = run_cli("import", "-", cwd=tmp_path, stdin=SLIP.encode())
    assert done.out.startswith("formula: marram-buns\n")
    missing = run_cli("import", "nothing.txt", cwd=tmp_path)
    assert (missing.code, missing.err) == (
        2,
        "perflour: 'nothing.txt': no such file; check the path\n",
    )
    empty = run_cli("import", "-", cwd=tmp_path, stdin=b"")
    assert (empty.code, empty.out) == (2, "")
    assert "<stdin>: no ingredient lines found; write one ingredient a line" in empty.err


def test_more_lines_than_a_recipe_has_are_refused(tmp_path: Path) -> None:
    (tmp_path / "long.txt").write_text("1 g salt\n" * 5001, encoding="utf-8")
    with pytest.raises(CannotRun, match=r"5001 ingredient lines, more than 5000; part it"):
        import_recipe(str(tmp_path / "long.txt"))
    (tmp_path / "long.txt").write_bytes(b"x" * 600_000)
    with pytest.raises(CannotRun, match=r"over 512 KiB, more than a recipe; cut out the recipe"):
        import_recipe(str(tmp_path / "long.txt"))


def test_a_formula_as_a_recipe_for_readers() -> None:
    done = run_cli("show", "formulas/rye-poolish-loaf", "--output", "recipe", cwd=ROOT)
    assert done.out == (ROOT / "tests" / "golden" / "recipe-rye-poolish-loaf.txt").read_text(
        "utf-8"
    )


def test_what_is_no_text_is_refused(tmp_path: Path) -> None:
    (tmp_path / "photo.jpg").write_bytes(b"\xff\xd8\xff\xe0\0\x10JFIF")
    with pytest.raises(CannotRun, match=r"photo\.jpg: is no text; save the recipe as plain text"):
        import_recipe(str(tmp_path / "photo.jpg"))
    (tmp_path / "old.txt").write_bytes("Fladen\n\n200 g flour\n".encode("utf-16"))
    assert import_recipe(str(tmp_path / "old.txt")).id == "fladen"


def test_an_old_code_page_and_crlf_are_read(tmp_path: Path) -> None:
    (tmp_path / "old.txt").write_bytes(
        "Fladen\r\n\r\n½ cup crème\r\n200 g flour\r\n".encode("cp1252")
    )
    data = data_of(import_recipe(str(tmp_path / "old.txt")).content)
    assert [line["amount"] for line in data["parts"][0]["ingredients"]] == ["1/2 cup", "200 g"]


PAGE = {
    "@context": "https://schema.org",
    "@graph": [
        {"@type": "WebPage", "name": "A page"},
        {
            "@type": ["Recipe", "NewsArticle"],
            "name": "Marram &amp; honey squares",
            "author": {"@type": "Person", "name": "N. Baker"},
            "datePublished": "2026-03-01",
            "description": "Keeps a week",
            "recipeYield": ["16", "16 squares"],
            "cookTime": "PT1H5M",
            "aggregateRating": {"@type": "AggregateRating", "ratingValue": 4},
            "recipeIngredient": [
                "For the base:", "200&nbsp;g flour", "½ cup honey", "2 large eggs",
                "For the glaze:", "100 g powdered sugar", "2 Tbsp brandy",
            ],
            "recipeInstructions": [
                {"@type": "HowToSection", "name": "Base", "itemListElement": [
                    {"@type": "HowToStep", "text": "Mix the flour, honey and eggs."},
                    {"@type": "HowToStep", "text": "<p>Bake at 350°F for 25 minutes.</p>"},
                ]},
                "Glaze while warm.",
            ],
        },
    ],
}  # fmt: skip


def test_a_saved_page_with_json_ld(tmp_path: Path) -> None:
    page = f'<html><script type="application/ld+json">{json.dumps(PAGE, indent=1)}</script></html>'
    (tmp_path / "page.html").write_text(page, encoding="utf-8")
    made = import_recipe(str(tmp_path / "page.html"), ImportRequest(into=str(tmp_path)))
    data = data_of(made.content)
    assert data["formula"] == "marram-honey-squares"
    assert data["citation"] == "N. Baker, Marram & honey squares, 2026-03-01"
    assert data["notes"] == "Keeps a week. Time, baking: 65 min."
    assert data["yield"] == {"pieces": 16, "piece": "square"}
    assert [part["part"] for part in data["parts"]] == ["base", "glaze"]
    assert data["parts"][0]["ingredients"][0] == {"item": "flour", "amount": "200 g"}
    assert data["method"][1] == {"do": "bake", "at": "350 °F", "for": "25 min"}
    assert "Not carried over from the page: aggregateRating" in made.content.decode()
    (told,) = (one for one in made.unclear if "brandy" in one.message)
    assert made.unclear == (told,)  # "glaze while warm" takes the glaze
    line = page.split("\n")[told.place.line - 1]
    assert line[told.place.column - 1 :].startswith("2 Tbsp brandy")


def test_json_alone_and_instructions_as_one_text(tmp_path: Path) -> None:
    node = {"@type": "https://schema.org/Recipe", "name": "Flat", "recipeIngredient": "200 g flour\n1 egg", "recipeInstructions": "Mix.<br>Bake at 180 C.", "recipeYield": {"@type": "QuantitativeValue", "value": 8, "unitText": "pieces"}}  # fmt: skip
    (tmp_path / "flat.json").write_text(json.dumps(node), encoding="utf-8")
    data = data_of(import_recipe(str(tmp_path / "flat.json")).content)
    assert [line["item"] for line in data["parts"][0]["ingredients"]] == ["flour", "egg"]
    assert [step["do"] for step in data["method"]] == ["mix", "bake"]
    assert data["yield"]["pieces"] == 8


@pytest.mark.parametrize(
    ("content", "message"),
    [
        ("<html></html>", "no schema.org Recipe found; save the whole page, or paste the text"),
        ("{", "p.html:1:2: no JSON that can be read; save the page again"),
        ('[{"@type": "Recipe", "name": "A", "ingredients": "1 egg"}, {"@type": "Recipe", "name": "B", "ingredients": "1 egg"}]', "holds 2 recipes; name one with --recipe: A, B"),
        ('{"@type": "Recipe"}', "no ingredient lines found"),
        ("[" * 100_000, "no JSON that can be read"),
    ],
)  # fmt: skip
def test_pages_that_hold_no_recipe(content: str, message: str, tmp_path: Path) -> None:
    (tmp_path / "p.html").write_text(content, encoding="utf-8")
    with pytest.raises(CannotRun, match=r"p\.html") as raised:
        import_recipe(str(tmp_path / "p.html"))
    assert message in raised.value.told(option_name)


CSV = "Section;Ingredient;Weight (g);Prep;Supplier\nsponge;bread flour;150;;mill A\nsponge;water;150,5;warm;\ndough;butter;60;soft;\ndough;;5;;\n"  # fmt: skip


def test_a_csv_sheet_by_its_headings(tmp_path: Path) -> None:
    (tmp_path / "marram-buns.csv").write_text(CSV, encoding="utf-8")
    made = import_recipe(str(tmp_path / "marram-buns.csv"))
    data = data_of(made.content)
    assert data["formula"] == "marram-buns"
    assert data["parts"][0]["ingredients"] == [
        {"item": "bread flour", "amount": "150 g", "note": "mill A"},
        {"item": "water", "amount": "150.5 g", "state": "warm"},
    ]
    assert [(r.place.line, r.place.column, r.message) for r in made.unclear] == [
        (5, 2, "the row names no item; write one (50 % sure)")
    ]


def test_a_sheet_with_a_mapping_and_one_without_headings(tmp_path: Path) -> None:
    (tmp_path / "s.csv").write_text("Was,Menge\nflour,2 cups\n", encoding="utf-8")
    with pytest.raises(CannotRun, match="no columns for item and amount among the headings"):
        import_recipe(str(tmp_path / "s.csv"))
    made = import_recipe(str(tmp_path / "s.csv"), ImportRequest(columns="item=Was,amount=Menge"))
    assert data_of(made.content)["parts"][0]["ingredients"] == [
        {"item": "flour", "amount": "2 cup"}
    ]
    with pytest.raises(CannotRun, match="'colour=x' is not understood; write KEY=HEADING"):
        import_recipe(str(tmp_path / "s.csv"), ImportRequest(columns="colour=x"))


def workbook(rows: list[list[Any]]) -> bytes:
    from openpyxl import Workbook

    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "Buns"
    for row in rows:
        page.append(row)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def test_a_workbook_keeps_fractions_and_tells_of_dates(tmp_path: Path) -> None:
    """A spreadsheet makes 0.333... of 1/3 and a date of a typed 1/2 (common knowledge, no source)."""
    rows: list[list[Any]] = [["Ingredient", "Amount", "Unit"], ["flour", 2, "cup"], ["milk", 1 / 3, "cup"], ["salt", datetime(2026, 2, 1), "tsp"]]  # fmt: skip
    (tmp_path / "b.xlsx").write_bytes(workbook(rows))
    made = import_recipe(str(tmp_path / "b.xlsx"))
    formula = read_formula(made.content, "x")
    assert formula.title == "Buns"
    amounts = [line.amount.value for line in formula.parts[0].lines]
    assert isinstance(amounts[1], Amount)
    assert amounts[1].terms[0].low == Fraction(1, 3)
    (told,) = made.unclear
    assert "a date (2026-02-01 00:00:00) stands where an amount was meant" in told.message
    assert told.place.line == 4
    for content in (b"PK\x03\x04broken", b"PK"):
        (tmp_path / "b.xlsx").write_bytes(content)
        with pytest.raises(CannotRun, match="no workbook that can be read"):
            import_recipe(str(tmp_path / "b.xlsx"))


def made_of(text: str) -> Imported:
    return formula_file(sorted_text(text, "x"), Header(), KITCHEN)


def check_any(text: str) -> None:
    """A valid formula file whatever the text; every line that is not understood stands in it."""
    made = made_of(text)
    formula = read_formula(made.text.encode(), "x")
    assert formula.status == "draft"
    for result in made.unclear:
        assert unquoted(result.subject) in unquoted(made.text)


def unquoted(text: str) -> str:
    """A text without line breaks and without YAML's way to write a quote inside of quotes."""
    return " ".join(text.replace("''", "'").replace('\\"', '"').split())


@given(st.text(max_size=400))
@examples(500)
def test_any_text_makes_a_valid_file(text: str) -> None:
    check_any(text)


@given(st.randoms(use_true_random=False), st.sampled_from(TEXTS), st.integers(1, 12))
@examples(500)
def test_any_mutated_recipe_makes_a_valid_file(chance: Random, path: Path, times: int) -> None:
    check_any(mutated(path.read_text(encoding="utf-8"), chance, times))


def mutated(text: str, chance: Random, times: int) -> str:
    """A text with pieces cut out, doubled, moved, or overwritten with what breaks grammars."""
    spice = ["(", ")", "½", "1/0", "plus", " or ", "\n\n", ":", ";", "°", "#", "- ", "'", '"', "{", "}", "\\", "to taste", "9" * 20, "\u2028", "🥚", "Method\n", "For the x:\n"]  # fmt: skip
    for _ in range(times):
        start = chance.randrange(len(text) + 1)
        end = min(len(text), start + chance.randrange(40))
        piece = chance.choice(["", text[start:end] * 2, chance.choice(spice)])
        text = text[:start] + piece + text[chance.choice([start, end]) :]
    return text


@pytest.mark.parametrize("unit", ["1 cup flour or ", "(", "1/2 ", "plus 1 cup ", "mix and ", "until ", "1 cup flour\n", "Mix the dry ingredients. ", "beat until thick, ", "½"])  # fmt: skip
def test_long_monotonous_texts_are_read(unit: str) -> None:
    """What blows up an ambiguous grammar or a backtracking expression: one thing said 3,000 times.

    A formula has 300 steps at most.
    """
    check_any(f"Title\n\n200 g flour\n\n{unit * (250 if unit[:4] in ('Mix ', 'beat') else 3000)}")
    check_any(f"Title\n\n200 g flour\n{unit * 250}\n")


@pytest.mark.parametrize(
    ("title", "wanted"),
    [("Oat & treacle loaf", "oat-treacle-loaf"), ("Crème brûlée", "creme-brulee"), ("!!!", "untitled-recipe"), ("x" * 200, "x" * 80)],
)  # fmt: skip
def test_ids_of_titles(title: str, wanted: str) -> None:
    assert formula_id(title) == wanted
