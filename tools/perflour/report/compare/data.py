"""Formulas side by side as CSV and JSON: exact values."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

from perflour.compare.outliers import BY_CHANCE_PERCENT, FEWEST_VALUES
from perflour.compare.table import KINDS, Column, Row, SideBySide
from perflour.formula.digests import digest
from perflour.plain import csv_text
from perflour.report.compare.table import (
    DISTANCE_RULE,
    OUTLIER_RULE,
    rows_judged,
    shown_rows,
    turn_changes,
    turn_words,
)
from perflour.report.diff.data import change_data

#: Of the JSON: one more for each change of a key or of what it means. schema/compare.schema.json.
FORMAT = 2
_TURN_KEYS = ("kind", "part", "subject", "before", "after", "delta")
BEFORE = ("section", "kind", "name", "unit")
AFTER = ("median", "low", "high", "in", "odd ones", "too low in")


def side_by_side_csv(table: SideBySide, by: str = "ingredient", _: bool = False) -> str:
    """One row a line, one formula a column; empty where there is no value."""
    labels = [column.label for column in table.columns]
    rows = (_csv_row(row, labels) for row in shown_rows(table, by))
    return csv_text([(*BEFORE, *labels, *AFTER), *rows])


def _csv_row(row: Row, labels: Sequence[str]) -> list[object]:
    odd = [labels[outlier.at] for outlier in row.outliers]
    low = [label for label, cell in zip(labels, row.cells, strict=True) if cell.too_low]
    return [
        row.section,
        row.kind,
        row.name,
        row.unit,
        *(cell.value for cell in row.cells),
        *(row.median, row.low, row.high, row.count),
        *(" ".join(names) for names in (odd, low)),
    ]


def side_by_side_json(table: SideBySide, by: str = "ingredient", _: bool = False) -> str:
    """All of it, with spreads and the whole matrix of distances; valid against schema/compare.schema.json."""
    data = {
        "format": FORMAT,
        "formulas": [_column_data(column) for column in table.columns],
        "rows": [_row_data(row, table.columns) for row in shown_rows(table, by)],
        "outlier_rule": OUTLIER_RULE,
        "odd_values": _odd_data(shown_rows(table, by)),
        "distances": _distance_data(table),
        "turn": _turn_data(table),
    }
    return json.dumps(data, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def _column_data(column: Column) -> dict[str, Any]:
    formula = column.formula
    return {
        "label": column.label,
        "formula": formula.id,
        "title": formula.title,
        "status": formula.status,
        "citation": formula.citation or None,
        "path": column.path,
        "revision": digest(formula),
        "basis": list(column.basis_items),
        "basis_is_flour": not column.own_basis,
        "basis_is_whole": column.balance.basis_is_whole,
        "not_weighed": list(column.not_weighed),
    }


def _row_data(row: Row, compared: Sequence[Column]) -> dict[str, Any]:
    return {
        "section": row.section,
        "name": row.name,
        "kind": row.kind or None,
        "unit": row.unit,
        "values": [cell.value for cell in row.cells],
        "spreads": [cell.spread for cell in row.cells],
        "not_counted": [list(cell.too_low) for cell in row.cells],
        "in": row.count,
        "median": row.median,
        "low": row.low,
        "high": row.high,
        "judged_by": row.judged or None,
        "odd": [{"formula": compared[o.at].label, "score": o.score} for o in row.outliers],
    }


def _odd_data(rows: Sequence[Row]) -> dict[str, Any]:
    return {
        "fewest_values": FEWEST_VALUES,
        "rows_with_one_by_chance_percent": BY_CHANCE_PERCENT,
        "rows_judged": rows_judged(rows, "median distance"),
        "rows_mostly_alike": rows_judged(rows, "mean distance"),
    }


def _distance_data(table: SideBySide) -> dict[str, Any]:
    labels = [column.label for column in table.columns]
    apart = table.distances
    odd = None
    if apart.odd is not None:
        odd = {"formula": labels[apart.odd], "median_distance": apart.odd_distance}
    return {
        "measure": DISTANCE_RULE,
        "kinds": list(KINDS),
        "formulas": labels,
        "matrix": [list(row) for row in apart.matrix],
        "nearest": {
            "formulas": [labels[at] for at in apart.nearest],
            "distance": apart.nearest_distance,
        },
        "odd_one_out": odd,
    }


def _turn_data(table: SideBySide) -> dict[str, Any] | None:
    if table.target is None:
        return None
    return {
        "from": table.columns[0].label,
        "into": table.columns[table.target].label,
        "changes": list(_changes_data(table)),
    }


def _changes_data(table: SideBySide) -> Iterator[dict[str, Any]]:
    for change, text in zip(turn_changes(table), turn_words(table), strict=True):
        data = change_data(change)
        yield {**{key: data.get(key) for key in _TURN_KEYS}, "text": text}
