"""Bench sheets in the forms that are printed or propped up beside the bowl: text, Markdown, HTML."""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from perflour.bakeday.bench import BenchLine, BenchPart, BenchSheet, BenchStep, bench_sheets
from perflour.bakeday.plan import Plan
from perflour.formula.formula import Step
from perflour.kitchen.figures import SMALL_G
from perflour.plain import markdown, one_line
from perflour.report.bakeday.entries import clock_span, mixing_words, several_days, where_words
from perflour.report.form.columns import wrap
from perflour.report.form.html_page import html_page
from perflour.trials.bake_lines import VERDICTS, AskedLine, asked_lines

WIDTH, BLANK = 78, 24
#: How each text of a step is told, in the order in which a baker needs it; heat, time and sign stand out.
_FACTS = (
    ("into", "into {}", False),
    ("on", "on {}", False),
    ("with", "with {}", False),
    ("speed", "speed: {}", False),
    ("fill", "fill: {}", False),
    ("at", "at {}", True),
    ("to", "to {}", True),
    ("for", "for {}", True),
    ("until", "until {}", True),
    ("core", "core {}", True),
    ("makes", "makes {}", False),
    ("note", "{}", False),
)


@dataclass(frozen=True)
class Fact:
    """What a step says, one thing; ``counts`` where it is looked for in a hurry: heat, time, sign."""

    text: str
    counts: bool


@dataclass(frozen=True)
class StepWords:
    """A step in words. ``day`` where another one begins; ``times`` of the plan, each with where."""

    day: str
    times: tuple[str, ...]
    do: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class RecordLine:
    """A line to write on, with what is known of it already, or one of ``choices``; ``rows`` of room.

    No example stands on it: on paper it would look like a reading.
    """

    number: int
    words: str
    filled: str
    choices: tuple[str, ...]
    rows: int = 1


@dataclass(frozen=True)
class SheetWords:
    """A sheet in words. ``boxes`` to tick for each ingredient: one a mixing."""

    title: str
    about: tuple[str, ...]
    boxes: int
    parts: tuple[BenchPart, ...]
    steps: tuple[StepWords, ...]
    record: tuple[RecordLine, ...]
    enter: str
    mind: tuple[str, ...]


def sheet_words(plan: Plan) -> list[SheetWords]:
    """Every sheet of a day in words."""
    return [_words(plan, sheet) for sheet in bench_sheets(plan)]


def _words(plan: Plan, sheet: BenchSheet) -> SheetWords:
    return SheetWords(
        title=sheet.made.batch.balance.formula.title,
        about=tuple(_about(plan, sheet)),
        boxes=sheet.made.mixings,
        parts=sheet.parts,
        steps=tuple(_steps(plan, sheet.steps)),
        record=tuple(_record_line(plan, sheet, line) for line in asked_lines()),
        enter=f"perflour bake new {_path(sheet)}",
        mind=tuple(_mind(sheet)),
    )


def _about(plan: Plan, sheet: BenchSheet) -> Iterator[str]:
    made = sheet.made
    yield f"{made.batch.id}, revision {sheet.revision}"
    yield mixing_words(made)
    if made.mixings > 1:
        yield f"Weigh it {made.mixings} times: a box for each mixing."
    if times := [time for one in sheet.steps for time in one.times]:
        first, last = min(start for start, _ in times), max(end for _, end in times)
        yield f"From {plan.clock.at(first)} to {plan.clock.at(last)}"
    if any(placed.task.assumed for one in sheet.steps for placed in one.placed):
        yield "~ where the formula states no time"
    step = sheet.scale_resolution_g
    yield f"Rounded to {step:g} g, below {SMALL_G * step:g} g to {step / 10:g} g"


def _steps(plan: Plan, steps: Sequence[BenchStep]) -> Iterator[StepWords]:
    last = ""
    for one in steps:
        day = plan.clock.day(one.starts) if several_days(plan) and one.starts is not None else last
        uses = ", ".join(use.said for use in one.step.uses)
        do = f"{one.step.do}: {uses}" if uses else one.step.do
        yield StepWords(day if day != last else "", _times(plan, one), do, _facts(one.step))
        last = day


def _times(plan: Plan, one: BenchStep) -> tuple[str, ...]:
    if one.is_hot:
        return ("by the plan the oven has this heat already",)
    found = []
    for heating in one.heatings:
        start, end = clock_span(plan, heating.start, heating.end)
        found.append(f"{start} to {end}, {heating.oven}")
    for placed in one.placed:
        start, end = clock_span(plan, placed.start, placed.end)
        assumed = "~" if placed.task.assumed else ""
        found.append(f"{assumed}{start} to {end}{where_words(plan, placed)}")
    return tuple(found)


def _facts(step: Step) -> tuple[Fact, ...]:
    return tuple(
        Fact(form.format(text.removeprefix("until ") if key == "until" else text), counts)
        for key, form, counts in _FACTS
        if (text := step.text(key))
    )


def _record_line(plan: Plan, sheet: BenchSheet, line: AskedLine) -> RecordLine:
    filled = f"{sheet.batch_factor:.4g}" if line.key == "batch" else ""
    starts = [one.starts for one in sheet.steps if one.starts is not None]
    if line.key == "date" and plan.clock.dated and starts:
        filled = plan.clock.day(min(starts))
    choices = tuple(VERDICTS) if line.key == "verdict" else ()
    rows = {"scores": 2, "notes": 3}.get(line.key, 1)
    return RecordLine(line.number, line.words, filled, choices, rows)


