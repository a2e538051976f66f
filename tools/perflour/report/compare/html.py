"""Formulas side by side as one HTML file that needs no network."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

from perflour.compare.table import Row, SideBySide
from perflour.kitchen.figures import spread_text
from perflour.plain import one_line
from perflour.report.compare.chart import group_chart
from perflour.report.compare.table import (
    NO_TURN,
    OWN_BASIS,
    SECTIONS,
    cell_text,
    chance,
    likeness,
    name_text,
    remarks,
    shown_rows,
    signs,
    turn_title,
    turn_words,
    value_text,
)
from perflour.report.form.html_page import html_page

ABOVE, BELOW = "▲", "▼"


def side_by_side_html(table: SideBySide, by: str = "ingredient", _: bool = False) -> str:
    """The page: the table, who is near whom, the turn, the chart. Every text is escaped."""
    from markupsafe import Markup

    rows = shown_rows(table, by)
    labels = [column.label for column in table.columns]
    svg = group_chart(table, "svg").decode()
    return html_page(
        "side_by_side.html",
        formulas=[_formula(table, at) for at in range(len(labels))],
        sections=list(_sections(rows, labels)),
        signs=signs(table, rows, f"{ABOVE}{BELOW}"),
        likeness=[*likeness(table, labels), *chance(table, rows)],
        own_basis=OWN_BASIS,
        turn=_turn(table, labels),
        # drawn by our own chart, whose labels are escaped there; without the head of an XML file
        chart=Markup(svg[svg.index("<svg") :]),
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
    for section, within in groupby(rows, key=lambda row: row.section):
        title = "ingredients" if section == "ingredient" else SECTIONS[section]
        yield {"title": title, "rows": [_row(row, labels) for row in within]}


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
    notes = [f"± {spread_text(cell.spread)} {row.unit} by measuring"] if cell.spread > 0.005 else []
    if cell.too_low:
        notes.append(f"not counted: {one_line(', '.join(cell.too_low))}")
    odd = ""
    if at in row.odd and cell.value is not None and row.median is not None:
        odd = ABOVE if cell.value > row.median else BELOW
    return {
        "value": cell.value,
        "text": cell_text(row, cell),
        "odd": odd,
        "note": "; ".join(notes),
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
