"""Points with their intervals, as vector charts: one mark a thing, an interval wherever there is one, axes that say where they begin."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from perflour.plain import visible
from perflour.report.form.drawing import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

PANEL_INCHES, TALL_INCHES, ACROSS = 3.6, 2.9, 2
MOST_LABEL, MOST_NAMED = 56, 24
#: Okabe and Ito's colours, which colour-blind people tell apart (2008, from memory); each with a mark of its own.
MARKS = (("#0072B2", "o"), ("#D55E00", "s"), ("#009E73", "^"), ("#CC79A7", "D"), ("#56B4E9", "v"), ("#E69F00", "P"), ("#000000", "X"))  # fmt: skip


@dataclass(frozen=True)
class Point:
    """One thing; ``name`` stands beside its mark where there is room for all.

    ``low`` and ``high`` are the ends of the 95 % interval of ``y``, None where there is none.
    """

    name: str
    x: float
    y: float
    low: float | None = None
    high: float | None = None
    series: str = ""


@dataclass(frozen=True)
class Panel:
    """Points with the names of the axes, units in them; ``levels`` names the places of x where x is no number."""

    title: str
    x: str
    y: str
    points: tuple[Point, ...]
    levels: tuple[str, ...] = ()
    zero: bool = False


def chart_svg(title: str, told: str, panels: Sequence[Panel]) -> bytes:
    """The panels as SVG, the same bytes for the same values; ``told`` is what a screen reader says."""
    out = io.BytesIO()
    with drawing():
        from matplotlib.figure import Figure

        rows = max(1, -(-len(panels) // ACROSS))
        across = min(ACROSS, max(1, len(panels)))
        figure = Figure(figsize=(PANEL_INCHES * across, TALL_INCHES * rows), layout="constrained")
        axes = figure.subplots(rows, across, squeeze=False).flatten()
        for one, panel in zip(axes, panels, strict=False):
            _panel(one, panel)
        for empty in axes[len(panels) :]:
            empty.set_axis_off()
        figure.suptitle(visible(title), fontsize=9, wrap=True, parse_math=False)
        # what a library would write about itself: its version and the date
        about: Any = {"Date": None, "Creator": None, "Title": title, "Description": told}
        figure.savefig(out, format="svg", metadata=about)
    return out.getvalue()


def _panel(axes: Axes, panel: Panel) -> None:
    names = list(dict.fromkeys(point.series for point in panel.points))
    for at, series in enumerate(names):
        colour, mark = MARKS[at % len(MARKS)]
        own = [point for point in panel.points if point.series == series]
        for point in own:
            if point.low is not None and point.high is not None:
                axes.plot([point.x, point.x], [point.low, point.high], color=colour, linewidth=1)
        label = _plain(series) if len(names) > 1 else None
        axes.plot([p.x for p in own], [p.y for p in own], mark, color=colour, markersize=5, label=label)  # fmt: skip
    if len(panel.points) <= MOST_NAMED:
        for (x, y), there in _by_place(panel.points).items():
            told = ", ".join(there)
            axes.annotate(_plain(told), (x, y), (4, 3), textcoords="offset points", fontsize=6, parse_math=False)  # fmt: skip
    _axis_names(axes, panel)
    if len(names) > 1:
        axes.legend(fontsize=6, frameon=False, loc="best")


def _by_place(points: Sequence[Point]) -> dict[tuple[float, float], list[str]]:
    """The names at each place: marks on one another share a label."""
    found: dict[tuple[float, float], list[str]] = {}
    for point in points:
        found.setdefault((point.x, point.y), []).append(point.name)
    return found


def _axis_names(axes: Axes, panel: Panel) -> None:
    axes.set_title(_plain(panel.title), fontsize=8, parse_math=False)
    if panel.levels:
        axes.set_xticks(range(len(panel.levels)), [_plain(w) for w in panel.levels], parse_math=False)  # fmt: skip
        axes.set_xlim(-0.5, len(panel.levels) - 0.5)
    if panel.zero:
        axes.axhline(0, color="#444444", linewidth=0.7, linestyle="--")
    low = axes.get_ylim()[0]
    begins = "" if panel.zero else f" (axis from {low:.3g})"
    axes.set_xlabel(_plain(panel.x), fontsize=7, parse_math=False)
    axes.set_ylabel(_plain(panel.y) + begins, fontsize=7, parse_math=False)
    axes.tick_params(labelsize=7)


def _plain(text: str) -> str:
    shown = visible(text)
    return shown if len(shown) <= MOST_LABEL else shown[: MOST_LABEL - 1] + "…"
