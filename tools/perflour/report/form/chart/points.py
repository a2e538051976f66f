"""Points over a number: where the marks of such a panel stand, their intervals, names and lines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.plain import one_line
from perflour.report.form.chart.axes import Axis, axis
from perflour.report.form.chart.drawn import (
    EDGE,
    LINE,
    MARK,
    TO_LINE,
    WIDTH,
    Drawn,
    Mark,
    Page,
    look_of,
    said,
    told,
    value_axis,
)
from perflour.report.form.chart.text import Box, Text, placed, width_of
from perflour.report.form.chart.values import Panel, Point, series_of, told_whole
from perflour.tuples import NamedTuple

PLOT_HEIGHT, ABOVE_PLOT = 190.0, 12.0
#: Of a name beside a mark.
LONGEST_NAME = 110.0
#: Between two points of one x, and the share of the way to the next x that all of them may take.
BESIDE, SHARE_OF_STEP = 13.0, 0.8
#: Ticks that are tried, the most first.
MOST_TICKS = (12, 9, 7, 5, 4, 3, 2, 1)


def drawn_panel(panel: Panel) -> Drawn:
    """Where all of a panel stands."""
    page = Page()
    keys = page.head(panel)
    there = [point for point in panel.points if point.is_there]
    up = value_axis(there, most=5, limits=panel.limits, zero=panel.zero)
    page.measure(panel, up)
    said_y = page.leave(LINE) + LINE
    top = page.leave(ABOVE_PLOT + PLOT_HEIGHT) + ABOVE_PLOT
    left = EDGE + max(width_of(up.said(tick)) for tick in up.ticks) + TO_LINE
    area = Box(left + 8, top, WIDTH - EDGE - 6, page.y)
    heights = {tick: up.at(tick, area.bottom, top) for tick in (*up.ticks, 0.0)}
    rules = {tick: f"M{left + 4:.1f} {y:.1f}H{WIDTH - EDGE:.1f}" for tick, y in heights.items()}
    page.texts += [Text(left, heights[t] + TO_LINE, up.said(t), "end", "soft") for t in up.ticks]
    page.y += LINE + 4
    along, said_ticks = _along(panel, area, page.y)
    page.texts += said_ticks
    if panel.x:
        page.say(panel.x)
    stands = _stands(there, _places(panel, there, along, area), up, area)
    return Drawn(
        one_line(panel.title),
        told(panel),
        page.y + 8,
        tuple(page.texts),
        rules=tuple(rules[tick] for tick in up.ticks),
        zero=rules[0.0] if panel.zero else "",
        band=None,
        lines=tuple(_lines(panel, there, stands)) if panel.joined else (),
        keys=keys,
        marks=_marks(panel, there, stands, said_y, area),
    )


def _along(panel: Panel, area: Box, y: float) -> tuple[Axis, list[Text]]:
    """The axis of x, with the texts of its ticks: as many as stand beside each other."""
    xs = [point.x for point in panel.points if point.is_there or panel.whole]
    xs += panel.span or ()
    limits = (min(xs) - 0.5, max(xs) + 0.5) if panel.whole and xs else None
    for most in MOST_TICKS:
        along = axis(xs, most, limits=limits, whole=panel.whole, tight=True)
        shown = [(tick, along.said(tick)) for tick in along.ticks]
        wide = max((width_of(text) for _, text in shown), default=0.0) + 8
        if wide * len(shown) <= area.right - area.left:
            break
    texts = [Text(along.at(tick, area.left, area.right), y, text, "middle", "soft") for tick, text in shown]  # fmt: skip
    return along, list(map(_kept_in, texts))


def _kept_in(text: Text) -> Text:
    """A text at the edge, moved so far that it is whole."""
    over = max(0.0, text.box.right - WIDTH)
    return text._replace(x=text.x - over)


def _places(panel: Panel, points: Sequence[Point], along: Axis, area: Box) -> list[float]:
    """The places of points along x; of those that share one of whole numbers each beside the other."""
    places = [along.at(point.x, area.left, area.right) for point in points]
    if not panel.whole or panel.joined:
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


def _stands(points: Sequence[Point], places: Sequence[float], up: Axis, area: Box) -> list[_Stand]:
    """Where points stand; an interval ends where the axis does."""

    def height(value: float) -> float:
        return up.at(min(max(value, up.low), up.high), area.bottom, area.top)

    return [
        _Stand(x, height(point.y or 0.0), *map(height, point.ends or ()))
        for point, x in zip(points, places, strict=True)
    ]


def _marks(
    panel: Panel,
    points: Sequence[Point],
    stands: Sequence[_Stand],
    said_y: float,
    area: Box,
) -> tuple[Mark, ...]:
    """The points, with the names for which there is room."""
    names = series_of(panel.points)
    asked = list(zip(_names(panel, points, stands), [s.mark for s in stands], strict=True))
    shown = placed(asked, [stand.box for stand in stands], area, LONGEST_NAME)
    return tuple(
        Mark(
            *look_of(names.index(point.series)),
            stand.x,
            stand.y,
            stand.interval,
            name,
            said(panel, point, said_y),
            told_whole(panel, point),
        )
        for point, stand, name in zip(points, stands, shown, strict=True)
    )


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
    panel: Panel, points: Sequence[Point], stands: Sequence[_Stand]
) -> Iterator[tuple[int, str]]:
    """One path a series, begun anew behind each gap."""
    at = {id(point): stand for point, stand in zip(points, stands, strict=True)}
    for number, name in enumerate(series_of(panel.points)):
        path, pen = "", "M"
        for point in sorted((p for p in panel.points if p.series == name), key=lambda p: p.x):
            stand = at.get(id(point))
            if stand:
                path += f"{pen}{stand.x:.1f} {stand.y:.1f}"
            pen = "L" if stand else "M"
        yield look_of(number)[0], path
