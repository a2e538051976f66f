"""book.yaml: what it settles, what is wrong with it, and that nothing of ours is said elsewhere than in its words."""

from __future__ import annotations

import argparse
import json
import re
import string
from fractions import Fraction
from pathlib import Path

import pytest
import yaml

from perflour.commands import draft as command
from perflour.cookbook.book import Cookbook, Selection, draft
from perflour.cookbook.book_file import DARK_PAPER, PAPER, BookFile, Look, book_file, contrast
from perflour.cookbook.translated.grammars import GRAMMARS
from perflour.documents.schema import schema
from perflour.kitchen.language import ENGLISH, LANGUAGES
from perflour.report.cookbook.html import cookbook_html
from perflour.report.cookbook.printed.book import IN_TEMPLATES, printed_book
from perflour.report.cookbook.printed.words import Words, book_words
from tests.conftest import ROOT, formula_text, run_cli

FULL = """
book: Breads of the quay
subtitle: For two ovens
authors: [The bakers of the quay]
imprint: [First printing.]
foreword: [It began with a tin.]
language: en
words: {de: {bread flour: starkes Weizenmehl}}
paper: us-letter
amounts: household
measures: {cups: ['1', 1/2], teaspoons: ['1', 1/2, 1/4], near: 2, scant: 5}
index-without: [water]
chapters: {loaf-cake: Cakes that keep.}
formulas: {trial: {variations: [Figs do as well.], story: true}}
look: {text-font: New Computer Modern, text-size: 11, accent: '#1f5130', accent-dark: '#8fd0a5'}
"""


def kitchen(top: Path, settled: str) -> Cookbook:
    """A kitchen with one formula and a book.yaml."""
    lines = ("{item: water, amount: 237 g}", "{item: bread flour, amount: 450 g}", "{item: unsalted butter, amount: 121 g}")  # fmt: skip
    (top / "trial").mkdir()
    (top / "trial" / "formula.yaml").write_text(formula_text(*lines), encoding="utf-8")
    (top / "book.yaml").write_text(settled, encoding="utf-8")
    (top / "house.yaml").write_text(
        "house: The quay\nclasses: {loaf-cake: {title: Loaf cakes}}\n", encoding="utf-8"
    )
    return draft([str(top)], Selection(None)).book


def test_a_book_is_made_as_its_file_says(tmp_path: Path) -> None:
    book = kitchen(tmp_path, FULL)
    printed = printed_book(book)
    assert (printed.title, printed.subtitle) == ("Breads of the quay", "For two ovens")
    assert printed.authors == ("The bakers of the quay",)
    assert printed.imprint[:2] == ("Breads of the quay", "First printing.")
    assert [front.title for front in printed.front] == ["Foreword", "Before you bake"]
    assert (book.settled.paper, printed.columns) == ("us-letter", 1)
    assert printed.chapters[0].text == "Cakes that keep."
    page = printed.pages[0]
    assert [row.amounts for row in page.tables[0].rows][0::2] == [("1 cup",), ("½ cup plus 2 tsp",)]
    assert page.variations == ("Figs do as well.",)
    assert [entry.name for entry in book.index] == ["butter, unsalted", "flour, bread"]
    assert book.settled.look == Look("New Computer Modern", "Libertinus Serif", 11, "#1f5130", "#8fd0a5")  # fmt: skip
    assert book.settled.owned.cups == (Fraction(1), Fraction(1, 2))
    assert (book.settled.owned.near, book.settled.owned.scant) == (0.02, 0.05)
    assert "--accent: #1f5130" in cookbook_html(book) and "--accent: #8fd0a5" in cookbook_html(book)


def test_without_a_file_all_is_as_usual() -> None:
    assert book_file(b"book: The quay", "book.yaml") == BookFile("The quay", path="book.yaml")


@pytest.mark.parametrize(("options", "cells"), [
    ((), [["237 g", "1 cup"], ["121 g", "½ cup plus 1 tsp"]]),
    (("--amounts", "grams"), [["237 g"], ["121 g"]]),
    (("--amounts", "household"), [["1 cup"], ["½ cup plus 1 tsp"]]),
])  # fmt: skip
def test_amounts_are_in_grams_in_measures_or_both(
    options: tuple[str, ...], cells: list[list[str]], tmp_path: Path
) -> None:
    kitchen(tmp_path, "book: The quay\n")
    words = ("draft", "--all", "trial", "--output", "html", *options)
    done = run_cli(*words, cwd=tmp_path)
    assert done.code == 0, done.err
    rows = re.findall(r"<tr>((?:<td[^>]*>[^<]*</td>)+)<th scope=\"row\"", done.out)
    told = [
        [re.sub(r"[\xa0\s]+", " ", c) for c in re.findall(r">([^<]+)</td>", row)] for row in rows
    ]
    assert [told[0], told[2]] == cells


