"""Merges of formulas: their laws over random changes, and each kind of conflict by example.

Random merges are held against an answer worked out on plain dicts (three_ways.py). 200 examples of each
law on a developer's machine, 8,000 in the nightly run.
"""

from __future__ import annotations

import json
import re
from collections import Counter
from random import Random
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from perflour.balance.balance import balance
from perflour.documents.comments import comments_of
from perflour.documents.reader import read_document
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.merge.check import what_is_wrong
from perflour.merge.chunks import SETTLE
from perflour.merge.merge import Merged, NotMerged, merge
from perflour.merge.ratios import ratios_of
from perflour.merge.scaled import scaled_apart
from perflour.result import FileProblem
from tests.conftest import ROOT, examples, formula_text
from tests.merge.three_ways import (
    HEADER,
    Answer,
    Key,
    Recipe,
    answer,
    changed,
    some_recipe,
    text_of,
    units_of,
)
from tests.tidy.untidy import Untidy, form_of, untidy

many = examples(200)
chances = st.randoms(use_true_random=False)  # each draw of them shrinks
Texts = tuple[str, str, str]


def merged(base: str, ours: str, theirs: str) -> Merged:
    return merge(base.encode(), ours.encode(), theirs.encode(), built_in())


def is_scaled_apart(*texts: str) -> bool:
    """Whether chance gave most lines of a side one factor: that conflict is of all parts together."""
    weighed = [balance(read_formula(text.encode(), "f"), built_in()) for text in texts]
    return bool(scaled_apart(weighed, built_in(), ratios_of(weighed, built_in())))


def settled(text: str, side: str) -> str:
    """A marked file with every conflict settled for one side, as a person would by hand."""
    kept, state = [], ""
    for line in text.splitlines(keepends=True):
        if line.startswith("<<<<<<< ours"):
            state = "ours"
        elif line == "=======\n":
            state = "theirs"
        elif line == ">>>>>>> theirs\n":
            state = ""
        elif state in ("", side):
            kept.append(line)
    return "".join(kept)


def recipe_of(text: str) -> tuple[Any, ...]:
    """What a file says, in the terms of a Recipe; the order of lines does not count."""
    data = read_document(text.encode(), "merged").data
    parts = {
        part["part"]: {line.pop("item"): line for line in part["ingredients"]}
        for part in data["parts"]
    }
    method = [(step.pop("do"), step) for step in data["method"]]
    return {key: data[key] for key in HEADER}, parts, method


def said_by(recipe: Recipe) -> tuple[Any, ...]:
    return recipe.header, recipe.parts, list(recipe.method.items())


def units_in_conflict(text: str) -> set[Key]:
    """The lines, steps and fields that stand between markers."""
    found: set[Key] = set()
    part, inside = "", False
    for line in text.splitlines():
        inside = inside and not line.startswith(">>>>>>> ")
        if named := re.search(r"- part: (\w+)", line):
            part = named[1]
        if inside and (named := re.search(r"\b(item|do): '?([\w ]+)'?", line)):
            found.add(("line", part, named[2]) if named[1] == "item" else ("step", named[2]))
        elif inside and (named := re.match(r"(\w+):", line)) and named[1] in HEADER:
            found.add(("header", named[1]))
        inside = inside or line.startswith("<<<<<<< ")
    return found


def three(random: Random) -> tuple[tuple[Recipe, Recipe, Recipe], Texts]:
    """A formula and two changes of it; half the time every text is in a form of its own."""
    base = some_recipe(random)
    recipes = base, changed(base, random, "ours"), changed(base, random, "theirs")
    styles = [random.randint(0, 5) for _ in recipes] if random.random() < 0.5 else [0, 0, 0]
    base_text, ours, theirs = (text_of(r, s) for r, s in zip(recipes, styles, strict=True))
    return recipes, (base_text, ours, theirs)


