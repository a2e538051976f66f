"""Formulas side by side in the form asked for; heavy libraries only for those that need them."""

from __future__ import annotations

import shutil
import sys

from perflour.compare.table import SideBySide


def rendered(table: SideBySide, output: str, by: str, wide: bool) -> bytes:
    """The report as text, html, csv, json, svg or png."""
    if output in ("svg", "png"):
        from perflour.report.compare.chart import group_chart

        return group_chart(table, output)
    return _text(table, output, by, wide).encode("utf-8", "replace")


def _text(table: SideBySide, output: str, by: str, wide: bool) -> str:
    if output == "html":
        from perflour.report.compare.html import side_by_side_html

        return side_by_side_html(table, by)
    if output == "text":
        from perflour.report.compare.table import side_by_side_text

        width = sys.maxsize if wide else shutil.get_terminal_size().columns
        return side_by_side_text(table, by, width)
    from perflour.report.compare import data as report

    render = {"csv": report.side_by_side_csv, "json": report.side_by_side_json}
    return render[output](table, by)
