"""What is answered of one text: pure functions of the text, its path and its kitchen.

Percentages follow from the text by hand: flour is 100 % (baker's percentage as the trade has it).
"""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.editor.actions import Action, actions, formatted, mended_all
from perflour.editor.completion import offers_at
from perflour.editor.hints import hints
from perflour.editor.hover import told_at
from perflour.editor.lenses import lens_words
from perflour.editor.mentions import mentions
from perflour.editor.page import Page, kind_here, marked, read_page
from perflour.editor.rename import CannotRename, definitions, references, renamable, renamed
from perflour.editor.symbols import symbols
from perflour.editor.text import Span, applied, text_of
from perflour.kitchen.house import Kitchen, kitchen_for
from tests.conftest import ROOT, examples, run_cli
from tests.editor.kitchens import FORMULA, HOUSE, TEXT, make_kitchen


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_kitchen(tmp_path_factory.mktemp("lane"))


@pytest.fixture(scope="module")
def kitchen(folder: Path) -> Kitchen:
    return kitchen_for(str(folder / FORMULA))


def page_of(text: str, kitchen: Kitchen, name: str = f"/lane/{FORMULA}") -> Page:
    return read_page(text_of(text), name, kind_here(name), kitchen)


def at(page: Page, words: str, inside: int = 1) -> int:
    return page.text.content.index(words) + inside


def all_of(page: Page) -> Span:
    return Span(0, len(page.text.content))


# --- what lint says


def test_a_text_is_told_what_lint_says_of_the_file(folder: Path, kitchen: Kitchen) -> None:
    text = TEXT.replace("16 g", "60 g").replace("uses: [poolish], ", "")
    path = folder / "formulas/other/formula.yaml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    report = json.loads(run_cli("lint", str(path), "--output", "json", cwd=folder).out)
    page = read_page(text_of(text), str(path), "formula", kitchen)
    told = [(one.result.rule, one.result.place.line, one.result.message) for one in marked(page)]
    assert told == [(r["rule"], r["line"], r["message"]) for r in report["results"]]
    assert "salt-out-of-proportion" in {rule for rule, *_ in told}


@pytest.mark.parametrize(
    ("name", "text", "rule", "words"),
    [
        (FORMULA, TEXT.replace("class:", "klass:"), "not-as-schema", "formula: harbour-loaf"),
        (FORMULA, TEXT.replace("honey", "hony"), "unknown-ingredient", "hony"),
        (FORMULA, TEXT.replace("[poolish]", "[poolish"), "broken-yaml", "]"),
        (FORMULA, TEXT.replace("title: Harbour", "title: \U0001f950\x07"), "broken-yaml", "\x07"),
        (FORMULA, TEXT.replace("Harbour", "\ud83e"), "not-utf-8", "\ud83e"),
        ("house.yaml", "house: Lane\nunits: [scoop = 3 bananas]\n", "own-unit-unreadable", "[scoop"),
        ("ingredients.yaml", "ingredients: 3\n", "not-as-schema", "3"),
        ("prices.yaml", "currency: EUR\nprices: 3\n", "not-as-schema", "currency: EUR"),
        ("x/bakes/2026-03-14.yaml", "date: 2026-03-14\n", "not-as-schema", "date: 2026-03-14"),
    ],
)  # fmt: skip
def test_results_stand_where_they_are_about(
    kitchen: Kitchen, name: str, text: str, rule: str, words: str
) -> None:
    page = page_of(text, kitchen, name if name == FORMULA else f"/lane/formulas/{name}")
    one = next(one for one in marked(page) if one.result.rule == rule)
    if name == FORMULA and words == "]":  # where the parser gave up: some line behind the bracket
        assert one.span.start > page.text.content.index("[poolish")
        return
    said = page.text.content[one.span.start : one.span.end]
    assert said.startswith(words.split("\n")[0]) or words in said


def test_files_of_others_are_left_alone() -> None:
    assert kind_here("/lane/docker-compose.yaml") == ""
    assert kind_here("/lane/formulas/x/bakes/2026-03-14.yaml") == "bake"


# --- beside and over the lines


