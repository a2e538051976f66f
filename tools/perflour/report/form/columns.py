"""Rows to aligned columns that fit the terminal; each text on its own line whatever stands in it.

In a table that is too wide texts go on in further lines, and numbers stay whole. Where a column would be too
narrow to be read, the table is turned on its side: a block for each row, a line for each cell. Nothing is cut
off. A table library would align as well, but turns none.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest
from types import MappingProxyType

from perflour.plain import one_line
from perflour.report.form.cells import bound, cells, longest_word, padded, wrap
from perflour.system.terminal import USUAL_WIDTH, line_room, painted, width
from perflour.tuples import NamedTuple

__all__ = ["Frame", "Laid", "columns", "hung", "laid_out", "prose_width", "room_of", "wrap"]

GAP = "  "
#: Narrower no text is set in a column, as long as it is no shorter by itself.
NARROWEST = 9
#: What goes on in a further line of a name stands so far in.
_FURTHER = "  "
#: By row and column, from 0, the look of a cell (`perflour.system.terminal`).
Looks = Mapping[tuple[int, int], str]


class Laid(NamedTuple):
    """The head of a table, empty where it is turned on its side, and the lines of each row."""

    head: list[str]
    rows: list[list[str]]

    @property
    def lines(self) -> list[str]:
        return [*self.head, *(line for row in self.rows for line in row)]


class Frame(NamedTuple):
    """How a table is set: how wide it may be, as the terminal where ``room`` is not said, and how wide a column.

    ``words`` are rows, from 0, that stand left in every column; ``looks`` are those of cells by row and column.
    """

    room: int | None = None
    widest: int = sys.maxsize
    words: frozenset[int] = frozenset()
    looks: Looks = MappingProxyType({})

    @property
    def cells(self) -> int:
        return width() if self.room is None else self.room


#: As wide as the terminal.
FITTING = Frame()


def room_of(wide: bool) -> int | None:
    """The room of a table that is to be ``wide``, as wide as it comes, or to fit the terminal."""
    return sys.maxsize if wide else None


def prose_width() -> int:
    """How wide sentences are set: to be read with ease, and no wider than the terminal."""
    return min(USUAL_WIDTH, width())


def hung(text: str, further: str = "  ") -> list[str]:
    """A sentence in lines as long as the terminal's, those after its first so far in; elsewhere in one."""
    text, room = one_line(text), line_room()
    if cells(text) <= room:
        return [text]
    indent = " " * _indent(text)
    return wrap(text.lstrip(" "), room, indent, indent + further, break_on_hyphens=False)


def columns(
    headers: Sequence[str], rows: Sequence[Sequence[str]], align: str, frame: Frame = FITTING
) -> list[str]:
    """Lines of a table; ``align`` has one sign a column, ``<`` left or ``>`` right."""
    return laid_out(headers, rows, align, frame).lines


def laid_out(
    headers: Sequence[str], rows: Sequence[Sequence[str]], align: str, frame: Frame = FITTING
) -> Laid:
    """The same, row by row, for a report that says something below each."""
    head, *body = [[one_line(cell) for cell in row] for row in (headers, *rows)]
    signs = ["<" * len(align) if at in frame.words else align for at in range(len(body))]
    fit = _that_fit(head, body, signs, frame, False) or _that_fit(head, body, signs, frame, True)
    looks = [
        {c: look for (r, c), look in frame.looks.items() if r == at} for at in range(len(body))
    ]
    if fit is None:
        turned = [_turned(head, row, frame.cells, of) for row, of in zip(body, looks, strict=True)]
        return Laid([], turned)
    lines = [*_row(head, align, fit, {}), GAP.join("-" * each for each in fit.widths)]
    told = zip(body, signs, looks, strict=True)
    return Laid(lines, [_row(row, sign, fit, of) for row, sign, of in told])


class _Fit(NamedTuple):
    """How wide each column is, and whether ids are parted at their hyphens for that."""

    widths: list[int]
    at_hyphens: bool


def _that_fit(
    head: Sequence[str],
    body: Sequence[Sequence[str]],
    signs: Sequence[str],
    frame: Frame,
    at_hyphens: bool,
) -> _Fit | None:
    """The columns, the widest made narrower first; None where one would be too narrow."""
    columns = list(zip(head, *body, strict=True))
    widths = [max(_cells_at_most(cell, frame.widest) for cell in column) for column in columns]
    over = sum(widths) + len(GAP) * (len(widths) - 1) - frame.cells
    least = [
        _least(column, [sign[at] for sign in signs], at_hyphens, len(_further(at)))
        for at, column in enumerate(columns if over > 0 else ())
    ]
    while over > 0:
        at = max(range(len(widths)), key=lambda n: (widths[n] > least[n], widths[n]))
        if widths[at] <= least[at]:
            return None
        widths[at] -= 1
        over -= 1
    return _Fit(widths, at_hyphens)


