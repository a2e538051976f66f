"""Lists of test bakes as text, Markdown and JSON."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from perflour.plain import markdown, one_line
from perflour.report.form.columns import Frame, hung, laid_out
from perflour.report.form.markdown import markdown_table
from perflour.report.history.events import photo_path
from perflour.system.terminal import width
from perflour.trials.bake_list import FormulaBakes, ListedBake

#: How a verdict looks on a terminal, beside its word.
VERDICT_LOOKS = {"keep": "go", "change": "mind", "reject": "stop"}
HEADERS = ("test bake", "iteration", "verdict", "tasters", "mean scores")


def bakes_text(formulas: Sequence[FormulaBakes]) -> str:
    """For a terminal, the newest bake first; what to try next stands below its bake."""
    return "\n".join(_block(formula) for formula in formulas)


def _block(formula: FormulaBakes) -> str:
    heading = f"{one_line(formula.title)} ({formula.formula}, {formula.status or 'unreadable'})"
    if not formula.bakes:
        return f"{heading}\n  no test bake\n"
    rows = [_row(formula, one) for one in formula.bakes]
    looks = {(at, 2): VERDICT_LOOKS.get(row[2], "") for at, row in enumerate(rows)}
    table = laid_out(HEADERS, rows, "<<<><", Frame(width() - 2, looks=looks))
    said = [heading, *(f"  {line}" for line in table.head)]
    for lines, one in zip(table.rows, formula.bakes, strict=True):
        said += [f"  {line}" for line in lines]
        if one.bake.next_try:
            said += hung(f"    next: {_next(one)}")
        said += [line for photo in _photos(one) for line in hung(f"    photo: {photo}")]
    return "\n".join(said) + "\n"


def _row(formula: FormulaBakes, one: ListedBake) -> list[str]:
    bake = one.bake
    tasters = str(bake.tasters) if bake.tasters else ""
    return [bake.name, iteration_words(formula, one), bake.verdict, tasters, _scores(one)]


def iteration_words(formula: FormulaBakes, one: ListedBake) -> str:
    """Where a bake stands: ``7, current``, ``3 of 7`` or that the history does not know it."""
    if one.iteration is None:
        return "not in the history"
    return (
        f"{one.iteration}, current"
        if one.is_current
        else f"{one.iteration} of {formula.iterations}"
    )


def _scores(one: ListedBake) -> str:
    return ", ".join(f"{one_line(name)} {mean:.1f}" for name, mean in one.bake.scores)


def _next(one: ListedBake) -> str:
    return one_line(f"{one.bake.next_try}, because {one.bake.next_because}")


def _photos(one: ListedBake) -> list[str]:
    """Each photo by its path from the folder of the formula, with its caption."""
    return [
        one_line(f"{photo_path(photo)}, {photo.caption}" if photo.caption else photo_path(photo))
        for photo in one.bake.photos
    ]


def bakes_markdown(formulas: Sequence[FormulaBakes]) -> str:
    """A heading and a table for each formula."""
    blocks = []
    for formula in formulas:
        lines = [f"## {markdown(f'{formula.title} ({formula.formula})')}", ""]
        lines += _table(formula) if formula.bakes else ["No test bake."]
        blocks.append("\n".join(lines) + "\n")
    return "\n".join(blocks)


def _table(formula: FormulaBakes) -> list[str]:
    """With a column for photos only where there are some."""
    with_photos = any(one.bake.photos for one in formula.bakes)
    rows = []
    for one in formula.bakes:
        photos = ["; ".join(_photos(one))] if with_photos else []
        rows.append([*_row(formula, one), _next(one) if one.bake.next_try else "", *photos])
    return markdown_table([*HEADERS, "next", *(["photos"] if with_photos else [])], rows)


#: Of the JSON: one more for each change of a key or of what it means. schema/bakes.schema.json.
FORMAT = 1


def bakes_json(formulas: Sequence[FormulaBakes]) -> str:
    """Exact values, the newest bake first; valid against schema/bakes.schema.json."""
    data = {"format": FORMAT, "formulas": [_data(formula) for formula in formulas]}
    return json.dumps(data, ensure_ascii=False, indent=2) + "\n"


def _data(formula: FormulaBakes) -> dict[str, Any]:
    return {
        "formula": formula.formula,
        "title": formula.title,
        "status": formula.status,
        "iterations": formula.iterations,
        "bakes": [_bake_data(one) for one in formula.bakes],
    }


def _bake_data(one: ListedBake) -> dict[str, Any]:
    bake = one.bake
    return {
        "bake": bake.name,
        "date": bake.date,
        "baker": bake.baker,
        "revision": bake.of,
        "iteration": one.iteration,
        "current": one.is_current,
        "verdict": bake.verdict,
        "tasters": bake.tasters,
        "mean_scores": dict(bake.scores),
        "next": {"try": bake.next_try, "because": bake.next_because} if bake.next_try else None,
    }
