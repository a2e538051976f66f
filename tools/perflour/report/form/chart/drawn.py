"""What a panel becomes: shapes and texts with their places, which a template draws; and what all panels share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.plain import one_line
from perflour.report.form.chart.axes import Axis, axis
from perflour.report.form.chart.text import Box, Text, cut, width_of, wrapped
from perflour.report.form.chart.values import Panel, Point, Rows, series_of, told_short
from perflour.tuples import NamedTuple

#: A panel is as wide as a phone leaves room for; one unit is about one pixel there.
WIDTH, EDGE, LINE = 360.0, 8.0, 16.0
#: From the middle of a mark to its edge, and to where its name or a number stands on its line.
MARK, TO_LINE = 5.0, 4.0
#: Shapes around their middle, one a series; ``chart.css`` has a colour and a dash for each.
MARKS = (
    "M-4.5 0a4.5 4.5 0 1 0 9 0a4.5 4.5 0 1 0-9 0z",
    "M-4-4h8v8h-8z",
    "M0-5.2L5 3.8H-5z",
    "M0-5.5L5 0L0 5.5L-5 0z",
    "M0 5.2L5-3.8H-5z",
    "M-1.7-5h3.4v3.3h3.3v3.4h-3.3v3.3h-3.4v-3.3h-3.3v-3.4h3.3z",
    "M-5-2.6L-2.6-5L0-2.4L2.6-5L5-2.6L2.4 0L5 2.6L2.6 5L0 2.4L-2.6 5L-5 2.6L-2.4 0z",
)


class Mark(NamedTuple):
    """A point as drawn: its shape and interval, its name if there is room, and what is said of it on demand."""

    look: int
    shape: str
    x: float
    y: float
    interval: str
    name: Text | None
    said: Text
    whole: str


#: Colour, shape and place of a sign that stands before the name of its series.
Key = tuple[int, str, float, float]


class Drawn(NamedTuple):
    """A panel as drawn."""

    title: str
    told: str
    height: float
    texts: tuple[Text, ...]
    rules: tuple[str, ...]
    zero: str
    band: Box | None
    lines: tuple[tuple[int, str], ...]
    keys: tuple[Key, ...]
    marks: tuple[Mark, ...]


def look_of(at: int) -> tuple[int, str]:
    """Colour and shape of a series: with more than there are colours the shapes move on, so that no two are alike."""
    count = len(MARKS)
    return at % count, MARKS[(at + at // count) % count]


class Page:
    """Texts put below one another."""

    def __init__(self) -> None:
        self.texts: list[Text] = []
        self.y = 4.0

    def say(self, text: str, look: str = "", most: int = 2) -> None:
        """A text over the whole width, in lines."""
        # bold letters are wider
        room = (WIDTH - 2 * EDGE) / (1.12 if look == "head" else 1)
        for line in wrapped(one_line(text), room, most):
            self.y += LINE
            self.texts.append(Text(EDGE, self.y, line, look=look))

    def head(self, panel: Panel | Rows) -> tuple[Key, ...]:
        """Title, notes and what the marks stand for."""
        self.say(panel.title, "head")
        for note in panel.notes:
            self.say(note, "soft", most=3)
        names = series_of(panel.points)
        is_joined = isinstance(panel, Panel) and panel.joined
        return tuple(_keys(self, names)) if len(names) > 1 or (names and is_joined) else ()

    def measure(self, panel: Panel | Rows, values: Axis) -> None:
        """The name of the axis of values, and where it begins."""
        cut_off = not values.low <= 0 <= values.high
        begins = f" (axis from {values.said(values.low)}, not from 0)" if cut_off else ""
        self.say(one_line(panel.y) + begins)

    def leave(self, height: float) -> float:
        """Room below; where it begins."""
        top = self.y
        self.y += height
        return top


def _keys(page: Page, names: Sequence[str]) -> Iterator[Key]:
    """Marks with the names of their series, as many on a line as there is room for."""
    x, sign = EDGE, 30.0
    page.y += LINE
    for at, name in enumerate(names):
        text = cut(one_line(name) or "no name", WIDTH - 2 * EDGE - sign)
        wide = sign + width_of(text)
        if x > EDGE and x + wide > WIDTH - EDGE:
            x, page.y = EDGE, page.y + LINE
        page.texts.append(Text(x + sign, page.y, text))
        yield (*look_of(at), x + 12, page.y - 4)
        x += wide + 12


def told(panel: Panel | Rows) -> str:
    """What a drawing shows, for those who do not see it."""
    there = [point for point in panel.points if point.is_there]
    gaps = len(panel.points) - len(there)
    ends = f"; bars: {panel.interval}" if any(point.ends for point in there) else ""
    return f"{len(there)} point{'' if len(there) == 1 else 's'}{f', {gaps} without a value' if gaps else ''}{ends}"


def value_axis(
    points: Sequence[Point],
    most: int,
    *,
    limits: tuple[float, float] | None = None,
    zero: bool = False,
    also: Sequence[float] = (),
) -> Axis:
    """The axis of the values of points and their intervals, and of whatever else must be on it."""
    values = [v for p in points for v in (p.y, *(p.ends or ())) if v is not None]
    return axis([*values, *also], most, limits=limits, zero=zero)


def said(panel: Panel | Rows, point: Point, y: float) -> Text:
    """What a point says on demand, in the line kept free for that."""
    return Text(EDGE, y, cut(told_short(panel, point), WIDTH - 2 * EDGE))
