"""Formulas that were found, with what was asked of them: text, Markdown, JSON, CSV."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from perflour.asking.find import Finding, Found, Question
from perflour.asking.foods import Food
from perflour.balance.spread import spread_of, value_of
from perflour.diff.residual import SPREADS_THAT_COUNT
from perflour.kitchen.figures import counted
from perflour.plain import csv_text, one_line, visible
from perflour.report.asking.figures import TOO_LOW, heading, measured_data, shown, unit_said
from perflour.report.form.sections import Section, sections_markdown, sections_text

#: Of the JSON: one more for each change of a key or of what it means. schema/find.schema.json.
FORMAT = 1
#: So much is shown around words that were looked for.
AROUND = 40


def found_text(finding: Finding) -> str:
    """A table as wide as the terminal, then where words stand."""
    return sections_text(_title(finding), _sections(finding))


def found_markdown(finding: Finding) -> str:
    """The same, with the formulas of which nobody can tell."""
    made = _sections(finding)
    if lines := tuple(_not_told(finding)):
        made.append(Section("Not told", before=lines))
    return sections_markdown(_title(finding), made)


def not_told_text(finding: Finding) -> str:
    """A line for each formula of which nobody can tell."""
    return "".join(f"{line}\n" for line in _not_told(finding))


def _not_told(finding: Finding) -> Iterator[str]:
    for one in finding.not_told:
        yield f"{visible(one.shown)}: cannot be told: {one_line(one.why)}"


def _title(finding: Finding) -> str:
    number = len(finding.found)
    of = counted(finding.asked_of, "formula")
    asked = f": {said}" if (said := question_said(finding.question)) else ""
    return f"{number or 'none'} of {of}{asked}"


def question_said(question: Question) -> str:
    """What was asked, in a line."""
    said = [condition.text for condition in question.conditions]
    said += [f"with {food.said}" for food in question.holding]
    said += [f"without {food.said}" for food in question.without]
    said += [f"class {' or '.join(question.of_class)}"] if question.of_class else []
    said += [" or ".join(question.status)] if question.status else []
    said += [f"“{words}”" for words in question.words]
    return ", ".join(said)


def _sections(finding: Finding) -> list[Section]:
    question, rows = finding.question, finding.found
    made = []
    if rows:
        figures = [heading(figure) for figure in question.figures]
        of = ["of"] if any(figure.of_basis for figure in question.figures) else []
        held = ["holds"] if question.holding else []
        sure = [""] if any(row.verdict == "may be" for row in rows) else []
        headers = ("formula", *sure, *figures, *held, *of, "status", "class", "title")
        align = "<" + "<" * len(sure) + ">" * len(figures) + "<" * (len(of) + len(held) + 3)
        body = tuple(_row(row, question, bool(sure), bool(of)) for row in rows)
        made.append(
            Section("Formulas", headers, body, align, after=tuple(_notes(finding)), below=2)
        )
    elif notes := tuple(_notes(finding)):
        made.append(Section("What was asked", before=notes))
    if question.words and rows:
        made.append(Section("Where it stands", before=tuple(_places(finding))))
    if finding.cautions:
        made.append(Section("Cautions", before=tuple(c.text for c in finding.cautions)))
    return made


def _row(row: Found, question: Question, sure: bool, of: bool) -> tuple[str, ...]:
    formula = row.balance.formula
    cells = [formula.id]
    if sure:
        cells.append("may be" if row.verdict == "may be" else "")
    cells += [shown(f, one) for f, one in zip(question.figures, row.figures, strict=True)]
    if question.holding:
        cells.append(", ".join(row.items))
    if of:
        cells.append("; ".join(dict.fromkeys(one.of for one in row.figures if one.of)))
    return (*cells, formula.status, formula.product_class, formula.title)


def _notes(finding: Finding) -> Iterator[str]:
    """What signs mean, and what was understood."""
    question = finding.question
    if any(row.verdict == "may be" for row in finding.found):
        yield f"may be: the bound lies within {SPREADS_THAT_COUNT:g} measuring spreads (±) of the figure, or within a range as written"
    if any(figure.of_basis and not figure.part for figure in question.figures):
        yield "percent of what stands under `of`, in the base; what stands beside it (topping, filling, icing) is not counted"
    lacking = dict.fromkeys(
        f"{figure.said} of {row.balance.formula.id}: {', '.join(one.lacking)}"
        for row in finding.found
        for figure, one in zip(question.figures, row.figures, strict=True)
        if one.lacking
    )
    if lacking:
        yield f"{TOO_LOW} more, not counted: {'; '.join(lacking)}"
    for word, foods in (("with", question.holding), ("without", question.without)):
        yield from (_food_said(word, food) for food in foods)


def _food_said(word: str, food: Food) -> str:
    others = f"; not looked for: {', '.join(food.others)}" if food.others else ""
    return f"{word} {food.said}: {food.meanings}; looked for in all parts{others}"


def _places(finding: Finding) -> Iterator[str]:
    for row in finding.found:
        for place in row.texts:
            yield f"{row.balance.formula.id}, {place.where}: {_excerpt(place.text, finding.question.words)}"


def _excerpt(text: str, words: tuple[str, ...]) -> str:
    """The text around the first words that are in it."""
    line = " ".join(text.split())
    lower = line.lower()
    ats = [at for one in words if (at := lower.find(" ".join(one.lower().split()))) >= 0]
    start = max(0, min(ats, default=0) - AROUND)
    end = min(len(line), min(ats, default=0) + 2 * AROUND)
    return f"{'…' if start else ''}{line[start:end]}{'…' if end < len(line) else ''}"


# --- for programs ---


def found_json(finding: Finding) -> str:
    """Exact values, valid against schema/find.schema.json."""
    question = finding.question
    data: dict[str, Any] = {
        "format": FORMAT,
        "asked": question_said(question),
        "formulas_read": finding.asked_of,
        "found": [_data(row, question) for row in finding.found],
        "not_told": [
            {"path": one.shown, "formula": one.id, "because": one.why} for one in finding.not_told
        ],
        "not_read": sorted({r.place.path for r in finding.results if r.level == "error"}),
        "cautions": [caution.text for caution in finding.cautions],
    }
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _data(row: Found, question: Question) -> dict[str, Any]:
    formula = row.balance.formula
    return {
        "formula": formula.id,
        "path": row.shown,
        "title": formula.title,
        "class": formula.product_class,
        "status": formula.status,
        "verdict": row.verdict,
        "figures": [
            measured_data(f, o) for f, o in zip(question.figures, row.figures, strict=True)
        ],
        "holds": list(row.items),
        "words": [{"where": place.where, "text": place.text} for place in row.texts],
    }


def found_csv(finding: Finding) -> str:
    """A row a formula; each figure with its spread."""
    figures = finding.question.figures
    head = ["formula", "path", "title", "class", "status", "verdict"]
    for figure in figures:
        head += [heading(figure), f"spread of {figure.said}, {unit_said(figure)}", f"{figure.said} is of"]  # fmt: skip
    rows: list[list[object]] = [[*head, "holds"]]
    for row in finding.found:
        formula = row.balance.formula
        cells: list[object] = [formula.id, row.shown, formula.title, formula.product_class, formula.status, row.verdict]  # fmt: skip
        for one in row.figures:
            known = one.number is not None
            cells += [value_of(one.number) if known else None, spread_of(one.number) if known else None, one.of]  # fmt: skip
        rows.append([*cells, "; ".join(row.items)])
    return csv_text(rows)