def test_hints_say_grams_and_whose_percentage(kitchen: Kitchen) -> None:
    page = page_of(TEXT, kitchen)
    said = {page.text.line_of(hint.at).strip(): hint.words for hint in hints(page, all_of(page))}
    assert said["- {item: table salt, amount: 16 g}"] == "16.0 g · 2.67 % of the dough's own flour"
    assert said["- {item: water, amount: 200 g}"] == "200 g · 100.0 % of the poolish's flour"
    assert said["- {part: poolish, amount: all}"].startswith("401 g · ")


def test_one_flour_is_not_named_and_a_line_without_mass_says_why(kitchen: Kitchen) -> None:
    text = TEXT.replace("    kind: preferment\n", "").replace("amount: 16 g", "amount: 1 heap")
    one = text[: text.index("  - part: poolish")] + text[text.index("  - part: dough") :]
    page = page_of(one.replace("      - {part: poolish, amount: all}\n", ""), kitchen)
    found = {page.text.line_of(hint.at).strip(): hint for hint in hints(page, all_of(page))}
    assert found["- {item: bread flour, amount: 600 g}"].words == "600 g · 100.0 %"
    salt = found["- {item: table salt, amount: 1 heap}"]
    assert salt.words == "not weighed"
    assert "unknown unit 'heap'" in salt.more


def test_hints_stand_behind_a_line_in_braces_and_behind_an_amount_without(kitchen: Kitchen) -> None:
    block = "      - item: honey\n        amount: 1 tbsp # \U0001f36f\n        state: warm\n"
    page = page_of(TEXT.replace("      - {item: honey, amount: 1 tbsp, state: warm}\n", block), kitchen)  # fmt: skip
    before = [page.text.content[hint.at - 6 : hint.at] for hint in hints(page, all_of(page))]
    assert before[:1] == ["200 g}"]
    assert "1 tbsp" in before


def test_lenses_say_batch_and_water(kitchen: Kitchen) -> None:
    """520 g of water to 800 g of flour are 65 %."""
    batch, water = lens_words(page_of(TEXT, kitchen))
    assert batch == "batch 1,358 g, 2 x loaf of 679 g"
    assert water == "hydration 65.0 % of the dough's flour"


HOVERS = [
    ("honey, amount", ["taken for honey (syrup)", "21 ± 0.42 g, 3.5 % of the dough's own flour", "USDA", "label", "Traces from field"]),
    ("1 tbsp", ["1 tbsp is 14.79 ml"]),
    ("warm}", ["warm: changes nothing that is weighed"]),
    ("bread flour, amount", ["counts towards the 100 %", "US list wheat; EU list cereals containing gluten"]),
    ("part: poolish, amount", ["401 g, 66.8 % of the dough's own flour"]),
    ("do: mix, uses: [bread", ["uses water; listed: 200 g in poolish, 320 g in dough", "makes the part poolish"]),
    ("do: proof", ["names nothing that it uses"]),
]  # fmt: skip


@pytest.mark.parametrize(("words", "lines"), HOVERS, ids=[words for words, _ in HOVERS])
def test_hover_says_what_a_line_is(kitchen: Kitchen, words: str, lines: list[str]) -> None:
    page = page_of(TEXT, kitchen)
    told = "\n".join(line for one in told_at(page, at(page, words), ()) for line in one.lines)
    assert all(line in told for line in lines), told


def test_hover_on_a_rule_says_its_page(kitchen: Kitchen) -> None:
    waived = f"{TEXT}waivers:\n  - {{rule: no-cooling, because: cut hot}}\n"
    page = page_of(waived, kitchen)
    (told,) = told_at(page, at(page, "no-cooling", 3), ())
    assert told.title.startswith("no-cooling (")
    page = page_of(TEXT.replace("honey", "hony"), kitchen)
    titles = [one.title for one in told_at(page, at(page, "hony"), marked(page))]
    assert titles == ["hony", "unknown-ingredient (error)"]
    house = read_page(text_of(f"{HOUSE}rules: {{no-cooling: off}}\n"), "/lane/house.yaml", "house", kitchen)  # fmt: skip
    assert told_at(house, at(house, "no-cooling"), ())[0].title.startswith("no-cooling")