@many
@given(chances)
def test_a_merge_is_what_the_sides_made_of_the_base(random: Random) -> None:
    (base, ours, theirs), texts = three(random)
    assume(not is_scaled_apart(*texts))
    found = merged(*texts)
    text = found.content.decode()
    answers: list[Answer] = [answer(base, ours, theirs), answer(base, theirs, ours)]
    for side, expected in zip(("ours", "theirs"), answers, strict=True):
        assert recipe_of(settled(text, side)) == said_by(expected.recipe)
    assert units_in_conflict(text) == answers[0].conflicts == answers[1].conflicts
    assert bool(found.conflicts) == bool(answers[0].conflicts)


@many
@given(chances)
def test_ours_and_theirs_swapped_mirror_the_merge(random: Random) -> None:
    _, (base, ours, theirs) = three(random)
    one, other = merged(base, ours, theirs), merged(base, theirs, ours)
    texts = one.content.decode(), other.content.decode()
    told = ({said.split(f"; {SETTLE}")[0] for said in found.conflicts} for found in (one, other))
    assert len(next(told)) == len(next(told))  # neighbours by the order of lines share their marks
    for here, there in (("ours", "theirs"), ("theirs", "ours")):
        mirrored = (settled(texts[0], here), settled(texts[1], there))
        assert recipe_of(mirrored[0]) == recipe_of(mirrored[1])


@many
@given(chances)
def test_what_one_side_did_alone_is_the_merge_byte_for_byte(random: Random) -> None:
    _, (base, ours, _) = three(random)
    assert merged(base, ours, base) == Merged(ours.encode(), ())
    assert merged(base, base, ours) == Merged(ours.encode(), ())
    assert merged(base, ours, ours) == Merged(ours.encode(), ())


@many
@given(chances)
def test_no_line_step_or_comment_is_lost(random: Random) -> None:
    _, (base, ours, theirs) = three(random)
    text = merged(base, ours, theirs).content.decode()
    was, here, there = (set(comments_of(side)) for side in (base, ours, theirs))
    assert (here | there) - was <= set(re.findall("# (?:ours|theirs|base) [0-9]+", text))
    assert was & here & there <= set(re.findall("# base [0-9]+", text))
    held = names_in(text)
    base_names, our_names, their_names = (names_in(side) for side in (base, ours, theirs))
    for name in our_names | their_names:
        removed = name in base_names and not (our_names[name] and their_names[name])
        assert held[name] or removed, name


def names_in(text: str) -> Counter[str]:
    """The ingredients and steps of a text by name, each as often as it stands there."""
    return Counter(re.findall(r"(?:item|do): '?([\w ]+)", text))


@many
@given(chances)
def test_what_one_side_or_nobody_touched_stays_as_it_was_typed(random: Random) -> None:
    base = some_recipe(random)
    sides = [base, changed(base, random, "ours"), changed(base, random, "theirs")]
    style = random.randint(0, 5)
    found = merged(*(text_of(side, style) for side in sides))
    text = found.content.decode()
    units = [units_of(side, style) for side in sides]
    for key in units[0].keys() & units[1].keys() & units[2].keys():
        was, here, there = (unit[key] for unit in units)
        if was in (here, there):
            assert (there if here == was else here) in text


@many
@given(chances)
def test_a_marked_file_is_refused_by_whatever_reads_it(random: Random) -> None:
    found = merged(*three(random)[1])
    if found.conflicts:
        with pytest.raises(FileProblem):
            read_document(found.content, "marked")
    else:
        read_formula(found.content, "clean")


@st.composite
def form_and_change(draw: st.DrawFn) -> tuple[Untidy, str, Untidy]:
    """A formula, another form of it, and another formula."""
    base = draw(untidy(comments=False))
    return base, form_of(base.data, draw(chances)), draw(untidy())


def in_any_order(text: bytes) -> str:
    data = read_document(text, "f").data
    for part in data["parts"]:
        part["ingredients"].sort(key=str)
    return json.dumps(data, sort_keys=True)


