"""The cookbook: what is on a page, which formulas are in it, and what its maker is told."""

from __future__ import annotations

import json
import re
import shutil
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_inputs
from perflour.cookbook.book import Cookbook, Selection, draft
from perflour.cookbook.english import inverted
from perflour.cookbook.page import Page, page_of
from perflour.cookbook.proofreading import Proofreader
from perflour.formula.digests import digest
from perflour.kitchen.house import House, Kitchen
from perflour.kitchen.quantity import AmountProblem, parse_amount
from perflour.lint.check import check_balance, errors_of
from perflour.lint.rules.all_rules import RULES
from perflour.report.cookbook.printed.page import printed_page
from perflour.report.cookbook.printed.words import book_words
from perflour.report.form.signs import typeset, unbroken
from perflour.result import Place
from perflour.system.files import input_files
from tests.conftest import ROOT, formula_text, run_cli, weigh_text

ANY = Selection(None)


def demo() -> Cookbook:
    """All formulas of the demo."""
    return draft([str(ROOT / "formulas")], ANY).book


def page(*lines: str, method: str = "[]", extra: str = "") -> Page:
    balance = weigh_text(formula_text(*lines, method=method, extra=extra))
    from perflour.kitchen.catalogue import built_in

    return page_of(balance, (), Kitchen(House(), built_in()), Proofreader(()))


# --- signs -------------------------------------------------------------------------------------


@pytest.mark.parametrize(("text", "expected"), [
    ("1 1/2 tsp", "1½ tsp"), ("2/3 cup", "⅔ cup"), ("1/16 tsp", "1/16 tsp"), ("11/2 cup", "11/2 cup"),
    ("12-14 min", "12–14 min"), ("1 - 2 h", "1–2 h"), ("1/2-3/4 cup", "½–¾ cup"),
    ("33 x 23 cm", "33 × 23 cm"), ("18 x 26 x 1 inch", "18 × 26 × 1 inch"),
    ("2026-03-14", "2026-03-14"), ("sugar-free", "sugar-free"), ("B-04", "B-04"), ("1 x a day", "1 x a day"),
])  # fmt: skip
def test_signs_of_print(text: str, expected: str) -> None:
    assert typeset(text) == expected


@pytest.mark.parametrize(("text", "expected"), [
    ("1 cup", "1 cup"), ("2 cup plus 1 tbsp", "2 cups plus 1 tbsp"), ("1/2 cup", "½ cup"),
    ("1 1/2 cup", "1½ cups"), ("2 pinch", "2 pinches"), ("1-2 can", "1–2 cans"), ("2 large", "2 large"),
    ("scant 3/4 cup", "scant ¾ cup"), ("about 2 cup, packed", "about 2 cups, packed"), ("1 can of 425 g, 250 g drained", "1 can of 425 g, 250 g drained"),
])  # fmt: skip
def test_measures_are_in_the_plural_from_more_than_one_on(text: str, expected: str) -> None:
    assert book_words().measure(typeset(text)) == expected


def test_numbers_stay_with_their_units() -> None:
    said = unbroken(
        "Bake 2 loaves at 175 °C (350 °F) for 1½–2 h with 100 % steam, 5 minutes, 3 × 4 cm"
    )
    assert said == "Bake 2 loaves at 175\u00a0°C (350\u00a0°F) for 1½–\u20602\u00a0h with 100\u00a0% steam, 5 minutes, 3\u00a0×\u00a04\u00a0cm"  # fmt: skip


# --- the page ----------------------------------------------------------------------------------


@pytest.mark.parametrize(("line", "said"), [
    # USDA SR28: large egg 50 g, cup of butter 227 g, of packed brown sugar 220 g
    ("{item: egg, amount: 100 g}", "2 large"),
    ("{item: egg, amount: 75 g}", "1 1/2 large"),
    ("{item: unsalted butter, amount: 227 g}", "1 cup"),
    ("{item: dark brown sugar, amount: 440 g}", "2 cup, packed"),
    ("{item: dark brown sugar, amount: 220 g, state: packed}", "1 cup"),
    # what the baker wrote stays; metric volumes do not count as household measures
    ("{item: whole milk, amount: 2-3 Tbsp}", "2-3 tbsp"),
    ("{item: egg, amount: 3 each}", "3"),
    ("{item: whole milk, amount: 244 g}", "1 cup"),
    ("{item: canned peaches, amount: 1 can 425 g drained 250 g}", "1 can of 425 g, 250 g drained"),
    # an eighth of a teaspoon is 0.39 g of yeast (USDA SR28: 3.1 g a teaspoon): no spoon is near 0.3 g
    ("{item: instant yeast, amount: 0.3 g}", ""),
    ("{item: instant yeast, amount: 0.4 g}", "generous 1/8 tsp"),
    ("{item: xanthan gum, amount: 2 g}", ""),
    ("{item: moon dust, amount: 2 g}", ""),
    ("{item: egg, amount: some}", "some"),
])  # fmt: skip
def test_measures_beside_the_mass(line: str, said: str) -> None:
    assert page(line).parts[0].lines[0].measure == said


