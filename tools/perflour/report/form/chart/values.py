"""What a chart is made of, in values: points with their intervals, in panels."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite

from perflour.plain import one_line

INTERVAL = "95 % interval"
GAP = "–"


@dataclass(frozen=True)
class Point:
    """One thing; ``name`` stands beside its mark where there is room for it, and whole in tooltip and table.

    ``low`` and ``high`` are the ends of the interval of ``y``, None where there is none. ``y`` None is a gap: nothing is
    known there. ``told`` is a sentence more about it, for tooltip and table.
    """

    name: str
    x: float
    y: float | None
    low: float | None = None
    high: float | None = None
    series: str = ""
    told: str = ""

    @property
    def is_there(self) -> bool:
        """Whether there is something to draw: no gap, and no number beyond all numbers."""
        return self.y is not None and isfinite(self.y) and isfinite(self.x)

    @property
    def ends(self) -> tuple[float, float] | None:
        """Both ends of the interval, where there is one."""
        if self.low is None or self.high is None or not (isfinite(self.low) and isfinite(self.high)):  # fmt: skip
            return None
        return self.low, self.high


@dataclass(frozen=True)
class Panel:
    """Points over a number, with the names of both axes, units in them.

    ``zero`` takes 0 in, as a line. ``limits`` are the ends
    of y where its scale has ends. ``whole``: x counts things, from the first to the last of ``span`` if given; of several points at one x each stands beside the
    other. ``joined``: the points of a series are one line, broken where one is a gap; the series is their name.
    ``interval`` says what the intervals are, ``notes`` what else must be known.
    """

    title: str
    x: str
    y: str
    points: tuple[Point, ...]
    zero: bool = False
    limits: tuple[float, float] | None = None
    whole: bool = False
    span: tuple[int, int] | None = None
    joined: bool = False
    interval: str = INTERVAL
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Band:
    """A range behind the rows, with what it is."""

    name: str
    low: float
    high: float


@dataclass(frozen=True)
class Rows:
    """One named row a point, its ``y`` to the right: ``x`` of the points is not looked at.

    ``y`` names the axis; ``band`` is a usual range behind all rows; ``zero`` takes 0 in, as a line.
    """

    title: str
    y: str
    points: tuple[Point, ...]
    band: Band | None = None
    zero: bool = False
    interval: str = INTERVAL
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Table:
    """The figures of a panel."""

    title: str
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    notes: tuple[str, ...] = ()


def figure(value: float) -> str:
    """A value to four digits, which is more than a drawing shows."""
    if not isfinite(value):
        return GAP
    return f"{value:,.0f}" if abs(value) >= 10_000 else f"{value or 0.0:.4g}"


def interval_said(point: Point) -> str:
    """Both ends in words; empty without an interval."""
    return " to ".join(map(figure, point.ends)) if point.ends else ""


def y_said(point: Point) -> str:
    """The value of a point; a dash for a gap."""
    return figure(point.y) if point.y is not None and point.is_there else GAP


def series_of(points: Iterable[Point]) -> list[str]:
    """The names of the series, in order of their first points."""
    return list(dict.fromkeys(point.series for point in points))


def table_of(panel: Panel | Rows) -> Table:
    """The same figures as the drawing's, for those who read rather than look."""
    if isinstance(panel, Panel) and panel.joined:
        return _joined_table(panel)
    points = panel.points
    shown = [
        ("", [one_line(p.name) for p in points]),
        ("series", [one_line(p.series) for p in points]),
        *([(panel.x or "x", [figure(p.x) for p in points])] if isinstance(panel, Panel) else []),
        (panel.y, [y_said(p) for p in points]),
        (panel.interval, [interval_said(p) for p in points]),
        ("remark", [one_line(p.told) for p in points]),
    ]  # fmt: skip
    kept = [(head, cells) for head, cells in shown if any(cells)]
    notes = panel.notes
    if isinstance(panel, Rows) and panel.band:
        notes = (band_said(panel.band), *notes)
    rows = tuple(zip(*(cells for _, cells in kept), strict=True))
    return Table(panel.title, tuple(head for head, _ in kept), rows, notes)


def band_said(band: Band) -> str:
    """A band in words."""
    return f"{one_line(band.name)}: {figure(band.low)} to {figure(band.high)}"


def _joined_table(panel: Panel) -> Table:
    """One row a place of x, one column a series."""
    by_place: dict[float, dict[str, str]] = {}
    for point in panel.points:
        by_place.setdefault(point.x, {})[point.series] = y_said(point)
    names = series_of(panel.points)
    rows = tuple(
        (figure(x), *(said.get(name, GAP) for name in names))
        for x, said in sorted(by_place.items())
    )
    return Table(f"{panel.title}: {panel.y}", (panel.x, *map(one_line, names)), rows, panel.notes)


def told_whole(panel: Panel | Rows, point: Point) -> str:
    """All about a point in a line: what a tooltip shows and a screen reader says."""
    names = dict.fromkeys(text for text in (point.name, point.series) if text)
    said = [", ".join(names)]
    if isinstance(panel, Panel):
        said.append(f"{panel.x}: {figure(point.x)}" if panel.x else figure(point.x))
    said.append(f"{panel.y}: {y_said(point)}")
    if point.ends:
        said.append(f"{panel.interval}: {interval_said(point)}")
    return "; ".join(one_line(text) for text in (*said, point.told) if text)


def told_short(panel: Panel | Rows, point: Point) -> str:
    """The same for one line of the drawing: values first, for a name may be cut."""
    ends = f" ({interval_said(point)})" if point.ends else ""
    place = f"{panel.x} {figure(point.x)}".strip() if isinstance(panel, Panel) else ""
    told = dict.fromkeys(text for text in (point.name, point.series, place) if text)
    return one_line(", ".join([f"{y_said(point)}{ends}", *told]))