# --- what may stand at the cursor

OFFERED = [
    ("      - {item: bread fl|", "bread flour"),
    ("      - {item: honey, amount: 1 tb|", "tbsp"),
    ("      - {item: honey, am|", "amount"),
    ("      - {item: brown sugar, amount: 1 cup, state: |", "packed"),
    ("  - part: glaze\n    kind: gl|", "glaze"),
    ("      - {part: pool|", "poolish"),
    ("method:\n  - {do: kn|", "knead"),
    ("method:\n  - {do: mix, uses: [ho|", "honey"),
    ("method:\n  - {do: mix, uses: [bread flour, rest of wa|", "water"),
    ("method:\n  - do: mix\n    unt|", "until"),
    ("method:\n  - {do: mix, makes: |", "dough"),
    ("method: []\nwaivers:\n  - {rule: no-c|", "no-cooling"),
    ("method: []\nwaivers:\n  - {rule: no-cooling, item: ta|", "table salt"),
    ("method: []\nbasis: [|", "honey"),
    ("method: []\nba|", "basis"),
    ("      - {item: ho|ney, amount: 1 tbsp}", "honey"),
]  # fmt: skip
BEFORE_METHOD = TEXT[: TEXT.index("method:")]


@pytest.mark.parametrize(("typed", "word"), OFFERED, ids=[typed for typed, _ in OFFERED])
def test_what_fits_is_offered_while_the_file_is_half_typed(
    kitchen: Kitchen, typed: str, word: str
) -> None:
    before, after = typed.split("|")
    page = page_of(BEFORE_METHOD + before + after, kitchen)
    offers = offers_at(page, len(BEFORE_METHOD + before)).offers
    offer = next(offer for offer in offers if offer.word == word)
    made = applied(page.text, (offer.edit,)).content
    assert made.splitlines()[-1].count(word) == 1


@pytest.mark.parametrize(
    ("head", "word"),
    [("status: |", "approved"), ("class: |", "lean-bread"), ("formula: x\nstatus: dr|", "draft")],
)
def test_values_of_the_house_and_the_schema_are_offered(
    kitchen: Kitchen, head: str, word: str
) -> None:
    page = page_of(head.replace("|", ""), kitchen)
    assert word in [offer.word for offer in offers_at(page, head.index("|")).offers]


def test_a_key_is_not_offered_twice_nor_a_part_beside_an_item(kitchen: Kitchen) -> None:
    page = page_of(f"{BEFORE_METHOD}      - {{item: honey, ", kitchen)
    words = [offer.word for offer in offers_at(page, len(page.text.content)).offers]
    assert words == ["amount", "state", "note"]


# --- names


def test_a_name_leads_to_what_it_names_and_to_all_that_name_it(kitchen: Kitchen) -> None:
    page = page_of(TEXT.replace("uses: [poolish, rest", "uses: ['poolish', rest"), kitchen)
    from_step = at(page, "rest of water", 10)
    lines = [page.text.line_of(span.start).strip() for span in definitions(page, from_step)]
    assert lines == ["- {item: water, amount: 200 g}", "- {item: water, amount: 320 g}"]
    assert len(references(page, from_step)) == 4
    spans = references(page, at(page, "part: poolish, ", 7))
    assert {page.text.content[span.start : span.end] for span in spans} == {"poolish"}
    assert len(spans) == 5
    assert definitions(page, at(page, "title")) == ()


@pytest.mark.parametrize(
    ("words", "new", "problem"),
    [
        ("item: honey", "  ", "a name cannot be empty; write one"),
        ("item: honey", "Table  Salt", "'Table Salt' is an ingredient of this formula already; choose another name"),
        ("item: honey", "salt", "'salt' is an ingredient of this formula already; choose another name"),
        ("item: honey", "poolish", "'poolish' is a part of this formula already; choose another name"),
        ("- part: poolish", "dough", "'dough' is a part of this formula already; choose another name"),
        ("item: honey", "x" * 201, "a name has at most 200 signs, each of which is seen"),
        ("title: ", "honey", "no ingredient or part of this formula is named here"),
    ],
)  # fmt: skip
def test_a_name_that_cannot_be_given_is_refused_in_one_line(
    kitchen: Kitchen, words: str, new: str, problem: str
) -> None:
    page = page_of(TEXT, kitchen)
    with pytest.raises(CannotRename) as told:
        renamed(page, at(page, words, len(words) - 1), new)
    assert str(told.value) == problem


