"""Rows to aligned columns.

Aligning text is all that is needed of a table library, so none is loaded.
"""

from __future__ import annotations

from collections.abc import Sequence

from perflour.result import one_line


def columns(headers: Sequence[str], rows: Sequence[Sequence[str]], align: str) -> list[str]:
    """Lines of a table; ``align`` has one sign a column, ``<`` left or ``>`` right."""
    rows = [[one_line(cell) for cell in row] for row in rows]
    widths = [max(map(len, column)) for column in zip(headers, *rows, strict=True)]
    lines = [list(headers), ["-" * width for width in widths], *map(list, rows)]
    return [
        "  ".join(
            f"{cell:{sign}{width}}" for cell, sign, width in zip(line, align, widths, strict=True)
        ).rstrip()
        for line in lines
    ]
