"""Named rows with a value to the right: where their marks and intervals stand, over what is usual."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.plain import one_line
from perflour.report.form.chart.axes import Axis
from perflour.report.form.chart.drawn import (
    EDGE,
    LINE,
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
from perflour.report.form.chart.text import Box, Text, cut, width_of
from perflour.report.form.chart.values import Point, Rows, band_said, series_of, told_whole

ROW_HEIGHT, ABOVE_ROWS = 20.0, 8.0
#: Of the name of a row.
LONGEST_NAME = 150.0


def drawn_rows(panel: Rows) -> Drawn:
    """Where all of a panel stands."""
    page = Page()
    keys = page.head(panel)
    there = [point for point in panel.points if point.is_there]
    also = (panel.band.low, panel.band.high) if panel.band else ()
    across = value_axis(there, most=4, zero=panel.zero, also=also)
    page.measure(panel, across)
    if panel.band:
        page.say(f"shaded: {band_said(panel.band)}", "soft")
    said_y = page.leave(LINE) + LINE
    top = page.leave(ABOVE_ROWS + ROW_HEIGHT * len(panel.points)) + ABOVE_ROWS
    wide = max((width_of(one_line(point.name)) for point in panel.points), default=0.0)
    left = EDGE + min(wide, LONGEST_NAME) + 12
    right = WIDTH - EDGE - max(width_of(across.said(tick)) for tick in across.ticks) / 2
    area = Box(left, top, right, page.y)
    page.texts += _names(panel, area)
    page.y += LINE
    ticks = {tick: across.at(tick, left, right) for tick in (*across.ticks, 0.0)}
    rules = {tick: f"M{x:.1f} {top:.1f}V{area.bottom:.1f}" for tick, x in ticks.items()}
    page.texts += _apart([Text(ticks[t], page.y, across.said(t), "middle", "soft") for t in across.ticks])  # fmt: skip
    return Drawn(
        one_line(panel.title),
        told(panel),
        page.y + 8,
        tuple(page.texts),
        rules=tuple(rules[tick] for tick in across.ticks),
        zero=rules[0.0] if panel.zero else "",
        band=_band(panel, across, area),
        lines=(),
        keys=keys,
        marks=_marks(panel, across, area, said_y),
    )


def _middle(area: Box, row: int) -> float:
    return area.top + ROW_HEIGHT * (row + 0.5)


def _names(panel: Rows, area: Box) -> list[Text]:
    """The name of each row, and where there is no value, that."""
    texts = []
    for row, point in enumerate(panel.points):
        y = _middle(area, row) + TO_LINE
        texts.append(Text(EDGE, y, cut(one_line(point.name), LONGEST_NAME)))
        if not point.is_there:
            texts.append(Text(area.left, y, "no value", look="soft"))
    return texts


def _band(panel: Rows, across: Axis, area: Box) -> Box | None:
    if panel.band is None:
        return None
    left, right = (across.at(v, area.left, area.right) for v in (panel.band.low, panel.band.high))
    return area._replace(left=left, right=right)


def _marks(panel: Rows, across: Axis, area: Box, said_y: float) -> tuple[Mark, ...]:
    names = series_of(panel.points)
    return tuple(
        Mark(
            *look_of(names.index(point.series)),
            across.at(point.y or 0.0, area.left, area.right),
            _middle(area, row),
            _interval(point, across, area, _middle(area, row)),
            None,
            said(panel, point, said_y),
            told_whole(panel, point),
        )
        for row, point in enumerate(panel.points)
        if point.is_there
    )


def _interval(point: Point, across: Axis, area: Box, y: float) -> str:
    """An interval along its row, with its ends."""
    if not point.ends:
        return ""
    low, high = (across.at(end, area.left, area.right) for end in point.ends)
    return f"M{low:.1f} {y - 3:.1f}v6M{low:.1f} {y:.1f}H{high:.1f}M{high:.1f} {y - 3:.1f}v6"


def _apart(texts: Sequence[Text]) -> list[Text]:
    """The texts of a line that stand clear of the one before; the others go."""
    kept: list[Text] = []
    for text in texts:
        if not kept or text.box.left > kept[-1].box.right + 2:
            kept.append(text)
    return kept