@many
@given(form_and_change())
def test_who_changed_the_form_alone_changes_nothing_of_the_other_side(
    case: tuple[Untidy, str, Untidy],
) -> None:
    base, form, other = case
    for sides in ((form, other.text), (other.text, form)):
        found = merged(base.text, *sides)
        assert found.conflicts == ()
        assert in_any_order(found.content) == in_any_order(other.text.encode())
        assert sorted(comments_of(found.content.decode())) == sorted(other.comments)


@many
@given(untidy(), untidy(), untidy())
def test_any_three_files_merge_with_all_their_comments(
    base: Untidy, ours: Untidy, theirs: Untidy
) -> None:
    texts = [side.text.replace("# c", f"# {who}") for side, who in ((ours, "o"), (theirs, "t"))]
    found = merged(base.text, *texts)
    comments = {comment for text in texts for comment in comments_of(text)}
    assert comments <= set(re.findall("# [ot][0-9]+", found.content.decode()))


BASE = formula_text(
    "{item: bread flour, amount: 500 g}",
    "{item: granulated sugar, amount: 300 g}",
    "{item: butter, amount: 100 g, state: soft}",
    method=(
        "\n  - {do: cream, uses: [butter, granulated sugar], for: 3 min}"
        "\n  - {do: fold, uses: [bread flour]}"
        "\n  - {do: bake, at: 175 °C, for: 40 min}"
        "\n  - {do: cool, for: 60 min}"
    ),
)
SUGAR = "      - {item: granulated sugar, amount: 300 g}\n"
BUTTER = "      - {item: butter, amount: 100 g, state: soft}\n"
BAKE = "  - {do: bake, at: 175 °C, for: 40 min}\n"


def edited(*changes: tuple[str, str], of: str = BASE) -> str:
    for before, after in changes:
        assert of.count(before) == 1, before
        of = of.replace(before, after)
    return of


CLEAN = {
    "two fields of two lines": ([("300 g", "310 g")], [("state: soft", "state: melted")]),
    "two fields of one line": ([("100 g, state", "90 g, state")], [("soft", "melted")]),
    "a line each": (
        [(SUGAR, f"{SUGAR}      - {{item: salt, amount: 5 g}}\n")],
        [(SUGAR, f"{SUGAR}      - {{item: egg, amount: 2 large}}\n")],
    ),
    "a line each, used in one step": (
        [("granulated sugar], for", "granulated sugar, honey], for")],
        [("granulated sugar], for", "granulated sugar, egg], for")],
    ),
    "the same on both sides": ([("300 g", "310 g")], [("300 g", "310 g"), ("soft", "melted")]),
    "the same line and step on both sides, and one more": (
        [(SUGAR, f"{SUGAR}      - {{item: salt, amount: 5 g}}\n"), (BAKE, f"  - {{do: rest}}\n{BAKE}")],
        [
            (SUGAR, f"{SUGAR}      - {{item: salt, amount: 5 g}}\n"),
            (BAKE, f"  - {{do: rest}}\n  - {{do: deposit}}\n{BAKE}"),
        ],
    ),
    "a line removed, another changed": ([(SUGAR, "")], [("100 g, state", "90 g, state")]),
    "time and temperature of one step": ([("175 °C", "180 °C")], [("40 min", "45 min")]),
    "a step each, in other places": (
        [(BAKE, f"  - {{do: rest, for: 10 min}}\n{BAKE}")],
        [(BAKE, f"{BAKE}  - {{do: unmould}}\n")],
    ),
    "a step moved, another changed": (
        [("  - {do: fold, uses: [bread flour]}\n", ""), (BAKE, f"{BAKE}  - {{do: fold, uses: [bread flour]}}\n")],
        [("60 min", "90 min")],
    ),
    "a part renamed, a line of it changed": ([("part: batter", "part: dough")], [("300 g", "310 g")]),
    "another name of the ingredient, another amount": (
        [("item: granulated sugar", "item: white sugar")],
        [("300 g", "310 g")],
    ),
    "the verb of a step and its time": ([("do: cream", "do: beat")], [("for: 3 min", "for: 5 min")]),
    "header fields": ([("status: draft", "status: testing")], [("title: Trial", "title: Other")]),
    "a comment each over one line": (
        [(SUGAR, f"      # sifted\n{SUGAR}")],
        [(SUGAR, f"      # from the mill\n{SUGAR}")],
    ),
    "a comment beside and a change": (
        [("amount: 300 g}", "amount: 300 g}  # try less")],
        [("300 g", "280 g")],
    ),
}  # fmt: skip