def test_a_name_is_changed_wherever_it_is_mentioned(kitchen: Kitchen) -> None:
    text = TEXT.replace("table salt, honey]", "table salt, warm honey, 'half of honey']")
    text += "waivers:\n  - {rule: listed-never-used, item: Honey, because: 'it is brushed on'}\n"
    page = page_of(text, kitchen)
    after = applied(
        page.text, renamed(page, at(page, "item: honey", 8), "golden syrup: #1")
    ).content
    assert "honey" not in after.lower()
    assert "{item: 'golden syrup: #1', amount: 1 tbsp" in after
    assert "'half of golden syrup: #1'" in after
    assert page_of(after, kitchen).balance is not None


@given(st.text(min_size=1, max_size=30))
@examples(60)
def test_another_name_for_a_part_keeps_the_balance(name: str) -> None:
    """Each part states its kind and all is weighed: a name is a name."""
    page = page_of(TEXT, kitchen_for("/nowhere/formula.yaml"))
    try:
        edits = renamed(page, at(page, "- part: poolish", 9), name)
    except CannotRename:
        return
    after = page_of(applied(page.text, edits).content, page.kitchen).balance
    assert after is not None and page.balance is not None
    assert [part.mass_g for part in after.parts] == [part.mass_g for part in page.balance.parts]
    assert after.total == page.balance.total
    assert after.prefermented_g == page.balance.prefermented_g


def test_the_outline_holds_parts_ingredients_and_steps(kitchen: Kitchen) -> None:
    found = symbols(page_of(TEXT.replace("status: testing\n", ""), kitchen))  # breaks the schema
    assert [(one.name, len(one.inner)) for one in found] == [("poolish", 3), ("dough", 5), ("method", 7)]  # fmt: skip
    assert renamable(page_of(TEXT, kitchen), TEXT.index("honey")).name == "honey"


# --- what can be done


def done(page: Page, title: str) -> str:
    """The text after the action that is so called."""
    found: list[Action] = [*actions(page, all_of(page), marked(page))]
    found += [one for one in [mended_all(page, marked(page))] if one]
    one = next(action for action in found if action.title.startswith(title))
    return applied(page.text, one.edits).content


def test_a_rule_is_waived_with_a_reason_that_lint_asks_for(kitchen: Kitchen) -> None:
    page = page_of(TEXT.replace("16 g", "60 g"), kitchen)
    waived = done(page, "Waive salt-out-of-proportion")
    assert "\nwaivers:\n  - {rule: salt-out-of-proportion, " in waived
    asked = marked(page_of(waived, kitchen))
    assert [one.result.message for one in asked] == ["`because` of waiver 1 is empty; fill it in or remove it"]  # fmt: skip
    given_one = page_of(waived.replace("because: ''", "because: for the brine"), kitchen)
    rules = {one.result.rule for one in marked(given_one)}
    assert "salt-out-of-proportion" not in rules and "waiver-not-needed" not in rules
    again = done(given_one, "Waive ratio-outside-window")
    assert again.count("- {rule:") == 2 and page_of(again, kitchen).document is not None


def test_what_lint_mends_is_mended_one_by_one_and_all_at_once(kitchen: Kitchen) -> None:
    both = Kitchen(kitchen.house._replace(temperatures="both"), kitchen.catalogue)
    text = TEXT.replace("40-45 min", "45-40 min")
    text += "waivers: # none is needed\n  - {rule: no-cooling, because: cut hot}  # so we said\n"
    page = page_of(text, both)
    assert "for: 40-45 min" in done(page, "Mend range-upside-down")
    page = page_of(text.replace("45-40", "40-45"), both)
    assert done(page, "Mend temperature-in-one-scale").count("(445 °F)") == 1
    clear = page_of(text.replace("45-40", "40-45").replace(": # none is needed", ":"), both)
    assert "no-cooling" not in done(clear, "Mend waiver-not-needed")
    mended = done(page, "Mend all")
    assert mended.count("(445 °F)") == 2
    assert not [one for one in marked(page_of(mended, both)) if one.result.rule == "temperature-in-one-scale"]  # fmt: skip


