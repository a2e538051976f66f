"""Formulas side by side for a terminal, and their chart by itself."""

from __future__ import annotations

import sys

from perflour.compare.table import SideBySide
from perflour.system.terminal import width


def terminal_text(table: SideBySide, by: str, wide: bool) -> str:
    """As wide as the terminal, unless ``wide``."""
    from perflour.report.compare.table import side_by_side_text

    return side_by_side_text(table, by, sys.maxsize if wide else width())


def chart_svg(table: SideBySide, by: str, wide: bool) -> bytes:
    """The formulas ratio by ratio as a chart, whatever the table would show."""
    from perflour.report.compare.chart import ratio_chart
    from perflour.report.form import charts

    return charts.chart_svg(*ratio_chart(table))


def chart_png(table: SideBySide, by: str, wide: bool) -> bytes:
    """As ``chart_svg``."""
    from perflour.report.compare.chart import ratio_chart
    from perflour.report.form import charts

    return charts.chart_png(*ratio_chart(table))
