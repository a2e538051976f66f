"""Bench sheets of the demo: amounts of the plan, states and words of the formula, lines that prompts ask for."""

from __future__ import annotations

import html
import re
from functools import cache
from pathlib import Path

import pytest

from perflour import plain
from perflour.bakeday.bench import bench_sheets
from perflour.bakeday.plan import DayRequest, Plan
from perflour.bakeday.request import planned
from perflour.report.bakeday.bench import bench_html, bench_markdown, bench_text, sheet_words
from perflour.trials.bake_lines import VERDICTS, asked_lines
from perflour.trials.bake_prompts import ask_for_missing, question
from perflour.trials.bake_request import CONDITIONS, BakeSaid, readings
from tests.conftest import ROOT, formula_text, run_cli

pytestmark = pytest.mark.xdist_group("bench")  # each formula is planned once

FORMULAS = sorted(path.parent.name for path in (ROOT / "formulas").glob("*/formula.yaml"))
FORMS = {"text": bench_text, "markdown": bench_markdown, "html": bench_html}
EVERY = [(name, form) for name in FORMULAS for form in FORMS]


@cache
def plan_of(name: str) -> Plan:
    """Twice the formula, from half past six."""
    asked = DayRequest(make=(f"{name}=2 batches",), start="06:30", bakers="2")
    found, results = planned([str(ROOT / "formulas" / name)], asked)
    assert found and not results
    return found


@cache
def sheet(name: str, form: str) -> str:
    """What a reader of a form sees, blanks and ends of lines as one blank."""
    made = FORMS[form](plan_of(name))
    if form == "html":
        body = re.sub(r"(?s)<style>.*?</style>", "", made).replace("</li>", " ")
        made = html.unescape(re.sub("<[^>]+>", "", body))
    elif form == "markdown":
        made = re.sub(r"\\(?=[\W_])|&#8203;|\*\*", "", made)
    return " ".join(made.split())


def said(text: str) -> str:
    return " ".join(plain.one_line(text).split())


@pytest.mark.parametrize(("name", "form"), EVERY)
def test_every_line_has_its_amount_first_then_its_name_and_state(name: str, form: str) -> None:
    """Amounts as the plan scaled them, in the order of the formula; state and note as they stand there."""
    plan, seen, at = plan_of(name), sheet(name, form), 0
    made = plan.made[0]
    lines = [line for part in made.batch.balance.formula.parts for line in part.lines]
    for line, scaled in zip(lines, made.rescaled.scaled.lines, strict=True):
        told = ", ".join(filter(None, (line.name, line.state, line.note)))
        wanted = said(f"{scaled.amount} {told}" if form != "html" else f"{scaled.amount}{told}")
        at = seen.find(wanted, at) + len(wanted)
        assert at >= len(wanted), wanted
    for part in made.batch.balance.formula.parts:
        assert part.name in seen and said(part.notes) in seen


@pytest.mark.parametrize(("name", "form"), EVERY)
def test_every_word_of_the_method_is_there(name: str, form: str) -> None:
    plan, seen = plan_of(name), sheet(name, form)
    for step in plan.made[0].method:
        assert step.do in seen
        assert all(said(use.said) in seen for use in step.uses)
        for text in step.said.values():
            assert said(text.removeprefix("until ")) in seen, text


@pytest.mark.parametrize(("name", "form"), EVERY)
def test_every_time_of_the_plan_is_there(name: str, form: str) -> None:
    plan, seen = plan_of(name), sheet(name, form)
    for placed in plan.timetable.placed:
        time = f"{plan.clock.time(placed.start)} to {plan.clock.end_time(placed.start, placed.end)}"
        where = placed.oven or (f"baker {placed.baker}" if placed.baker else "waits")
        assert f"{'~' if placed.task.assumed else ''}{time}, {where}" in seen
    for heating in plan.timetable.heatings:
        stated = any(one.step.heats_oven for one in bench_sheets(plan)[0].steps)
        time = f"{plan.clock.time(heating.start)} to {plan.clock.time(heating.end)}, {heating.oven}"
        assert (time in seen) == stated


@pytest.mark.parametrize("name", FORMULAS)
def test_steps_stand_in_the_order_of_their_times(name: str) -> None:
    steps = bench_sheets(plan_of(name))[0].steps
    starts = [one.starts for one in steps if one.starts is not None]
    assert starts == sorted(starts)
    method = plan_of(name).made[0].method
    assert sorted(str(one.step.place) for one in steps) == sorted(str(s.place) for s in method)


@pytest.mark.parametrize(("name", "form"), EVERY)
def test_what_can_hurt_somebody_is_said(name: str, form: str) -> None:
    plan, seen = plan_of(name), sheet(name, form)
    found = bench_sheets(plan)[0]
    assert "Allergens, US list: " in seen and "Allergens, EU list: " in seen
    assert all(said(caution.text) in seen for caution in found.cautions)
    assert {caution.id for caution in plan.cautions} <= {caution.id for caution in found.cautions}
    assert any("food code" in caution.text for caution in found.cautions)


# --- what is written down, and entered again ---


def asked_on_a_terminal(verdict: str = "change") -> list[str]:
    """Every question, answered so that none is left out."""
    questions: list[str] = []
    needed = {"baker": "N", "verdict": verdict, "the one change": "less water", "because": "gummy"}

    def ask(text: str) -> str:
        questions.append(text)
        words = text.partition(". ")[2]
        return next((answer for name, answer in needed.items() if words.startswith(name)), "")

    ask_for_missing(BakeSaid(baker="", verdict=""), ask, lambda _: None)
    return questions