def test_the_houses_spelling_is_offered(kitchen: Kitchen) -> None:
    page = page_of(TEXT.replace("bread flour", "strong white flour").replace("1 tbsp", "1 tablespoon").replace("for: 1 h", "for: 1 h 30 min").replace("amount: all", "amount: 1/2"), kitchen)  # fmt: skip
    titles = [action.title for action in actions(page, all_of(page), ())]
    spelled = [title for title in titles if "spelling" in title]
    assert spelled == ["Use the house's spelling: 1 tbsp"]
    here = Span(*[at(page, "strong white flour")] * 2)
    (one,) = actions(page, here, ())
    assert one.title == "Use the house's name: bread flour"
    assert "strong" not in applied(page.text, one.edits).content
    near = page_of(TEXT.replace("honey", "hony"), kitchen)
    assert any(action.title.startswith("Call it ") for action in actions(near, all_of(near), marked(near)))  # fmt: skip


def test_the_house_format_is_reached_at_once_and_leaves_a_broken_file_alone(
    kitchen: Kitchen,
) -> None:
    page = page_of(TEXT.replace("{item: water, amount: 320 g}", "{amount: 320g , item: water}"), kitchen)  # fmt: skip
    after = applied(page.text, formatted(page))
    assert after.content == TEXT
    assert formatted(page_of(after.content, kitchen)) == ()
    windows = page_of(page.text.content.replace("\n", "\r\n"), kitchen)
    assert applied(windows.text, formatted(windows)).content == TEXT.replace("\n", "\r\n")
    assert formatted(page_of(TEXT[:-300], kitchen)) == ()


# --- half typed and hostile

HOSTILE = [
    "", "\ufeff", "\x00", "a: &b *b", "- - - [[[{", "formula: [", "{" * 300, "parts: [{ingredients: 3}]",
    "parts:\n  - part: 3\n    ingredients: [[], 4, {item: {x: 1}}]\nmethod: [{do: [], uses: {a: 1}}]\nwaivers: 1\nbasis: {}\n",
    "\ud800", "\ue123: \ue123", "parts:\r  - part: a\r", "yield: !!python/object:os.system x\n", TEXT.replace("\n", "\u2028"),
]  # fmt: skip


def ask_everything(page: Page, at: int) -> None:
    results = marked(page)
    assert all(0 <= s <= e <= len(page.text.content) for (s, e), _ in results)
    hints(page, all_of(page))
    told_at(page, at, results)
    for offer in offers_at(page, at).offers[:3]:
        applied(page.text, (offer.edit,))
    actions(page, Span(at, at), results)
    mended_all(page, results)
    formatted(page)
    definitions(page, at)
    symbols(page)
    lens_words(page)
    for one in mentions(page)[:2]:
        try:
            renamed(page, one.place.start, "new name")
        except CannotRename as why:
            assert "\n" not in str(why)


@pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))
def test_a_hostile_text_is_answered_like_any_other(kitchen: Kitchen, text: str) -> None:
    for name in (FORMULA, "house.yaml", "ingredients.yaml", "book.yaml", "trials/x/trial.yaml"):
        page = page_of(text, kitchen, f"/lane/{name}")
        for place in {0, len(text) // 2, len(text)}:
            ask_everything(page, place)


def test_every_beginning_of_a_file_is_answered(kitchen: Kitchen) -> None:
    demo = (ROOT / "formulas/peach-cardamom-crumb-cake/formula.yaml").read_text(encoding="utf-8")
    for end in range(0, len(demo), 23):
        ask_everything(page_of(demo[:end], kitchen), end)
