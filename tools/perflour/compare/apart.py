"""What sets formulas apart: rows in order of how much they differ, and the usual window of a row."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import fmean, median

from perflour.compare.table import Row, SideBySide
from perflour.kitchen.house import Window

#: Sums by kind that are ratios of a window under another name; the other rows are named as their windows.
WINDOW_OF = {"sugar and syrup": "sugar", "fat and oil": "fat"}
#: Percent, and less: rounding.
SAME = 0.005


def apart(row: Row) -> float:
    """How far values of a row lie from its median on average, as a share of the largest: 0 alike, 0.5 split in halves.

    What a formula does not have is 0 there. A share, so that salt counts as much as flour.
    """
    values = [cell.value or 0.0 for cell in row.cells]
    largest = max(map(abs, values), default=0.0)
    if not largest:
        return 0.0
    middle = median(values)
    return fmean(abs(value - middle) for value in values) / largest


def by_apart(rows: Iterable[Row]) -> list[Row]:
    """Rows with what sets the formulas apart first; of equals as they were."""
    return sorted(rows, key=lambda row: -round(apart(row), 6))


def ratio_rows(table: SideBySide) -> list[Row]:
    """Sums by kind and ratios in which the formulas differ, what sets them apart first."""
    rows = (row for row in table.rows if row.section in ("kind", "ratio"))
    return by_apart(row for row in rows if _differs(row))


def _differs(row: Row) -> bool:
    return row.low is not None and row.high is not None and row.high - row.low > SAME


def window_of(table: SideBySide, row: Row) -> Window | None:
    """The usual window of a row, where all formulas are of one class that has one."""
    if table.product is None or row.section not in ("kind", "ratio"):
        return None
    return table.product.windows.get(WINDOW_OF.get(row.name, row.name))