def test_of_a_part_its_share_is_told_and_no_mass_twice() -> None:
    made = [
        page(flour, f"{{part: batter, amount: {amount}}}").parts[0].lines[1].measure
        for flour, amount in (("{item: bread flour, amount: 1 g}", a) for a in ("half", "40 %", "200 g"))
    ]  # fmt: skip
    assert made == ["half", "40 %", ""]


def volume_ml(text: str) -> float | None:
    """A measure of volume in ml; None for counts and what cannot be read."""
    try:
        amount = parse_amount(re.sub("^(about|scant|generous) ", "", text).partition(",")[0])
    except AmountProblem:
        return None
    if not all(term.unit.kind == "volume" for term in amount.terms):
        return None
    return sum(float(term.mean) * term.unit.factor for term in amount.terms)


@pytest.mark.parametrize("recipe", ["banana-bread", "carrot-cake", "chocolate-cake", "chocolate-frosting", "peanut-butter-cookies"])  # fmt: skip
def test_measures_are_those_printed_beside_the_weights(recipe: str) -> None:
    """USDA, Quantity Recipes for School Food Service, PA-1371, 1988, prints both columns."""
    by_weight, by_measure = (
        draft([str(ROOT / f"tests/published/{kind}/usda-1988-{recipe}")], ANY).book.pages[0]
        for kind in ("weight", "measure")
    )
    printed = {ln.name: volume_ml(ln.measure) for part in by_measure.parts for ln in part.lines}
    pairs = [
        (volume_ml(line.measure), ml)
        for part in by_weight.parts
        for line in part.lines
        if (ml := printed.get(line.name))
    ]
    assert len(pairs) >= 6
    for worked_out, ml in pairs:
        assert worked_out == pytest.approx(ml, rel=0.08)


def test_masses_and_percentages_are_those_of_show() -> None:
    told = json.loads(run_cli("show", "--output", "json", cwd=ROOT).out)
    shown = [sheet for sheet in told if sheet["status"] != "reference"]
    pages = {page.title: page for page in demo().pages}
    assert len(shown) == len(pages) >= 7
    for sheet in shown:
        told = pages[sheet["title"]]
        for part, ours in zip(sheet["parts"], told.parts, strict=True):
            assert [(i["item"], i["mass_g"], i["percent"]) for i in part["ingredients"]] == [
                (line.name, line.mass_g, line.percent) for line in ours.lines
            ]
        assert told.batch_g == sheet["total"]["batch_mass_g"]


def test_a_preferment_gets_the_total_formula() -> None:
    loaf = next(p for p in demo().pages if "poolish" in p.title)
    assert {line.name: line.percent for line in loaf.total}["water"] == pytest.approx(71.0)
    tables = printed_page(loaf).tables
    assert [table.title for table in tables] == ["Poolish", "Dough", "Dough in all"]
    assert all(not row.amounts[1] for row in tables[-1].rows)
    assert all(not p.total for p in demo().pages if p != loaf)


@pytest.mark.parametrize(("extra", "method", "facts"), [
    ("yield: {pieces: 2, piece: loaf}\n", "[{do: bake, at: 350 °F, for: 40-45 min}, {do: cool, for: 1 h}]",
     {"Makes": "2 loaves of 250 g each, weighed before baking", "Batch": "500 g", "Oven": "350 °F (175 °C), 40–45 min", "Time": "about 1 h 45 min in timed steps"}),
    ("yield: {pieces: 1}\n", "[{do: par-bake, at: 200 °C, for: 10 min}, {do: bake, at: 180 °C, for: 2 h}]",
     {"Makes": "1 piece of 500 g, weighed before baking", "Batch": "500 g", "Oven": "200 °C (390 °F); 180 °C (355 °F), 2 h 10 min", "Time": "about 2 h 10 min in timed steps"}),
    ("", "[{do: mix}]", {"Batch": "500 g"}),
])  # fmt: skip
def test_facts(extra: str, method: str, facts: dict[str, str]) -> None:
    told = printed_page(page("{item: bread flour, amount: 500 g}", method=method, extra=extra))
    assert {fact.label: fact.text for fact in told.facts} == facts


