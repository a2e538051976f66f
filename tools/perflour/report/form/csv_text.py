"""Rows to CSV that a spreadsheet shows and does not compute."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

# What a spreadsheet would take for a formula of its own.
COMPUTES = ("=", "+", "-", "@", "\t", "\r")


def csv_text(rows: Iterable[Iterable[object]]) -> str:
    """The rows a line each; None is an empty cell."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows([*map(_shown, row)] for row in rows)
    return text.getvalue()


def _shown(cell: object) -> object:
    return f"'{cell}" if isinstance(cell, str) and cell.startswith(COMPUTES) else cell