def _path(sheet: BenchSheet) -> str:
    """What was baked, as it is typed."""
    source = sheet.made.batch.source
    if source.path == "-":
        return "FORMULA"
    return shlex.quote(one_line(os.path.dirname(source.shown) or source.shown))


def _mind(sheet: BenchSheet) -> Iterator[str]:
    found, formula = sheet.allergens, sheet.made.batch.balance.formula
    for name, brought in (("US list", found.us), ("EU list", found.eu)):
        listed = ", ".join(one.allergen for one in brought)
        yield f"Allergens, {name}: {listed or 'none by what is known here'}."
    if formula.allergens:
        yield f"Declared besides: {', '.join(formula.allergens)}."
    if found.not_known:
        yield f"Allergens not known: {', '.join(found.not_known)}; they may bring any."
    if formula.notes:
        yield formula.notes
    yield from (caution.text for caution in sheet.cautions)


def _said(line: BenchLine) -> str:
    """An ingredient behind its amount."""
    return ", ".join(filter(None, (line.name, line.state, line.note)))


# --- text ---


def bench_text(plan: Plan, _: bool = False) -> str:
    """A form feed between the sheets."""
    return "\f\n".join(map(_text, sheet_words(plan)))


def _text(sheet: SheetWords) -> str:
    lines = [one_line(sheet.title).upper(), *map(one_line, sheet.about), "", "WEIGH"]
    boxes = " ".join(["[ ]"] * sheet.boxes)
    wide = max(
        (len(one_line(line.amount)) for part in sheet.parts for line in part.lines), default=0
    )
    for part in sheet.parts:
        lines += ["", one_line(part.name), *_wrapped(part.notes, "  ")]
        for line in part.lines:
            lines.append(f"  {boxes} {one_line(line.amount):>{wide}}  {one_line(_said(line))}")
    lines += ["", "DO"]
    for step in sheet.steps:
        lines += ["", *([one_line(step.day)] if step.day else [])]
        lines += _wrapped(step.do, "      ", "  [ ] ")
        lines += _wrapped("; ".join(step.times), "      ")
        lines += _wrapped("; ".join(fact.text for fact in step.facts), "      ")
    lines += ["", "WRITE DOWN", f"Enter it in this order: {sheet.enter}", ""]
    for asked in sheet.record:
        lines += _record_text(asked)
    lines += ["", "MIND", *(row for text in sheet.mind for row in _wrapped(text, "  ", "- "))]
    return "\n".join(lines) + "\n"


def _wrapped(text: str, indent: str, first: str | None = None) -> list[str]:
    begin = indent if first is None else first
    return wrap(text, WIDTH, initial_indent=begin, subsequent_indent=indent)


def _record_text(line: RecordLine) -> Iterator[str]:
    choices = "  ".join(f"[ ] {choice}" for choice in line.choices)
    room = choices or one_line(line.filled) or "_" * BLANK
    yield f"{line.number:>3}. {line.words:<26} {room}"
    yield from ["", f"     {'_' * (WIDTH - 6)}"] * (line.rows - 1)


# --- Markdown ---


def bench_markdown(plan: Plan, _: bool = False) -> str:
    """One heading a sheet, a rule between sheets."""
    return "\n---\n\n".join(map(_markdown, sheet_words(plan)))


def _markdown(sheet: SheetWords) -> str:
    boxes = " ".join(["[ ]"] * sheet.boxes)
    lines = [f"# {markdown(sheet.title)}", "", *(f"- {markdown(text)}" for text in sheet.about)]
    lines += ["", "## Weigh"]
    for part in sheet.parts:
        lines += ["", f"### {markdown(part.name)}", ""]
        lines += [markdown(part.notes), ""] if part.notes else []
        for line in part.lines:
            lines.append(f"- {boxes} **{markdown(line.amount)}** {markdown(_said(line))}")
    lines += ["", "## Do"]
    for step in sheet.steps:
        lines += ["", markdown(step.day)] if step.day else []
        lines += ["", f"- [ ] {_step_markdown(step)}"]
    lines += ["", "## Write down", "", f"Enter it in this order: {markdown(sheet.enter)}", ""]
    lines += [f"{line.number}. {_record_markdown(line)}" for line in sheet.record]
    lines += ["", "## Mind", "", *(f"- {markdown(text)}" for text in sheet.mind)]
    return "\n".join(lines) + "\n"


def _step_markdown(step: StepWords) -> str:
    facts = [f"**{markdown(f.text)}**" if f.counts else markdown(f.text) for f in step.facts]
    said = [markdown(step.do), *facts]
    times = f"{markdown('; '.join(step.times))}: " if step.times else ""
    return f"{times}{'; '.join(said)}"


def _record_markdown(line: RecordLine) -> str:
    room = ", ".join(line.choices) or line.filled or "_" * BLANK
    return f"{line.words}: {markdown(room)}"


# --- HTML ---


def bench_html(plan: Plan, _: bool = False) -> str:
    """One file for the browser's print command, a page each."""
    return html_page("bench_sheets.html", title="Bench sheets", sheets=sheet_words(plan))
