"""Panels to shapes: where each mark, line and text of a drawing stands. Numbers and texts; a template draws them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.plain import one_line
from perflour.report.form.chart.axes import Axis, axis
from perflour.report.form.chart.text import (
    Box,
    Text,
    cut,
    placed,
    width_of,
    wrapped,
)
from perflour.report.form.chart.values import (
    Panel,
    Point,
    Rows,
    band_said,
    series_of,
    told_short,
    told_whole,
)

#: A panel is as wide as a phone leaves room for; one unit is about one pixel there.
WIDTH, PLOT_HEIGHT, ROW_HEIGHT, LINE = 360.0, 190.0, 20.0, 16.0
EDGE = 8.0
MARK = 5.0
#: Of a name beside a mark, and of one at a row.
LONGEST_NAME, ROW_NAME = 110.0, 150.0
#: Between two points of one x, and the share of the way to the next x that all of them may take.
BESIDE, SHARE_OF_STEP = 13.0, 0.8
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
    keys: tuple[tuple[int, str, float, float], ...]
    marks: tuple[Mark, ...]


def look_of(at: int) -> tuple[int, str]:
    """Colour and shape of a series: with more than there are colours the shapes move on, so that no two are alike."""
    count = len(MARKS)
    return at % count, MARKS[(at + at // count) % count]


def drawn(panel: Panel | Rows) -> Drawn:
    """Where all of a panel stands."""
    return _drawn_rows(panel) if isinstance(panel, Rows) else _drawn_panel(panel)


class _Page:
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

    def leave(self, height: float) -> float:
        """Room below; where it begins."""
        top = self.y
        self.y += height
        return top


def _keys(page: _Page, names: Sequence[str]) -> Iterator[tuple[int, str, float, float]]:
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


def _told(panel: Panel | Rows) -> str:
    """What a drawing shows, for those who do not see it."""
    there = [point for point in panel.points if point.is_there]
    gaps = len(panel.points) - len(there)
    ends = f"; bars: {panel.interval}" if any(point.ends for point in there) else ""
    return f"{len(there)} point{'' if len(there) == 1 else 's'}{f', {gaps} without a value' if gaps else ''}{ends}"


def _drawn_panel(panel: Panel) -> Drawn:
    page = _Page()
    page.say(panel.title, "head")
    for note in panel.notes:
        page.say(note, "soft", most=3)
    names = series_of(panel.points)
    keys = tuple(_keys(page, names)) if len(names) > 1 or panel.joined else ()
    there = [point for point in panel.points if point.is_there]
    up = _value_axis(there, most=5, limits=panel.limits, zero=panel.zero)
    begins = "" if up.low <= 0 <= up.high else f" (axis from {up.said(up.low)}, not from 0)"
    page.say(one_line(panel.y) + begins)
    said_y = page.leave(LINE) + LINE
    top = page.leave(PLOT_HEIGHT + 12) + 12
    bottom = page.y
    left = EDGE + max(width_of(up.said(tick)) for tick in up.ticks) + 4
    area = Box(left + 8, top, WIDTH - EDGE - 6, bottom)
    page.texts += [Text(left, up.at(t, bottom, top) + 4, up.said(t), "end", "soft") for t in up.ticks]  # fmt: skip
    rules = tuple(f"M{left + 4:.1f} {up.at(t, bottom, top):.1f}H{WIDTH - EDGE:.1f}" for t in up.ticks)  # fmt: skip
    page.y += LINE + 4
    along, said_ticks = _along(panel, there, area, page.y)
    page.texts += said_ticks
    if panel.x:
        page.say(panel.x)
    places = _places(panel, there, along, area)
    heights = [up.at(point.y or 0.0, bottom, top) for point in there]
    stands = [
        _Stand(x, y, *(up.at(min(max(end, up.low), up.high), bottom, top) for end in point.ends or ()))
        for point, x, y in zip(there, places, heights, strict=True)
    ]  # fmt: skip
    marks = _marks(panel, there, names, stands, said_y, area)
    lines = tuple(_lines(panel, names, there, places, heights)) if panel.joined else ()
    zero = f"M{left + 4:.1f} {up.at(0, bottom, top):.1f}H{WIDTH - EDGE:.1f}" if panel.zero else ""
    return Drawn(one_line(panel.title), _told(panel), page.y + 8, tuple(page.texts), rules, zero, None, lines, keys, marks)  # fmt: skip


def _value_axis(
    points: Sequence[Point],
    most: int,
    *,
    limits: tuple[float, float] | None = None,
    zero: bool = False,
    also: Sequence[float] = (),
) -> Axis:
    values = [v for p in points for v in (p.y, *(p.ends or ())) if v is not None]
    return axis([*values, *also], most, limits=limits, zero=zero)


def _along(panel: Panel, points: Sequence[Point], area: Box, y: float) -> tuple[Axis, list[Text]]:
    """The axis of x, with the texts of its ticks: as many as stand beside each other."""
    if panel.levels:
        along = Axis(-0.5, len(panel.levels) - 0.5, tuple(map(float, range(len(panel.levels)))), 0)
        room = (area.right - area.left) / len(panel.levels)
        every = max(1, -(-24 // int(max(room, 1))))
        names = [cut(one_line(name), room * every - 6) for name in panel.levels]
        shown = [(float(at), name) for at, name in enumerate(names) if at % every == 0]
    else:
        xs = [point.x for point in panel.points if point.is_there or panel.whole]
        xs += panel.span or ()
        limits = (min(xs) - 0.5, max(xs) + 0.5) if panel.whole and xs else None
        for most in (12, 9, 7, 5, 4, 3, 2, 1):
            along = axis(xs, most, limits=limits, whole=panel.whole, tight=True)
            shown = [(tick, along.said(tick)) for tick in along.ticks]
            wide = max((width_of(text) for _, text in shown), default=0.0) + 8
            if wide * len(shown) <= area.right - area.left or most == 1:
                break
    texts = [Text(along.at(tick, area.left, area.right), y, text, "middle", "soft") for tick, text in shown]  # fmt: skip
    return along, [_kept_in(text) for text in texts if text.text]


def _kept_in(text: Text) -> Text:
    """A text at the edge, moved so far that it is whole."""
    over = max(0.0, text.box.right - WIDTH)
    return text._replace(x=text.x - over)


def _places(panel: Panel, points: Sequence[Point], along: Axis, area: Box) -> list[float]:
    """The places of points along x; of those that share one of whole numbers each beside the other."""
    places = [along.at(point.x, area.left, area.right) for point in points]
    if not (panel.whole or panel.levels) or panel.joined:
        return places
    step = (area.right - area.left) / (along.high - along.low) * SHARE_OF_STEP
    together: dict[float, list[int]] = {}
    for at, point in enumerate(points):
        together.setdefault(point.x, []).append(at)
    for those in together.values():
        apart = min(BESIDE, step / len(those))
        for rank, at in enumerate(those):
            places[at] += (rank - (len(those) - 1) / 2) * apart
    return places


class _Stand(NamedTuple):
    """Where a point stands, and the ends of its interval."""

    x: float
    y: float
    low: float | None = None
    high: float | None = None

    @property
    def mark(self) -> Box:
        return Box(self.x - MARK, self.y - MARK, self.x + MARK, self.y + MARK)

    @property
    def box(self) -> Box:
        """The mark with its interval."""
        low, high = self.y if self.low is None else self.low, self.y if self.high is None else self.high  # fmt: skip
        mark = self.mark
        return mark._replace(top=min(high, mark.top), bottom=max(low, mark.bottom))

    @property
    def interval(self) -> str:
        """The interval upright, with its ends."""
        if self.low is None or self.high is None:
            return ""
        x, low, high = self.x, self.low, self.high
        return f"M{x - 3:.1f} {low:.1f}h6M{x:.1f} {low:.1f}V{high:.1f}M{x - 3:.1f} {high:.1f}h6"


def _marks(
    panel: Panel,
    points: Sequence[Point],
    names: Sequence[str],
    stands: Sequence[_Stand],
    said_y: float,
    area: Box,
) -> tuple[Mark, ...]:
    """The points, with the names for which there is room."""
    asked = list(zip(_names(panel, points, stands), [s.mark for s in stands], strict=True))
    shown = placed(asked, [stand.box for stand in stands], area, LONGEST_NAME)
    return tuple(
        Mark(
            *look_of(names.index(point.series)),
            stand.x,
            stand.y,
            stand.interval,
            name,
            _said(panel, point, said_y),
            told_whole(panel, point),
        )
        for point, stand, name in zip(points, stands, shown, strict=True)
    )


def _said(panel: Panel | Rows, point: Point, y: float) -> Text:
    return Text(EDGE, y, cut(told_short(panel, point), WIDTH - 2 * EDGE))


def _names(panel: Panel, points: Sequence[Point], stands: Sequence[_Stand]) -> list[str]:
    """What is to stand beside each mark: marks on one another share it, a line has its name above."""
    if panel.joined:
        return [""] * len(points)
    there: dict[tuple[int, int], list[str]] = {}
    places = [(round(stand.x), round(stand.y)) for stand in stands]
    for point, place in zip(points, places, strict=True):
        there.setdefault(place, []).append(one_line(point.name))
    told = {place: ", ".join(dict.fromkeys(filter(None, said))) for place, said in there.items()}
    return [told.pop(place, "") for place in places]


def _lines(
    panel: Panel,
    names: Sequence[str],
    there: Sequence[Point],
    xs: Sequence[float],
    ys: Sequence[float],
) -> Iterator[tuple[int, str]]:
    """One path a series, begun anew behind each gap."""
    at = {id(point): place for point, place in zip(there, zip(xs, ys, strict=True), strict=True)}
    for number, name in enumerate(names):
        path, pen = "", "M"
        for point in sorted((p for p in panel.points if p.series == name), key=lambda p: p.x):
            if id(point) in at:
                x, y = at[id(point)]
                path += f"{pen}{x:.1f} {y:.1f}"
            pen = "L" if id(point) in at else "M"
        yield look_of(number)[0], path


def _drawn_rows(panel: Rows) -> Drawn:
    page = _Page()
    page.say(panel.title, "head")
    for note in panel.notes:
        page.say(note, "soft", most=3)
    there = [point for point in panel.points if point.is_there]
    also = (panel.band.low, panel.band.high) if panel.band else ()
    across = _value_axis(there, most=4, zero=panel.zero, also=also)
    begins = "" if across.low <= 0 <= across.high else f" (axis from {across.said(across.low)}, not from 0)"  # fmt: skip
    page.say(one_line(panel.y) + begins)
    if panel.band:
        page.say(f"shaded: {band_said(panel.band)}", "soft")
    said_y = page.leave(LINE) + LINE
    top = page.leave(ROW_HEIGHT * len(panel.points)) + 8
    page.y += 8
    wide = max((width_of(one_line(p.name)) for p in panel.points), default=0.0)
    left = EDGE + min(wide, ROW_NAME) + 12
    right = WIDTH - EDGE - max(width_of(across.said(tick)) for tick in across.ticks) / 2
    names = series_of(panel.points)
    marks = []
    for row, point in enumerate(panel.points):
        y = top + ROW_HEIGHT * (row + 0.5)
        page.texts.append(Text(EDGE, y + 4, cut(one_line(point.name), ROW_NAME)))
        if point.is_there:
            marks.append(_row_mark(panel, point, look_of(names.index(point.series)), across, (left, right, y), said_y))  # fmt: skip
        else:
            page.texts.append(Text(left, y + 4, "no value", look="soft"))
    ticks = [(tick, across.at(tick, left, right)) for tick in across.ticks]
    page.y += LINE
    page.texts += _apart(
        [Text(x, page.y, across.said(tick), "middle", "soft") for tick, x in ticks]
    )
    rules = tuple(
        f"M{x:.1f} {top:.1f}V{top + ROW_HEIGHT * len(panel.points):.1f}" for _, x in ticks
    )
    end = top + ROW_HEIGHT * len(panel.points)
    band = Box(across.at(panel.band.low, left, right), top, across.at(panel.band.high, left, right), end) if panel.band else None  # fmt: skip
    zero = f"M{across.at(0, left, right):.1f} {top:.1f}V{end:.1f}" if panel.zero else ""
    return Drawn(one_line(panel.title), _told(panel), page.y + 8, tuple(page.texts), rules, zero, band, (), (), tuple(marks))  # fmt: skip


def _row_mark(
    panel: Rows,
    point: Point,
    look: tuple[int, str],
    across: Axis,
    where: tuple[float, float, float],
    said_y: float,
) -> Mark:
    left, right, y = where
    x = across.at(point.y or 0.0, left, right)
    low, high = (across.at(end, left, right) for end in point.ends or (point.y or 0.0,) * 2)
    bar = f"M{low:.1f} {y - 3:.1f}v6M{low:.1f} {y:.1f}H{high:.1f}M{high:.1f} {y - 3:.1f}v6" if point.ends else ""  # fmt: skip
    return Mark(*look, x, y, bar, None, _said(panel, point, said_y), told_whole(panel, point))


def _apart(texts: Sequence[Text]) -> list[Text]:
    """The texts of a line that stand clear of the one before; the others go."""
    kept: list[Text] = []
    for text in texts:
        if not kept or text.box.left > kept[-1].box.right + 2:
            kept.append(text)
    return kept