@pytest.mark.parametrize("form", FORMS)
def test_prompts_ask_for_the_lines_of_the_sheet_by_number_name_and_order(form: str) -> None:
    seen = sheet("oat-date-loaf", form)
    begin = seen.upper().index("WRITE DOWN")
    at = begin
    for text in asked_on_a_terminal():
        number, name = re.fullmatch(r"(\d+)\. (.+?)(?: \[.*| \(.*|, like .*)?: ", text).groups()  # type: ignore[union-attr]
        found = re.compile(rf"{number}\. {re.escape(name)}\b").search(seen, at)
        assert found, text
        at = found.end()
    words = [line.words for line in sheet_words(plan_of("oat-date-loaf"))[0].record]
    assert len(asked_on_a_terminal()) == len(words) == len(asked_lines())


def test_the_list_holds_all_that_a_record_may_say_in_its_order() -> None:
    """Photos and amendments apart, which no baker writes on a sheet; the digest is on top of it."""
    from perflour.documents.schema import schema

    fields = schema("bake")["properties"]
    keys = [line.key for line in asked_lines()]
    assert [n for n, line in enumerate(asked_lines(), 1)] == [one.number for one in asked_lines()]
    within = [*CONDITIONS, *fields["measured"]["properties"], *fields["next"]["properties"]]
    assert set(keys) == {*within, *fields} - {"formula", "of", "photos", "amended", "conditions", "measured", "next"}  # fmt: skip
    assert keys[3:16] == within[:13]
    assert list(VERDICTS) == fields["verdict"]["enum"]


def test_answers_become_the_record() -> None:
    told: list[str] = []
    answers = iter(["", "N", "2", "", "21 °C", "", "", "", "23 °C", "996 g", "905 g", "core=97 °C", "97 °C", "58 min", "", "71 mm", "", "", "Fine.", "keep"])  # fmt: skip
    found = ask_for_missing(BakeSaid(baker="", verdict=""), lambda _: next(answers), told.append)
    assert readings(found.measured) == {"batter-temperature": "23 °C", "mass-before": "996 g", "mass-after": "905 g", "core": "97 °C", "bake-time": "58 min", "height": "71 mm"}  # fmt: skip
    assert (found.batch, found.notes, found.verdict, found.next_try) == ("2", "Fine.", "keep", "")
    assert told[1:] == ["'core=97 °C' has a name; write the reading alone, each is asked for in turn"]  # fmt: skip


def test_only_what_is_not_said_is_asked_under_its_own_number() -> None:
    asked: list[str] = []

    def ask(text: str) -> str:
        asked.append(text)
        return ""

    known = BakeSaid("N", "keep", "2026-03-14", "1", {"room": "21 °C"}, ["core=97 °C"], ["A: crumb=7"], "Fine.")  # fmt: skip
    ask_for_missing(known, ask, lambda _: None)
    left = [line for line in asked_lines() if line.group and line.key not in ("room", "core")]
    assert asked == [question(line) for line in left]
    assert asked[0] == "4. flour lot, like soft white, lot 12: "


# --- the command ---


def test_sheets_are_printed_a_page_each(tmp_path: Path) -> None:
    method = "[{do: mix, uses: [flour, water]}, {do: preheat, to: 200 °C}, {do: bake, at: 200 °C, for: 30 min}]"
    for name in ("pale-roll", "dark-roll"):
        (tmp_path / name).mkdir()
        lines = ("{item: flour, amount: 500 g}", "{item: water, amount: 300 g, state: <b>cold}")
        text = formula_text(*lines, method=method).replace("formula: trial", f"formula: {name}")
        (tmp_path / name / "formula.yaml").write_text(text, encoding="utf-8")
    words = ("plan", ".", "--print", "bench", "--make", "pale-roll=3 batches")
    text = run_cli(*words, cwd=tmp_path).out
    assert text.count("\f\n") == 1
    assert re.search(r"\[ \] 1500 g  flour\n +\[ \]  900 g  water, <b>cold\n", text)
    assert "3. batch factor               3\n" in text
    assert "Enter it in this order: perflour bake new pale-roll\n" in text
    run_cli(*words, "--write", "bench.html", cwd=tmp_path)
    page = (tmp_path / "bench.html").read_text(encoding="utf-8")
    assert page.count("<section ") == 2 and "&lt;b&gt;cold" in page and "://" not in page
    assert re.search(r"section \{ break-before: page;", page)
    assert run_cli(*words, "--output", "markdown", cwd=tmp_path).out.count("\n---\n") == 1
    refused = run_cli(*words, "--output", "svg", cwd=tmp_path)
    assert (refused.code, refused.err) == (
        2,
        "perflour: there is no svg of bench sheets; known: text, markdown, html\n",
    )


def test_a_box_for_each_mixing_and_the_times_of_all(tmp_path: Path) -> None:
    method = "[{do: mix, uses: [flour], for: 5 min}, {do: bake, at: 200 °C, for: 30 min}]"
    text = formula_text("{item: flour, amount: 500 g}", method=method, extra="yield: {pieces: 10}\n")  # fmt: skip
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    words = ("--make", "trial=30 pieces", "--load", "trial=10", "--mix-each-load", "--print", "bench", "--start", "06:30")  # fmt: skip
    out = run_cli("plan", "formula.yaml", *words, cwd=tmp_path).out
    assert "[ ] [ ] [ ] 500 g  flour\n" in out
    assert "Weigh it 3 times: a box for each mixing." in out
    assert "3. batch factor               3\n" in out
    assert all(f"oven, mixing {n}" in " ".join(out.split()) for n in (1, 2, 3))