@pytest.mark.parametrize(("lines", "method", "caution"), [
    ("{item: granulated sugar, amount: 200 g}", "[{do: boil, uses: [granulated sugar], until: amber}]", "hot-sugar-burns"),
    ("{item: egg, amount: 2 large}", "[{do: mix, uses: [egg]}]", "raw-egg"),
    ("{item: bread flour, amount: 200 g}", "[]", "raw-flour"),
    ("{item: honey, amount: 20 g}", "[]", "honey-infants"),
    ("{item: salt, amount: 2 g}", "[{do: bake, core: 96 °C}]", "core-is-quality"),
])  # fmt: skip
def test_cautions_come_where_they_belong(lines: str, method: str, caution: str) -> None:
    always = {"not-a-label", "read-the-label", "cross-contact", "food-code-decides"}
    found = {c.id for c in page(lines, method=method).cautions}
    assert found >= {caution, *always}
    assert caution not in {c.id for c in page("{item: water, amount: 20 g}").cautions}


def test_a_cooked_filling_is_to_be_cooled() -> None:
    text = formula_text("{item: whole milk, amount: 200 g}", method="[{do: cook, uses: [whole milk], makes: custard}]").replace("part: batter", "part: custard")  # fmt: skip
    from perflour.kitchen.catalogue import built_in

    found = page_of(weigh_text(text), (), Kitchen(House(), built_in()), Proofreader(()))
    assert "filling-cooled" in {c.id for c in found.cautions}


# --- notes of the kitchen ----------------------------------------------------------------------


def kitchen(folder: Path, *bakes: str, notes: str = "Good on the second day.") -> Path:
    """A formula with test bakes; OF stands for its digest."""
    home = folder / "plum-bread"
    (home / "bakes").mkdir(parents=True)
    text = formula_text(
        "{item: bread flour, amount: 500 g, note: any}", extra=f'notes: "{notes}"\n'
    ).replace("formula: trial", "formula: plum-bread")
    text = text.replace("status: draft", "status: approved")
    (home / "formula.yaml").write_text(text, encoding="utf-8")
    mark = digest(weigh_text(text).formula)
    for number, bake in enumerate(bakes):
        said = f'date: 2026-03-1{number}\nformula: plum-bread\nof: "OF"\nbaker: Q9\n{bake}'
        name = home / "bakes" / f"2026-03-1{number}.yaml"
        name.write_text(said.replace("OF", mark), encoding="utf-8")
    return home


def test_only_kept_bakes_of_this_very_version_speak(tmp_path: Path) -> None:
    home = kitchen(
        tmp_path,
        "verdict: keep\nnotes: Dark crust.\nmeasured: {core: 96 °C, height: 70 mm, bake-time: 40 min}\n",
        "verdict: change\nnotes: Gummy.\nnext: {try: less water, because: it is wet}\n",
        "verdict: reject\nnotes: Flat.\n",
        'verdict: keep\nnotes: Of an older version.\nscores: [{taster: A, crumb: 7}]\n'.replace("\n", "\n", 1),
    )  # fmt: skip
    older = home / "bakes" / "2026-03-13.yaml"
    older.write_text(
        older.read_text().replace(older.read_text()[42:54], "0" * 11 + "1"), encoding="utf-8"
    )
    pages = draft([str(home)], Selection()).book.pages
    assert printed_page(pages[0]).kitchen_notes == (
        "Dark crust. 40 min in the oven, 96 °C (205 °F) in the middle, 70 mm high.",
    )


@pytest.mark.parametrize(("notes", "found"), [
    ("Same as 0f3a9c21b7de.", "0f3a9c21b7de"),
    ("See plum-bread.", "plum-bread"),
    ("Waived: no-cooling.", "no-cooling"),
    ("The plum bread of old, 123456789012 times.", "123456789012"),
])  # fmt: skip
def test_text_with_internal_words_is_left_out_and_told(
    notes: str, found: str, tmp_path: Path
) -> None:
    kitchen(tmp_path, f"verdict: keep\nnotes: '{notes}'\n", notes=notes)
    done = run_cli("draft", "plum-bread", "--output", "json", cwd=tmp_path)
    assert (done.code, len(done.err.splitlines())) == (1, 2)
    assert f"plum-bread/formula.yaml:5:1: '{found}' means nothing to a reader, so this text is left out of the draft; say it in words" in done.err  # fmt: skip
    assert "plum-bread/bakes/2026-03-10.yaml:1:1: " in done.err
    assert found not in done.out


