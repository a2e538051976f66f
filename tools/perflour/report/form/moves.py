"""A table of what moved: a line's name, before, after, the move; numbers stand right, words left."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Callable, Sequence
from itertools import zip_longest
from typing import Any, NamedTuple

from perflour.plain import one_line
from perflour.report.form.columns import columns
from perflour.report.form.markdown import markdown_table
from perflour.report.form.signs import WORD_JOINER, unbroken

#: A cell of words that is longer goes on in the next line of a terminal; a word is never cut.
WIDEST = 40


class Row(NamedTuple):
    """The name of a line and what stands beside it; ``is_figures`` where that is compared digit by digit."""

    name: str
    sides: tuple[str, ...]
    is_figures: bool = False


def figures(name: str, *sides: str) -> Row:
    """A row of numbers: before, after, and the move where there is one."""
    return Row(name, sides, True)


def words(name: str, *sides: str) -> Row:
    """The same of words."""
    return Row(name, sides)


class Moves(NamedTuple):
    """Rows under their heads, three or four; ``remarks`` say how the rows are to be read."""

    heads: Sequence[str] = ()
    rows: Sequence[Row] = ()
    remarks: Sequence[str] = ()

    @property
    def is_empty(self) -> bool:
        return not self.rows and not self.remarks

    @property
    def has_figures(self) -> bool:
        return any(row.is_figures for row in self.rows)

    @property
    def cells(self) -> list[tuple[str, ...]]:
        """What stands in each row, one cell a head."""
        return [tuple(map(one_line, self._filled(row))) for row in self.rows]

    def _filled(self, row: Row) -> tuple[str, ...]:
        cells = (row.name, *row.sides, "", "", "")
        return cells[: len(self.heads)]


def moves_text(moves: Moves) -> list[str]:
    """For a terminal: the remarks, then the table."""
    lines = list(map(one_line, moves.remarks))
    if not moves.rows:
        return lines
    wrapped = [[_wrapped(cell) for cell in cells] for cells in moves.cells]
    widths = [
        max(len(head), *(len(line) for row in wrapped for line in row[at]))
        for at, head in enumerate(moves.heads)
    ]
    body = [
        # a cell as wide as its column stands the same, left or right
        [line if row.is_figures else line.ljust(width) for line, width in zip(said, widths, strict=True)]
        for row, cells in zip(moves.rows, wrapped, strict=True)
        for said in zip_longest(*cells, fillvalue="")
    ]  # fmt: skip
    return [*lines, *columns(moves.heads, body, _align(moves))]


def _wrapped(cell: str) -> list[str]:
    """Its lines; none ends between a number and its unit."""
    bound = re.sub(r"(?<=\d) (?=g\b|%)", "\u00a0", cell)
    lines = textwrap.wrap(bound, WIDEST, break_long_words=False, break_on_hyphens=False)
    return [line.replace("\u00a0", " ") for line in lines] or [""]


def _align(moves: Moves) -> str:
    return "<".ljust(len(moves.heads), ">" if moves.has_figures else "<")


def moves_markdown(moves: Moves, shown: Callable[[str], str]) -> list[str]:
    """The table with its texts as ``shown`` makes them, a blank line behind it; the remarks are the caller's."""
    if not moves.rows:
        return []
    return [*markdown_table([*map(shown, moves.heads)], moves.cells, shown, _align(moves)), ""]


def moves_html(moves: Moves) -> dict[str, Any]:
    """What `moves.html` makes a table of; beside figures, words with no move have its room as well."""
    with_change = moves.has_figures and len(moves.heads) == 4
    return {
        "heads": list(map(one_line, moves.heads)),
        "has_figures": moves.has_figures,
        "with_change": with_change,
        "rows": [
            {
                "cells": cells[:-1] if with_change and not (row.is_figures or cells[-1]) else cells,
                "is_figures": row.is_figures,
            }
            for row, said in zip(moves.rows, moves.cells, strict=True)
            for cells in [tuple(map(_bound, said))]
        ],
        "remarks": list(map(one_line, moves.remarks)),
    }


def _bound(cell: str) -> str:
    """A number stays with its unit; no sign that a terminal would show as its escape."""
    return unbroken(cell).replace(WORD_JOINER, "")
