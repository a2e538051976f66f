"""Texts of a chart: how wide they are at most, cut or wrapped to the room there is, and put where nothing stands."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Iterator, Sequence

from perflour.tuples import NamedTuple

#: Of all texts, in units of the drawing; a panel as wide as a phone shows them 11 px high and more.
SIZE = 12.0
#: Widths of letters in heights of the text, those of a wide face such as DejaVu Sans, rounded up; others are narrower.
NARROW, USUAL, CAPITAL, WIDE, SQUARE = 0.42, 0.64, 0.78, 1.0, 1.05
_NARROW = frozenset("ijlftrI.,:;'|!()[] -")
_WIDE = frozenset("mwMW@%…–—→")
#: Above and below the line that a text stands on, in heights of the text.
ASCENT, DESCENT = 0.95, 0.25
MORE = "…"
#: Places are written to a tenth: what is nearer than this may meet where it is drawn.
ROUNDED = 0.2


class Box(NamedTuple):
    """What a thing covers."""

    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Box) -> bool:
        """Whether the two have anything in common."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.top < other.bottom
            and other.top < self.bottom
        )

    def grown(self, by: float) -> Box:
        """The same with so much more on each side."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def holds(self, other: Box) -> bool:
        """Whether the other lies within."""
        return (
            self.left <= other.left
            and other.right <= self.right
            and self.top <= other.top
            and other.bottom <= self.bottom
        )


class Text(NamedTuple):
    """A text where it begins, ends or has its middle (``anchor`` of SVG), on its line."""

    x: float
    y: float
    text: str
    anchor: str = "start"
    look: str = ""

    @property
    def box(self) -> Box:
        """What it covers at most."""
        wide = width_of(self.text)
        left = self.x - {"start": 0.0, "middle": wide / 2, "end": wide}[self.anchor]
        return Box(left, self.y - ASCENT * SIZE, left + wide, self.y + DESCENT * SIZE)


def width_of(text: str) -> float:
    """How wide a text is at most."""
    return sum(map(_letter, text)) * SIZE


def _letter(sign: str) -> float:
    if unicodedata.east_asian_width(sign) in "WF" or not sign.isprintable():
        return SQUARE
    if sign in _WIDE:
        return WIDE
    if sign in _NARROW:
        return NARROW
    if sign.isupper():
        return CAPITAL
    return USUAL if sign.isascii() else CAPITAL


def cut(text: str, room: float) -> str:
    """As much of a text as there is room for, with a sign that there is more."""
    if width_of(text) <= room:
        return text
    kept, wide = 0, width_of(MORE)
    for sign in text:
        wide += width_of(sign)
        if wide > room:
            break
        kept += 1
    return text[:kept].rstrip() + MORE


def wrapped(text: str, room: float, most: int = 2) -> list[str]:
    """A text in lines; the last of ``most`` is cut where there is more."""
    lines: list[str] = []
    words = text.split()
    while words and len(lines) < most - 1:
        taken = 1
        while taken < len(words) and width_of(" ".join(words[: taken + 1])) <= room:
            taken += 1
        lines.append(cut(" ".join(words[:taken]), room))
        words = words[taken:]
    return [*lines, cut(" ".join(words), room)] if words else lines


def placed(
    names: Sequence[tuple[str, Box]], taken: Iterable[Box], within: Box, longest: float
) -> list[Text | None]:
    """For each name with its mark a place where nothing stands yet; None where there is none.

    First come, first served: whoever finds no room is told by what a pointer, the keyboard and the table show.
    """
    standing = list(taken)
    found: list[Text | None] = []
    for name, mark in names:
        free = (
            one
            for one in _around(cut(name, longest), mark)
            if name
            and within.holds(one.box)
            and not any(map(one.box.grown(ROUNDED).meets, standing))
        )
        chosen = next(free, None)
        if chosen:
            standing.append(chosen.box)
        found.append(chosen)
    return found


def _around(name: str, mark: Box) -> Iterator[Text]:
    """Beside, above and below a mark, and at its corners."""
    middle = (mark.left + mark.right) / 2
    level = (mark.top + mark.bottom) / 2 + (ASCENT - DESCENT) / 2 * SIZE
    above, below = mark.top - DESCENT * SIZE - 1, mark.bottom + ASCENT * SIZE + 1
    yield Text(mark.right + 2, level, name, look="name")
    yield Text(mark.left - 2, level, name, "end", "name")
    yield Text(middle, above, name, "middle", "name")
    yield Text(middle, below, name, "middle", "name")
    for height in (above, below):
        yield Text(mark.right, height, name, look="name")
        yield Text(mark.left, height, name, "end", "name")