@given(st.text())
def test_words_of_the_language_are_kept(text: str) -> None:
    proof = Proofreader(["brioche", "plum-bread"])
    said = "brioche " + text.replace("-", " ").replace("0", " ")
    if not any(len(word) >= 12 for word in said.split()):
        assert proof.keep(said, Place("x"))
        assert proof.remarks == []


# --- selection, order, index -------------------------------------------------------------------


def titles(*words: str) -> list[str]:
    done = run_cli("draft", "--output", "json", *words, cwd=ROOT)
    assert done.code == 0, done.err
    return [page["title"] for ch in json.loads(done.out)["chapters"] for page in ch["pages"]]


def test_approved_formulas_unless_asked_otherwise() -> None:
    assert titles() == ["Seeded loaf on a rye poolish", "Oat, date and coffee loaf", "Rye, ginger and treacle cookie"]  # fmt: skip
    assert titles("--status", "draft") == ["Caraway and sour cream biscuit"]
    assert len(titles("--status", "testing", "--status", "approved")) == 6
    assert len(titles("--all")) == 7
    assert titles("--all", "--class", "lean-bread", "--class", "crumb-cake") == ["Seeded loaf on a rye poolish", "Peach and cardamom crumb cake"]  # fmt: skip


@pytest.mark.parametrize(
    ("words", "of"),
    [((), " approved"), (("--all",), ""), (("--status", "draft"), " draft")],
)
def test_a_reference_is_never_in(tmp_path: Path, words: tuple[str, ...], of: str) -> None:
    text = formula_text("{item: flour, amount: 100 g}", extra="citation: An old notebook\n")
    text = text.replace("status: draft", "status: reference")
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    done = run_cli("draft", "formula.yaml", *words, cwd=tmp_path)
    said = f"no{of} formula among the 1 read (a reference is never in a cookbook); choose others with --status, --class or --all"
    assert (done.code, done.err) == (2, f"perflour: {said}\n")


def test_chapters_stand_as_the_house_has_its_classes() -> None:
    book = demo()
    assert (book.title, book.house) == ("Saltmarsh Lane", "Saltmarsh Lane")
    assert [chapter.title for chapter in book.chapters] == ["Lean bread", "Loaf cake", "Crumb cake", "Drop cookie", "Biscuit and scone", "Flourless torte", "Gluten-free cake and tea bread"]  # fmt: skip


def test_an_unknown_class_is_said_in_words() -> None:
    assert page("{item: salt, amount: 1 g}").kind == "Loaf cake"


def test_the_index_names_every_ingredient_and_leads_from_other_names() -> None:
    book = demo()
    entries = {entry.name: entry for entry in book.index}
    used = {
        (line.main_name, number)
        for number, page in enumerate(book.pages)
        for part in page.parts
        for line in part.lines
        if not line.is_part
    }
    looked_up = {(inverted(name), n) for name, n in used if name not in ("water", "table salt")}
    assert {(e.name, n) for e in book.index for n in e.pages} == looked_up
    assert entries["treacle, black"].see == "molasses"
    assert not {"water", "table salt", "salt, table"} & entries.keys()
    names = [entry.name for entry in book.index]
    assert names == sorted(names)


def test_the_index_does_without_accents_and_starts_with_figures(tmp_path: Path) -> None:
    text = formula_text(*(f"{{item: '{n}', amount: 1 g}}" for n in ("zest", "éclair glaze", "Spelt flour", "1% milk")))  # fmt: skip
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    index = draft([str(tmp_path)], ANY).book.index
    assert [(e.letter, e.name) for e in index if not e.see] == [("E", "éclair glaze"), ("F", "flour, spelt"), ("M", "milk, 1%"), ("Z", "zest")]  # fmt: skip


@pytest.mark.parametrize(("words", "message"), [
    (("--class", "loaf-cke"), "there is no class 'loaf-cke'; did you mean loaf-cake?"),
    (("--class", "pancake"), "no approved formula of class pancake among the 8 read (a reference is never in a cookbook); choose others with --status, --class or --all"),
    (("formulas/house.yaml",), "no formula there; name a formula file or its folder"),
    (("nowhere",), "'nowhere': no such file or folder, and no formula of that id; check the path"),
    (("--write", "formulas", "--output", "html"), "formulas: is no plain file; name a file with --write"),
    (("--write", "formulas/rye-ginger-cookie/formula.yaml", "--output", "html"), "formulas/rye-ginger-cookie/formula.yaml: the report is about this file; name another with --write"),
    (("--write", "formulas/house.yaml", "--output", "html"), "formulas/house.yaml: the report is about this file; name another with --write"),
    (("--write", "no/such/place.pdf"), "no/such/place.pdf: cannot be written (No such file or directory); check the folder"),
])  # fmt: skip
def test_what_cannot_be_done_is_one_line(words: tuple[str, ...], message: str) -> None:
    done = run_cli("draft", *words, cwd=ROOT)
    assert (done.code, done.err) == (2, f"perflour: {message}\n")