@pytest.mark.parametrize(("text", "said"), [
    ("subtitel: x", "book.yaml:2:1: error: unknown key 'subtitel' in the file; did you mean 'subtitle'?"),
    ("paper: foolscap", "`paper` is"),
    ("look: {accent: '#ffcc00'}", "book.yaml:2:16: error: `accent` #ffcc00 stands 1.5 to 1 against #ffffff, and letters want 4.5; take a darker one"),
    ("look: {accent-dark: '#222222'}", "`accent-dark` #222222 stands 1.1 to 1 against #16181a, and letters want 4.5; take a lighter one"),
    ("look: {accent: 'red; } body { display: none'}", "`accent` of `look` is"),
])  # fmt: skip
def test_lint_says_what_is_wrong_with_it_and_no_book_is_made_of_it(
    text: str, said: str, tmp_path: Path
) -> None:
    (tmp_path / "formula.yaml").write_text(formula_text("{item: salt, amount: 1 g}"), "utf-8")
    (tmp_path / "book.yaml").write_text(f"book: The quay\n{text}\n", "utf-8")
    told = run_cli("lint", "book.yaml", cwd=tmp_path)
    assert told.code == 1
    assert said in told.all
    assert run_cli("draft", "--all", "formula.yaml", "--output", "html", cwd=tmp_path).code == 2


def test_the_usual_colours_can_be_read() -> None:
    """WCAG 2.2 gives 21 for black on white; #767676 is the grey that just reaches 4.5."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.01)
    assert contrast(Look().accent, PAPER) > 4.5 and contrast(Look().accent_dark, DARK_PAPER) > 4.5
    look = (ROOT / "tools/perflour/data/look.css").read_text(encoding="utf-8")
    assert f"--paper: {DARK_PAPER}" in look


# --- the story ---------------------------------------------------------------------------------


def test_a_formula_tells_its_story_where_it_is_asked() -> None:
    words = ("draft", "formulas/rye-ginger-cookie", "--output", "json")
    plain, told = (json.loads(run_cli(*words, *more, cwd=ROOT).out) for more in ((), ("--story",)))
    assert plain["chapters"][0]["pages"][0]["story"] is None
    story = told["chapters"][0]["pages"][0]["story"]
    assert (story["versions"], story["bakes"]) == (8, 7)
    assert story["turns"][0]["text"].startswith("cut the dark brown sugar from 1 cup to 3/4 cup")
    assert {turn["version"] for turn in story["turns"]} <= set(range(1, 9))


# --- words -------------------------------------------------------------------------------------

WORDS = ROOT / "tools" / "perflour" / "data" / "book_words"


def test_a_language_has_words_a_grammar_and_a_row_in_schema_and_command() -> None:
    known = list(LANGUAGES)
    asked = schema("book")["properties"]
    assert known == [ENGLISH, *GRAMMARS] == asked["language"]["enum"]
    assert [*asked["words"]["properties"]] == [*GRAMMARS]
    assert {path.stem for path in WORDS.glob("*.yaml")} == set(known)
    parser = argparse.ArgumentParser()
    command.describe(parser)
    assert [parser.parse_args(["--language", name]).language for name in known] == known


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_language_has_every_word_with_the_same_places(language: str) -> None:
    english, other = (yaml.safe_load((WORDS / f"{n}.yaml").read_text("utf-8")) for n in ("en", language))  # fmt: skip
    assert other.keys() == english.keys()
    assert other["measures"].keys() == english["measures"].keys()
    for key in english.keys() - {"measures"}:
        assert places(other[key]) == places(english[key]), key


def places(text: str) -> set[str | None]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name is not None}


def test_every_word_is_used_and_no_template_has_one_of_its_own() -> None:
    room = ROOT / "tools" / "perflour" / "report" / "cookbook"
    code = "".join(path.read_text("utf-8") for path in room.rglob("*.py"))
    used = {key for key in book_words().texts if f'"{key}"' in code}
    used |= {f"kitchen-{name}" for name in ("bake-time", "core", "height", "spread")}
    assert used == set(book_words().texts)
    data = ROOT / "tools" / "perflour" / "data"
    for name in ("cookbook.html", "cookbook_formula.html", "cookbook_part.xhtml"):
        bare = re.sub(r"(?s)\{[{%#].*?[}%#]\}|<style>.*?</style>|<[^>]*>", " ", (data / name).read_text("utf-8"))  # fmt: skip
        bare = re.sub(r"[^{}]+\{[^{}]*\}|@\w+[^{}]*|\}", " ", bare)
        assert re.findall(r"[A-Za-z]{2,}", bare) == [], name
    print_template = (data / "cookbook.typ").read_text("utf-8")
    taken = set(re.findall(r"words\.(\w+)", print_template))
    assert taken <= {key.replace("-", "_") for key in IN_TEMPLATES}


def test_numbers_and_units_are_in_the_words_of_the_book() -> None:
    words = book_words()
    measures = {**words.measures, "cup": "Tasse|Tassen", "plus": "und"}
    other = Words(words.language, words.texts, measures)
    assert other.measure("2 cup plus 1 tbsp") == "2 Tassen und 1 tbsp"
    assert other.measure("scant ½ cup") == "scant ½ Tasse"