# Cases in which no line is touched by both: every line of either side stands there, once.
SPLICED = (
    "two fields of two lines",
    "a line each",
    "the same line and step on both sides, and one more",
    "a step each, in other places",
)


@pytest.mark.parametrize("case", CLEAN)
def test_independent_changes_merge(case: str) -> None:
    """Merged either way round it is the base with both edits, in whatever order they are made."""
    ours, theirs = (edited(*changes) for changes in CLEAN[case])
    found = merged(BASE, ours, theirs)
    assert found.conflicts == ()
    said = in_any_order(found.content)
    assert said == in_any_order(merged(BASE, theirs, ours).content)
    for text in (ours, theirs):
        assert set(comments_of(text)) <= set(comments_of(found.content.decode()))
    expected = {line for text in (ours, theirs) for line in text.splitlines()} - {
        *BASE.splitlines()
    }
    if case in SPLICED:
        assert expected <= {*found.content.decode().splitlines()}
        counts = Counter(found.content.decode().splitlines())
        assert {counts[added] for added in expected} == {1}


def test_a_clean_merge_word_for_word() -> None:
    ours = edited(("100 g, state: soft}", "90 g, state: soft}  # less"), ("175 °C", "180 °C"))
    theirs = edited(
        (BUTTER, f"      # ripe ones\n{BUTTER}"), ("soft}", "melted}"), ("40 min", "45 min")
    )
    assert merged(BASE, ours, theirs).content.decode() == edited(
        (BUTTER, "      # ripe ones\n      - {item: butter, amount: 90 g, state: melted}  # less\n"),
        ("175 °C, for: 40 min", "180 °C, for: 45 min"),
    )  # fmt: skip


def marked(about: str, ours: str, theirs: str) -> str:
    return f"<<<<<<< ours # {about}\n{ours}=======\n{theirs}>>>>>>> theirs\n"


def line(item: str, amount: str, more: str = "") -> str:
    return f"      - {{item: {item}, amount: {amount}{more}}}\n"