def test_a_broken_formula_and_a_broken_bake_are_told_and_the_rest_is_drafted(
    tmp_path: Path,
) -> None:
    shutil.copytree(ROOT / "formulas", tmp_path / "formulas")
    shutil.copytree(ROOT / "schema", tmp_path / "schema")
    (tmp_path / "formulas/oat-date-loaf/formula.yaml").write_text("formula: [", encoding="utf-8")
    bake = tmp_path / "formulas/rye-ginger-cookie/bakes/2026-11-25.yaml"
    bake.write_text("date: never\n", encoding="utf-8")
    done = run_cli("draft", "--all", "--output", "json", cwd=tmp_path)
    assert done.code == 1
    assert "formulas/oat-date-loaf/formula.yaml:2:1: error" in done.err
    assert "formulas/rye-ginger-cookie/bakes/2026-11-25.yaml" in done.err
    assert sum(len(ch["pages"]) for ch in json.loads(done.out)["chapters"]) == 6


def test_where_nothing_can_be_read_it_is_said_why(tmp_path: Path) -> None:
    (tmp_path / "formula.yaml").write_text("formula: [", encoding="utf-8")
    done = run_cli("draft", "formula.yaml", cwd=tmp_path)
    assert done.code == 2
    assert done.err.startswith("perflour: formula.yaml:2:1: a value is missing; ")


def test_errors_of_lint_are_told_with_the_draft(tmp_path: Path) -> None:
    (tmp_path / "formula.yaml").write_text(
        formula_text("{item: bread flour, amount: heaps}"), encoding="utf-8"
    )
    done = run_cli("draft", "--all", "--output", "json", "formula.yaml", cwd=tmp_path)
    assert done.code == 1
    assert "unreadable-amount" in done.err
    line = json.loads(done.out)["chapters"][0]["pages"][0]["parts"][0]["lines"][0]
    assert (line["mass_g"], line["measure"]) == (None, "heaps")


def test_standard_input_is_drafted() -> None:
    content = (ROOT / "formulas/rye-ginger-cookie/formula.yaml").read_bytes()
    done = run_cli("draft", "-", "--all", "--output", "json", "--title", "A", cwd=ROOT, stdin=content)  # fmt: skip
    assert (done.code, json.loads(done.out)["title"]) == (0, "A")


@pytest.mark.parametrize(("name", "start"), [
    ("a.html", b"<!doctype html>"), ("a.HTML", b"<!doctype html>"), ("a.json", b"{"), ("a.pdf", b"%PDF"),
])  # fmt: skip
def test_the_ending_of_the_file_says_which_form(name: str, start: bytes, tmp_path: Path) -> None:
    assert run_cli("draft", "--write", str(tmp_path / name), cwd=ROOT).all == ""
    assert (tmp_path / name).read_bytes().startswith(start)


def test_two_houses_share_a_book_without_a_name(tmp_path: Path) -> None:
    for name in ("one", "two"):
        (tmp_path / name / "a").mkdir(parents=True)
        (tmp_path / name / "house.yaml").write_text(f"house: {name}\n", encoding="utf-8")
        (tmp_path / name / "a" / "formula.yaml").write_text(
            formula_text("{item: bread flour, amount: 1 g}"), encoding="utf-8"
        )
    book = draft([str(tmp_path)], ANY).book
    assert (book.title, book.house, len(book.pages)) == ("Cookbook", "", 2)


def test_pages_are_values() -> None:
    book = demo()
    assert book == demo()
    assert book._replace(title="x") != book


def test_its_errors_are_those_of_lint() -> None:
    """Over the examples of the rules, in their houses and in those where every other rule is an error."""
    levels: dict[str, Any] = {rule.id: "error" for rule in RULES[::2]}
    found = 0
    for source, kitchen, weighed in weigh_inputs(input_files([str(ROOT / "tests" / "rules")])):
        if not isinstance(weighed, Balance):
            continue
        for house in (kitchen.house, kitchen.house._replace(levels=levels)):
            kitchen = kitchen._replace(house=house)
            told = check_balance(weighed, source.shown, kitchen)
            errors = tuple(result for result in told if result.level == "error")
            assert errors_of(weighed, source.shown, kitchen) == errors
            found += len(errors)
    assert found