def _cells_at_most(cell: str, widest: int) -> int:
    """How wide a cell is, in several lines where one would be wider than ``widest``."""
    return max(map(cells, _parted(cell, widest, 1)))


def _least(column: Sequence[str], signs: Sequence[str], at_hyphens: bool, further: int) -> int:
    """How narrow a column may be: a number is never parted, words and what stands above are."""
    head, *body = column
    numbers = [cells(cell) for cell, sign in zip(body, signs, strict=True) if sign == ">"]
    texts = [head, *(cell for cell, sign in zip(body, signs, strict=True) if sign == "<")]
    words = max(
        longest_word(text.strip(" "), at_hyphens, further) + _indent(text) for text in texts
    )
    least = words if numbers else max(words, NARROWEST)
    return min(max(least, *numbers, 1), max(map(cells, column)))


def _further(at: int) -> str:
    """How far in a cell of the column goes on: names do, so that none is taken for a row."""
    return _FURTHER if at == 0 else ""


def _indent(cell: str) -> int:
    return len(cell) - len(cell.lstrip(" "))


def _row(row: Sequence[str], align: str, fit: _Fit, looks: Mapping[int, str]) -> list[str]:
    """The lines of a row; a cell that takes several goes on below itself."""
    widths = fit.widths
    parted = [
        _parted(cell, to, at, fit.at_hyphens)
        for at, (cell, to) in enumerate(zip(row, widths, strict=True))
    ]
    return [
        GAP.join(
            _shown(piece, sign, to, looks.get(at, ""))
            for at, (piece, sign, to) in enumerate(zip(line, align, widths, strict=True))
        ).rstrip()
        for line in zip_longest(*parted, fillvalue="")
    ]


def _shown(piece: str, sign: str, to: int, look: str) -> str:
    """A piece of a cell in its column; what is painted is as wide as before."""
    if not look:
        return padded(piece, to, sign)
    shown = padded(piece, to, sign)
    bare = shown.strip(" ")
    return shown.replace(bare, painted(bare, look), 1) if bare else shown


def _parted(cell: str, to: int, at: int, at_hyphens: bool = False) -> list[str]:
    if cells(cell) <= to:
        return [cell]
    indent = " " * _indent(cell)
    lines = wrap(bound(cell.lstrip(" ")), to, indent, indent + _further(at), at_hyphens, False)
    return [line.replace("\u00a0", " ") for line in lines]


def _turned(
    head: Sequence[str], row: Sequence[str], room: int, looks: Mapping[int, str]
) -> list[str]:
    """A row by itself: its first cell, then each other that is not empty, with what stands above it."""
    said = [(name, cell, looks.get(at, "")) for at, (name, cell) in enumerate(zip(head, row, strict=True)) if cell.strip()]  # fmt: skip
    if not said:
        return [""]
    (name, first, look), *others = said
    indent = " " * _indent(first)
    label = max((cells(name) for name in head[1:] if cells(name) <= room // 2), default=0)
    lines = list(_labelled(name, first.strip(), look, cells(name), indent, room))
    for name, cell, look in others:
        lines += _labelled(name, cell.strip(), look, label, indent + _FURTHER, room)
    return lines


def _labelled(name: str, cell: str, look: str, label: int, indent: str, room: int) -> Iterator[str]:
    """What stands above a cell, then the cell, in lines of one width."""
    before = f"{indent}{padded(name, label)}{GAP}" if name or label else indent
    least = max(longest_word(cell), min(cells(cell), NARROWEST))
    if before != indent and (cells(name) > label or room - cells(before) < least):
        yield from _lines(name, room - len(indent), indent)
        before = indent + _FURTHER
    for at, line in enumerate(_lines(cell, max(room - cells(before), 1))):
        yield (before if at == 0 else " " * cells(before)) + (painted(line, look) if look else line)


def _lines(text: str, room: int, indent: str = "") -> list[str]:
    """The lines of a text in which no word is parted."""
    lines = wrap(bound(text), max(room, 1), break_on_hyphens=False, break_long_words=False)
    return [indent + line.replace("\u00a0", " ") for line in lines]
