"""A text as it is in an editor: its lines, places in it by line and column, and its edits.

Everything here counts signs from the start of the text. Editors count lines and, within a line, units of the
encoding that was agreed on; YAML's readers and our places count signs within a line, from 1.
"""

import re
from bisect import bisect_right
from typing import Literal, NamedTuple

Units = Literal["utf-8", "utf-16", "utf-32"]

#: What ends a line to the protocol; Python and YAML know some more, which no file of ours may hold.
_LINE_END = re.compile("\r\n|\n|\r")
_BOM = "\ufeff"


class Span(NamedTuple):
    """A stretch of a text, by signs from its start."""

    start: int
    end: int

    def holds(self, at: int) -> bool:
        """Whether a cursor at a place touches it."""
        return self.start <= at <= self.end

    def touches(self, other: "Span") -> bool:
        return self.start <= other.end and other.start <= self.end


class Position(NamedTuple):
    """A place as an editor says it: line from 0, column in units of an encoding."""

    line: int
    column: int


class Edit(NamedTuple):
    """A stretch of a text that becomes another."""

    span: Span
    new: str


class Text(NamedTuple):
    """One version of a text; ``starts`` are where its lines begin."""

    content: str
    starts: tuple[int, ...]

    @property
    def has_mark(self) -> bool:
        """Whether it begins with a byte order mark, which no reader counts."""
        return self.content.startswith(_BOM)

    @property
    def usual_end(self) -> str:
        """How its lines end."""
        return "\r\n" if "\r\n" in self.content else "\n"

    def line_end(self, line: int) -> int:
        """Where the signs of a line end, before what ends it."""
        if line + 1 == len(self.starts):
            return len(self.content)
        end = self.starts[line + 1]
        return end - (2 if self.content[end - 2 : end] == "\r\n" else 1)

    def line_at(self, at: int) -> int:
        return bisect_right(self.starts, at) - 1

    def line_of(self, at: int) -> str:
        """The line that a place is on, without its end."""
        line = self.line_at(at)
        return self.content[self.starts[line] : self.line_end(line)]

    def position(self, at: int, units: Units) -> Position:
        at = min(max(at, 0), len(self.content))
        line = self.line_at(at)
        return Position(line, _width(self.content[self.starts[line] : at], units))

    def offset(self, position: Position, units: Units) -> int:
        """The sign at a position; beyond a line its end, beyond the text the end of all."""
        if position.line >= len(self.starts):
            return len(self.content)
        start = self.starts[max(position.line, 0)]
        return start + _signs(
            self.content[start : self.line_end(max(position.line, 0))], position.column, units
        )

    def of_place(self, line: int, column: int) -> int:
        """The sign at a line and column of our results, from 1."""
        if line > len(self.starts):
            return len(self.content)
        first = line - 1
        mark = 1 if first == 0 and self.has_mark else 0
        return min(self.starts[first] + column - 1 + mark, self.line_end(first))

    def of_node(self, node: object) -> Span:
        """Where a node of its document stands."""
        mark = 1 if self.has_mark else 0
        start, end = node.start_mark.index, node.end_mark.index  # type: ignore[attr-defined]
        return Span(start + mark, end + mark)

    def encoded(self) -> bytes:
        """As a file: half of a pair, which some editors let stand, is no UTF-8, and lint says so."""
        return self.content.encode("utf-8", "surrogatepass")


def text_of(content: str) -> Text:
    return Text(content, (0, *(found.end() for found in _LINE_END.finditer(content))))


def changed(text: Text, edit: Edit) -> Text:
    """The text after one edit."""
    start, end = sorted(edit.span)
    return text_of(text.content[:start] + edit.new + text.content[end:])


def applied(text: Text, edits: tuple[Edit, ...]) -> Text:
    """The text after edits that all count from it, and do not overlap."""
    content = text.content
    for span, new in sorted(edits, reverse=True):
        content = content[: span.start] + new + content[span.end :]
    return text_of(content)


def becoming(text: Text, after: str) -> tuple[Edit, ...]:
    """The least stretch of a text that has to be replaced so that it becomes another; none where it is that."""
    before = text.content
    if before == after:
        return ()
    most = min(len(before), len(after))
    same = next((n for n in range(most) if before[n] != after[n]), most)
    start = text.starts[text.line_at(same)]  # whole lines: no line end of two signs is cut
    left = most - start
    same = next((n for n in range(left) if before[-1 - n] != after[-1 - n]), left)
    end = len(before) - same
    if end not in text.starts:
        end = next((at for at in text.starts if at > end), len(before))
    return (Edit(Span(start, end), after[start : len(after) - (len(before) - end)]),)


def _width(signs: str, units: Units) -> int:
    if units == "utf-32" or signs.isascii():
        return len(signs)
    encoding = "utf-16-le" if units == "utf-16" else "utf-8"
    return len(signs.encode(encoding, "surrogatepass")) // (2 if units == "utf-16" else 1)


def _signs(line: str, units_in: int, units: Units) -> int:
    """How many whole signs of a line lie before a column."""
    if units == "utf-32" or line.isascii():
        return min(max(units_in, 0), len(line))
    width = 0
    for number, sign in enumerate(line):
        width += _width(sign, units)
        if width > units_in:
            return number
    return len(line)
