"""Formulas side by side as one HTML file that needs no network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from perflour.compare.apart import by_apart
from perflour.compare.outliers import FEWEST_TO_STEP, MEAN_DISTANCE, STEPS
from perflour.compare.table import Row, SideBySide
from perflour.kitchen.figures import spread_text
from perflour.plain import one_line
from perflour.report.compare.chart import ratio_chart
from perflour.report.compare.table import (
    ABSENT,
    NO_SPREAD,
    NO_TURN,
    ODD,
    OWN_BASIS,
    SECTIONS,
    cell_text,
    chance,
    likeness,
    name_text,
    not_counted,
    remarks,
    shown_rows,
    signs,
    turn_title,
    turn_words,
    value_text,
)
from perflour.report.form.charts import chart_html
from perflour.report.form.html_page import html_page

ABOVE, BELOW = "▲", "▼"
STEP_RULE = (
    f"above or below the median of its row: one sign from {STEPS[0]:g} usual distance of that row on, two from {STEPS[1]:g}, "
    f"three from {STEPS[2]:g}, and the deeper the tint; the usual distance is the mean distance from the median / {MEAN_DISTANCE}; "
    f"none within two measuring spreads, nor with fewer than {FEWEST_TO_STEP} values"
)


def side_by_side_html(table: SideBySide, by: str = "ingredient", _: bool = False) -> str:
    """The page: who is near whom, the table (a formula at a time on a phone), the turn, the chart. Every text is escaped."""
    from markupsafe import Markup

    rows = shown_rows(table, by)
    labels = [column.label for column in table.columns]
    sections = list(_sections(rows, labels))
    return html_page(
        "side_by_side.html",
        formulas=[_formula(table, at) for at in range(len(labels))],
        sections=sections,
        cards=[_card(sections, at) for at in range(len(labels))],
        signs=[*_step_signs(rows), *signs(table, rows)],
        likeness=[*likeness(table, labels), *chance(table, rows)],
        own_basis=OWN_BASIS,
        turn=_turn(table, labels),
        # made by a template of ours, which escapes its texts
        chart=Markup(chart_html(*ratio_chart(table))),
    )


def _formula(table: SideBySide, at: int) -> dict[str, Any]:
    column = table.columns[at]
    return {
        "label": column.label,
        "title": one_line(column.formula.title),
        "own_basis": column.own_basis,
        "remarks": remarks(column),
    }


def _sections(rows: Sequence[Row], labels: Sequence[str]) -> Iterator[dict[str, Any]]:
    """The rows of each section, what sets the formulas apart first."""
    for section, within in groupby(rows, key=lambda row: row.section):
        title = "ingredients" if section == "ingredient" else SECTIONS[section]
        yield {"title": title, "rows": [_row(row, labels) for row in by_apart(within)]}


def _card(sections: Sequence[dict[str, Any]], at: int) -> list[dict[str, Any]]:
    """One formula against the median, without the ingredients that it does not have."""
    return [
        {
            "title": section["title"],
            "rows": [
                {"name": row["name"], "cell": row["cells"][at], "median": row["summary"][0]}
                for row in section["rows"]
                if not (section["title"] == "ingredients" and row["cells"][at]["text"] == ABSENT)
            ],
        }
        for section in sections
    ]


def _step_signs(rows: Sequence[Row]) -> list[tuple[str, str]]:
    return [(f"{ABOVE} {BELOW}", STEP_RULE)] if any(any(row.steps) for row in rows) else []


def _row(row: Row, labels: Sequence[str]) -> dict[str, Any]:
    return {
        "name": name_text(row),
        "kind": row.kind if row.section == "ingredient" else "",
        "cells": [_cell(row, at) for at in range(len(row.cells))],
        "summary": [
            *(_figure(row, value) for value in (row.median, row.low, row.high)),
            {"value": row.count, "text": str(row.count)},
            {"value": None, "text": ", ".join(labels[o.at] for o in row.outliers)},
        ],
    }


def _cell(row: Row, at: int) -> dict[str, Any]:
    cell = row.cells[at]
    measured = cell.spread > NO_SPREAD
    spread = f"± {spread_text(cell.spread)} {row.unit} by measuring" if measured else ""
    is_odd = at in row.odd
    steps = row.steps[at]
    tint = f"up-{steps}" if steps > 0 else f"down-{-steps}" if steps else ""
    return {
        "value": cell.value,
        "text": cell_text(row, cell) + (ODD if is_odd else ""),
        "sign": (ABOVE if steps > 0 else BELOW) * abs(steps),
        "classes": " ".join(filter(None, (tint, "odd" if is_odd else ""))),
        "note": "; ".join(filter(None, (spread, not_counted(cell)))),
    }


def _figure(row: Row, value: float | None) -> dict[str, Any]:
    return {"value": value, "text": "" if value is None else value_text(row, value)}


def _turn(table: SideBySide, labels: Sequence[str]) -> dict[str, Any] | None:
    if table.target is None:
        return None
    return {
        "title": turn_title(table, labels),
        "words": turn_words(table) or [NO_TURN],
    }