CONFLICTS = {
    "one amount in two ways": (
        [("300 g", "310 g")],
        [("300 g", "290 g")],
        [(SUGAR, marked("granulated sugar: ours 62.0 % of the batter's flour, theirs 58.0 %, before 60.0 %", line("granulated sugar", "310 g"), line("granulated sugar", "290 g")))],
    ),
    "one amount in two ways, and more": (
        [("100 g, state: soft", "110 g, state: soft, note: ripe")],
        [("100 g, state: soft", "90 g, state: melted")],
        [(BUTTER, marked("butter: ours 22.0 % of the batter's flour, theirs 18.0 %, before 20.0 %", line("butter", "110 g", ", state: melted, note: ripe"), line("butter", "90 g", ", state: melted, note: ripe")))],
    ),
    "the flour itself": (
        [("500 g", "510 g")],
        [("500 g", "490 g")],
        [(line("bread flour", "500 g"), marked("bread flour: ours 510 g, theirs 490 g, before 500 g; ours 100.0 % of the batter's flour, theirs 100.0 %, before 100.0 %", line("bread flour", "510 g"), line("bread flour", "490 g")))],
    ),
    "one state in two ways": (
        [("soft", "melted")],
        [("soft", "cold")],
        [(BUTTER, marked("butter: both changed state (ours melted, theirs cold, before soft); ours 20.0 % of the batter's flour, theirs 20.0 %, before 20.0 %", line("butter", "100 g", ", state: melted"), line("butter", "100 g", ", state: cold")))],
    ),
    "removed here, changed there": (
        [(SUGAR, "")],
        [("300 g", "290 g")],
        [(SUGAR, marked("granulated sugar: ours removed it, theirs 58.0 % of the batter's flour, before 60.0 %", "", line("granulated sugar", "290 g")))],
    ),
    "changed here, removed there": (
        [("soft", "melted")],
        [(BUTTER, "")],
        [(BUTTER, marked("butter: theirs removed it, ours changed it (state melted, before soft), 20.0 % of the batter's flour, before 20.0 %", line("butter", "100 g", ", state: melted"), ""))],
    ),
    "removed here, a comment there": (
        [(BUTTER, "")],
        [(BUTTER, f"      # ripe\n{BUTTER}")],
        [(BUTTER, marked("butter: ours removed it, theirs changed it, 20.0 % of the batter's flour, before 20.0 %", "", f"      # ripe\n{BUTTER}"))],
    ),
    "one line added with two amounts": (
        [(SUGAR, SUGAR + line("salt", "5 g"))],
        [(SUGAR, SUGAR + line("salt", "8 g"))],
        [(SUGAR, SUGAR + marked("salt: ours 1.00 % of the batter's flour, theirs 1.60 %", line("salt", "5 g"), line("salt", "8 g")))],
    ),
    "replaced by two things": (
        [(BUTTER, line("olive oil", "80 g"))],
        [(BUTTER, line("lard", "90 g"))],
        [(BUTTER, marked("both sides replaced butter, each by something else: ours olive oil 16.0 % of the batter's flour, theirs lard 18.0 %, before 20.0 %", line("olive oil", "80 g"), line("lard", "90 g")))],
    ),
    "every line removed together": (
        [(line("bread flour", "500 g"), ""), (SUGAR, "")],
        [(BUTTER, "")],
        [(line("bread flour", "500 g") + SUGAR + BUTTER, ""), ("    ingredients:\n", marked("both sides removed lines, together all of this part", f"    ingredients:\n{BUTTER}", "    ingredients:\n" + line("bread flour", "500 g") + SUGAR))],
    ),
    "one step in two ways": (
        [("40 min", "35 min")],
        [("40 min", "45 min"), ("175 °C", "180 °C")],
        [(BAKE, marked("step bake: both changed for (ours 35 min, theirs 45 min, before 40 min)", "  - {do: bake, at: 180 °C, for: 35 min}\n", "  - {do: bake, at: 180 °C, for: 45 min}\n"))],
    ),
    "a portion in two ways": (
        [("[butter, granulated sugar]", "[butter, 200 g of granulated sugar]")],
        [("[butter, granulated sugar]", "[butter, 100 g of granulated sugar]")],
        [("  - {do: cream, uses: [butter, granulated sugar], for: 3 min}\n", marked("step cream: both changed uses (ours butter, 200 g of granulated sugar, theirs butter, 100 g of granulated sugar, before butter, granulated sugar); it takes ours 60.0 % of the batter's flour, theirs 40.0 %, before 80.0 %", "  - {do: cream, uses: [butter, 200 g of granulated sugar], for: 3 min}\n", "  - {do: cream, uses: [butter, 100 g of granulated sugar], for: 3 min}\n"))],
    ),
    "two steps in one place": (
        [(BAKE, f"  - {{do: rest, for: 10 min}}\n{BAKE}")],
        [(BAKE, f"  - {{do: deposit, into: 2 tins}}\n{BAKE}")],
        [(BAKE, marked("both sides put steps here: their order is open", "  - {do: rest, for: 10 min}\n", "  - {do: deposit, into: 2 tins}\n") + BAKE)],
    ),
    "a step put between two that parted": (
        [("  - {do: fold, uses: [bread flour]}\n", ""), ("method: \n", "method: \n  - {do: fold, uses: [bread flour]}\n")],
        [(BAKE, f"  - {{do: rest, for: 10 min}}\n{BAKE}")],
        [("  - {do: fold, uses: [bread flour]}\n", ""), ("method: \n", "method: \n  - {do: fold, uses: [bread flour]}\n" + marked("the other side moved or removed the steps around this one: where it goes is open", "", "  - {do: rest, for: 10 min}\n"))],
    ),
    "one field of the header": (
        [("title: Trial", "title: A")],
        [("title: Trial", "title: B")],
        [("title: Trial\n", marked("title: both changed it (ours A, theirs B, before Trial)", "title: A\n", "title: B\n"))],
    ),
    "one part under two names": (
        [("part: batter", "part: dough")],
        [("part: batter", "part: paste"), ("300 g", "310 g")],
        [("  - part: batter\n", marked("part: both changed it (ours dough, theirs paste, before batter); ours 180.0 % of the dough's flour, theirs 182.0 %, before 180.0 %", "  - part: dough\n", "  - part: paste\n")), ("300 g", "310 g")],
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", CONFLICTS)
def test_a_conflict_is_marked_around_its_line_or_step(case: str) -> None:
    ours, theirs, expected = CONFLICTS[case]
    found = merged(BASE, edited(*ours), edited(*theirs))
    assert found.content.decode() == edited(*expected)
    assert len(found.conflicts) == 1
    with pytest.raises(FileProblem):
        read_document(found.content, "marked")
    for side in ("ours", "theirs"):
        read_formula(settled(found.content.decode(), side).encode(), side)


def test_the_conflict_in_the_docs_is_what_is_written() -> None:
    page = (ROOT / "docs" / "git.md").read_text(encoding="utf-8")
    (((_, expected),),) = (CONFLICTS["one amount in two ways"][2],)
    assert f"```text\n{expected}```\n" in page


def test_both_added_the_file() -> None:
    """Git then gives an empty base: what both say is agreed, the rest is in conflict."""
    other = edited(("300 g", "290 g"))
    assert merged("", BASE, BASE).content.decode() == BASE
    text = merged("", BASE, other).content.decode()
    assert settled(text, "ours") == BASE
    assert settled(text, "theirs") == other


def test_line_ends_and_a_byte_order_mark_stay_those_of_ours() -> None:
    ours, theirs = edited(("300 g", "310 g")), edited(("soft", "melted"))
    both = edited(("300 g", "310 g"), ("soft", "melted"))
    windows = [text.replace("\n", "\r\n").encode() for text in (BASE, ours, theirs, both)]
    assert merge(*windows[:3], built_in()).content == windows[3]
    assert merge(windows[0], windows[1], theirs.encode(), built_in()).content == windows[3]
    with_mark = ("\ufeff" + ours).encode()
    assert merge(BASE.encode(), with_mark, theirs.encode(), built_in()).content == both.encode()


def test_two_lines_of_one_ingredient_are_told_apart_by_what_they_say() -> None:
    """Ours removes the first butter, theirs softens it: not to be taken for a change of the second."""
    twice = edited((SUGAR, ""), (BUTTER, BUTTER + line("butter", "300 g")))
    first, second = line("butter", "100 g", ", state: soft"), line("butter", "300 g")
    assert twice.count(first) == twice.count(second) == 1
    without = edited((first, ""), of=twice)
    melted = edited(("state: soft", "state: melted"), of=twice)
    found = merged(twice, without, melted)
    about = "butter: ours removed it, theirs changed it (state melted, before soft), 20.0 % of the batter's flour, before 20.0 %"
    there = line("butter", "100 g", ", state: melted")
    assert found.content.decode() == edited((first, marked(about, "", there)), of=twice)


def test_both_replaced_a_name_in_uses() -> None:
    ours, theirs = (edited(("[bread flour]", f"[{name}]")) for name in ("oat flour", "rye flour"))
    found = merged(BASE, ours, theirs)
    assert found.conflicts == (
        "step fold: both changed uses (ours oat flour, theirs rye flour, before bread flour); it takes before 100.0 % of the batter's flour",
    )
    assert "uses: [oat flour]" in settled(found.content.decode(), "ours")


def test_notes_and_waivers_in_blocks() -> None:
    """Blocks of text are one field; waivers are merged by rule."""
    notes = "notes: |\n  # no comment\n\n  Wrap it.\n"
    waiver = "waivers:\n  - {rule: no-cooling, because: eaten hot}\n"
    base = edited(("parts:\n", f"{notes}parts:\n")) + waiver
    ours = edited(("Wrap it.", "Wrap it well."), of=base) + "  - {rule: one, because: a}\n"
    theirs = edited(("eaten hot", "eaten warm"), ("300 g", "310 g"), of=base)
    found = merged(base, ours, theirs)
    assert found.conflicts == ()
    both = edited(
        ("Wrap it.", "Wrap it well."), ("eaten hot", "eaten warm"), ("300 g", "310 g"), of=base
    )
    assert found.content.decode() == f"{both}  - {{rule: one, because: a}}\n"


def test_corrections_of_both_sides_stay() -> None:
    base = edited() + "corrections:\n  - {item: salt, because: a spoon too much}\n"
    ours = f"{base}  - {{because: the oven was too hot}}\n"
    theirs = f"{base}  - {{item: water, because: a cup too little}}\n"
    assert merged(base, ours, theirs).content.decode() == (
        f"{ours}  - {{item: water, because: a cup too little}}\n"
    )


def test_orders_that_contradict_each_other_are_left_to_the_baker() -> None:
    bake, cool = BAKE, "  - {do: cool, for: 60 min}\n"
    fold = "  - {do: fold, uses: [bread flour]}\n"
    ours = edited((fold, ""), (cool, cool + fold))
    theirs = edited((fold + bake + cool, bake + fold + cool))
    found = merged(BASE, ours, theirs)
    assert found.conflicts == ("both sides put the steps in another order",)
    assert settled(found.content.decode(), "ours") == ours
    assert settled(found.content.decode(), "theirs") == theirs


def test_a_list_that_one_side_emptied() -> None:
    base = edited() + "waivers:\n  - {rule: no-cooling, because: hot}\n"
    without = edited() + "waivers: []\n"
    two = base + "  - {rule: one, because: a}\n"
    assert merged(base, without, two).content.decode() == without.replace(
        " []", "\n  - {rule: one, because: a}"
    )
    gone = merged(two, without, edited(("300 g", "310 g"), of=two))
    assert gone.content.decode() == edited(("300 g", "310 g"), of=without)


@pytest.mark.parametrize(
    "broken",
    [
        "formula: [",
        "formula: trial\n",
        "<<<<<<< ours\n",
        BASE.replace("amount: 300 g", "amount: 3"),
    ],
)
@pytest.mark.parametrize("at", [0, 1, 2])
def test_what_is_no_formula_is_not_merged(broken: str, at: int) -> None:
    texts = [BASE, edited(("300 g", "310 g")), edited(("300 g", "320 g"))]
    texts[at] = broken
    with pytest.raises(NotMerged):
        merged(*texts)


OURS, THEIRS = (
    edited(("300 g", "310 g")),
    edited((BUTTER, f"      # ripe\n{BUTTER}"), ("soft", "melted")),
)
BOTH = edited(("300 g", "310 g"), (BUTTER, f"      # ripe\n{BUTTER}"), ("soft", "melted"))


@pytest.mark.parametrize(
    ("picks", "wrong"),
    [
        ((BOTH, BOTH), ""),
        ((OURS, OURS), "'state \"melted\"' would be lost"),
        ((BOTH.replace("      # ripe\n", ""),) * 2, "'# ripe' would be lost"),
        ((THEIRS, THEIRS), "'amount \"310 g\"' would be lost"),
        ((BOTH.replace(BAKE, ""),) * 2, "'do \"bake\"' would be lost"),
        (
            (BOTH.replace("100 g", "0 g").replace("310 g", "100 g").replace("0 g,", "310 g,"),) * 2,
            "'amount \"310 g\"' would be lost",
        ),
        ((BOTH.replace("310 g", "310 g, note: new"),) * 2, "note of granulated sugar would be new, not gone"),
        ((BOTH, THEIRS), "the sides differ where nothing is in conflict"),
        ((BOTH.replace("parts:", "<<<<<<<\nparts:"),) * 2, "the merged text cannot be read"),
    ],
)  # fmt: skip
def test_a_merge_that_lost_something_is_found_out(picks: tuple[str, str], wrong: str) -> None:
    found = what_is_wrong((BASE, OURS, THEIRS), picks, False, built_in())
    assert found.startswith(wrong) and bool(found) == bool(wrong)


def test_of_a_conflict_either_side_may_hold_what_must_be_there() -> None:
    ours, theirs = edited(("300 g", "310 g")), edited(("300 g", "290 g"))
    assert what_is_wrong((BASE, ours, theirs), (ours, theirs), True, built_in()) == ""
    wrong = what_is_wrong((BASE, ours, theirs), (ours, BASE), True, built_in())
    assert wrong == "'amount \"290 g\"' would be lost"


@pytest.mark.parametrize(
    ("twice", "said"),
    [(BAKE, '"do": "bake"'), (BUTTER, '"item": "butter"'), ("# ripe\n", "# ripe")],
)
def test_one_of_two_that_are_alike_is_missed(twice: str, said: str) -> None:
    """Every field of it is still there, once."""
    base = edited((BUTTER, f"      # ripe\n{BUTTER}"))
    texts = [edited((twice, twice * 2), of=text) for text in (base, base, base)]
    wrong = what_is_wrong(texts, (base, base), False, built_in())
    assert said in wrong and wrong.endswith("would be lost")


def test_one_amount_given_by_both_and_gone_elsewhere_is_no_loss() -> None:
    """Both set the sugar to the butter's 100 g, which theirs changed: 100 g twice in ours, once here."""
    ours = edited(("300 g", "100 g"))
    theirs = edited(("100 g, state", "90 g, state"), ("300 g", "100 g"))
    assert merged(BASE, ours, theirs) == Merged(theirs.encode(), ())


def test_a_conflict_at_the_dash_of_a_part() -> None:
    """The dash stands before the field in conflict: the whole part is marked then."""
    base = edited(("  - part: batter\n", "  - kind: batter\n    part: batter\n"))
    ours = edited(("  - kind: batter\n    part", "  - part"), ("300 g", "310 g"), of=base)
    theirs = edited(("kind: batter", "kind: dough"), of=base)
    found = merged(base, ours, theirs)
    assert found.conflicts == ("kind: ours removed it, theirs changed it",)
    text = found.content.decode()
    assert settled(text, "ours") == ours
    assert settled(text, "theirs") == edited(("300 g", "310 g"), of=theirs)


def test_the_last_step_removed_here_and_changed_there() -> None:
    base = formula_text("{item: flour, amount: 1 g}", method="\n  - {do: bake, for: 9 min}")
    gone = formula_text("{item: flour, amount: 1 g}", method="[]").replace(
        "method: []", "method:  []"
    )
    longer = edited(("9 min", "8 min"), of=base)
    found = merged(base, gone, longer)
    assert found.conflicts == (
        "step bake: ours removed it, theirs changed it (for 8 min, before 9 min)",
    )
    assert read_document(settled(found.content.decode(), "ours").encode(), "f").data["method"] == []
    assert "for: 8 min" in settled(found.content.decode(), "theirs")


def test_a_file_of_a_thousand_lines_merges() -> None:
    """Every second line changed by one side, every third by the other in another field."""
    names = [f"seed {number}" for number in range(1000)]
    base = formula_text(*(f"{{item: {name}, amount: 10 g}}" for name in names))
    ours, theirs, both = base, base, base
    for number, name in enumerate(names):
        plain = f"{{item: {name}, amount: 10 g}}"
        amount = "11 g" if number % 2 == 0 else "10 g"
        note = ", note: new" if number % 3 == 0 else ""
        ours = ours.replace(plain, f"{{item: {name}, amount: {amount}}}")
        theirs = theirs.replace(plain, f"{{item: {name}, amount: 10 g{note}}}")
        both = both.replace(plain, f"{{item: {name}, amount: {amount}{note}}}")
    assert merged(base, ours, theirs) == Merged(both.encode(), ())
