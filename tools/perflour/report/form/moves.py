"""A table of what moved: a line's name, before, after, the move; numbers stand right, words left."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from perflour.plain import one_line
from perflour.report.form.columns import Frame, columns
from perflour.report.form.markdown import markdown_table
from perflour.report.form.signs import WORD_JOINER, unbroken
from perflour.system.terminal import width
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: A cell of words that is longer goes on in the next line of a terminal; a word is never cut.
WIDEST = 40
_MOVED = {"+": "more", "-": "less"}


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


def moves_text(moves: Moves, indent: int = 0) -> list[str]:
    """For a terminal: the remarks, then the table, which will stand so far in."""
    lines = list(map(one_line, moves.remarks))
    if not moves.rows:
        return lines
    words = frozenset(at for at, row in enumerate(moves.rows) if not row.is_figures)
    frame = Frame(width() - indent, WIDEST, words, dict(_looks(moves)))
    return [*lines, *columns(moves.heads, moves.cells, _align(moves), frame)]


def _looks(moves: Moves) -> Iterator[tuple[tuple[int, int], str]]:
    """More or less than before: the sign that a move of figures begins with."""
    for at, row in enumerate(moves.rows):
        if row.is_figures and row.sides[2:] and row.sides[2][:1] in _MOVED:
            yield (at, 3), _MOVED[row.sides[2][:1]]


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
