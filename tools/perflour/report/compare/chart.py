"""Formulas ratio by ratio: a dot a formula with its measuring spread, over the usual window of their class."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from perflour.compare.apart import ratio_rows, window_of
from perflour.compare.table import Column, Row, SideBySide
from perflour.diff.residual import SPREADS_THAT_COUNT
from perflour.plain import one_line
from perflour.report.compare.table import NO_SPREAD, OWN_BASIS, TOO_LOW, not_counted
from perflour.report.form.charts import Band, Panel, Point, Rows

INTERVAL = "two measuring spreads either way"


class RatioChart(NamedTuple):
    """What a chart is made of, whatever form it takes."""

    title: str
    told: str
    panels: Sequence[Panel | Rows]


def ratio_chart(table: SideBySide) -> RatioChart:
    """One panel a sum by kind or ratio, what sets the formulas apart first; those all alike are left out."""
    rows, names = ratio_rows(table), _names(table.columns)
    title = f"{len(table.columns)} formulas ratio by ratio, what sets them apart first"
    return RatioChart(title, _told(table, rows), [_panel(table, row, names) for row in rows])


def _names(columns: Sequence[Column]) -> list[str]:
    """Titles, where they tell the formulas apart."""
    titles = [one_line(column.formula.title) for column in columns]
    return titles if len(set(titles)) == len(titles) else [column.label for column in columns]


def _told(table: SideBySide, rows: Sequence[Row]) -> str:
    """What the marks mean, and of what the percentages are."""
    said = [f"Bars are {INTERVAL}; without one it was weighed."]
    if any(column.own_basis for column in table.columns):
        said.append(f"{OWN_BASIS}: in percent of its own basis.")
    if any(cell.too_low for row in rows for cell in row.cells):
        said.append(f"{TOO_LOW}: at least that, for something of it could not be counted.")
    if table.product is None:
        said.append("The formulas are of several classes, or of none, so no usual window is drawn.")
    return " ".join(said)


def _panel(table: SideBySide, row: Row, names: Sequence[str]) -> Rows:
    window = window_of(table, row)
    band = None
    if window and table.product:
        band = Band(f"usual for {one_line(table.product.title)}", window.low, window.high)
    points = tuple(_point(table, row, at, name) for at, name in enumerate(names))
    gas = row.section == "kind" and row.name == "leavening"
    unit = "carbon dioxide, g for 100 g of the flour or basis" if gas else "% of the base's flour or basis"  # fmt: skip
    return Rows(row.name, unit, points, band, interval=INTERVAL)


def _point(table: SideBySide, row: Row, at: int, name: str) -> Point:
    """A formula; one of which something could not be counted is there at least so much, or nobody knows."""
    column, cell = table.columns[at], row.cells[at]
    told = not_counted(cell)
    signs = (OWN_BASIS if column.own_basis else "") + (
        TOO_LOW if cell.too_low and cell.value else ""
    )
    name = f"{signs} {name}".lstrip()
    if not cell.value:
        return Point(name, at, None if cell.too_low else 0.0, told=told or "none of it")
    reach = SPREADS_THAT_COUNT * cell.spread
    low, high = (max(0.0, cell.value - reach), cell.value + reach) if cell.spread > NO_SPREAD else (None, None)  # fmt: skip
    return Point(name, at, cell.value, low, high, told=told)
