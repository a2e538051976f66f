"""Rows to aligned columns, sentences to lines; each text on its own line whatever stands in it.

Aligning text is all that is needed of a table library, so none is loaded.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from perflour.plain import one_line


def columns(headers: Sequence[str], rows: Sequence[Sequence[str]], align: str) -> list[str]:
    """Lines of a table; ``align`` has one sign a column, ``<`` left or ``>`` right."""
    head, *body = [[one_line(cell) for cell in row] for row in (headers, *rows)]
    widths = [max(map(len, column)) for column in zip(head, *body, strict=True)]
    lines = [head, ["-" * width for width in widths], *body]
    return [
        "  ".join(
            f"{cell:{sign}{width}}" for cell, sign, width in zip(line, align, widths, strict=True)
        ).rstrip()
        for line in lines
    ]


def wrap(
    text: str,
    width: int,
    initial_indent: str = "",
    subsequent_indent: str = "",
    break_on_hyphens: bool = True,
) -> list[str]:
    """The lines of a text, no wider than ``width``."""
    return textwrap.wrap(
        one_line(text),
        width,
        initial_indent=initial_indent,
        subsequent_indent=subsequent_indent,
        break_on_hyphens=break_on_hyphens,
    )
