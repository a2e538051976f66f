"""The ratios that moved over the iterations of a formula, and what tasters said: a small SVG."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING

from perflour.history.iterations import Iteration
from perflour.plain import one_line
from perflour.report.form.drawing import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes

WIDTH_INCHES, PANEL_INCHES = 7.0, 1.8
MOST_LINES = 6
# A move that a baker would see in the table: percent of the basis.
LEAST_MOVE = 0.05
# Ingredients below this percentage, salt and leavening, have a scale of their own.
SMALL_PERCENT = 5.0
# Okabe and Ito's colours, which colour-blind people tell apart (2008, from memory), each with a mark
# and a dash of its own, for print.
COLOURS = ("#0072B2", "#D55E00", "#009E73", "#CC79A7", "#E69F00", "#56B4E9")
MARKS = "osD^vP"
DASHES = ("-", "--", "-.", ":", (0, (5, 1)), (0, (1, 1)))

Series = list[tuple[str, list[tuple[int, float]]]]


def moved_percents(iterations: Sequence[Iteration]) -> Series:
    """By ingredient its percentage at each iteration, those that moved most first, at most six.

    One that is not in an iteration counts as 0 there.
    """
    readable = [(i.number, dict(i.percents)) for i in iterations if i.percents]
    names = dict.fromkeys(name for _, held in readable for name in held)
    series = [(name, [(at, held.get(name, 0.0)) for at, held in readable]) for name in names]
    moves = [
        (max(v for _, v in line) - min(v for _, v in line), name, line) for name, line in series
    ]
    shown = sorted((-move, name, line) for move, name, line in moves if move >= LEAST_MOVE)
    return [(name, line) for _, name, line in shown[:MOST_LINES]]


def mean_scores(iterations: Sequence[Iteration]) -> Series:
    """By attribute the mean score of each iteration that was tasted, over its test bakes."""
    found: dict[str, list[tuple[int, float]]] = {}
    for iteration in iterations:
        by_name: dict[str, list[float]] = {}
        for bake in iteration.bakes:
            for name, mean in bake.scores:
                by_name.setdefault(name, []).append(mean)
        for name, means in by_name.items():
            found.setdefault(name, []).append((iteration.number, sum(means) / len(means)))
    return list(found.items())[:MOST_LINES]


def iteration_chart(iterations: Sequence[Iteration]) -> str:
    """The chart as SVG without the head of an XML file; empty where nothing moved or was tasted.

    The same text for the same iterations.
    """
    panels = [panel for panel in _panels(iterations) if panel[0]]
    if len(iterations) < 2 or not panels:
        return ""
    out = io.BytesIO()
    with drawing():
        from matplotlib.figure import Figure  # 0.3 s, and only a chart needs it

        figure = Figure(figsize=(WIDTH_INCHES, PANEL_INCHES * len(panels)), layout="constrained")
        axes = figure.subplots(len(panels), 1, sharex=True, squeeze=False)
        for (series, title, limits), (at,) in zip(panels, axes, strict=True):
            _lines(at, series, title, limits)
        numbers = [iteration.number for iteration in iterations]
        at.set_xlim(min(numbers) - 0.3, max(numbers) + 0.3)
        at.xaxis.get_major_locator().set_params(integer=True)
        at.set_xlabel("iteration")
        figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    svg = out.getvalue().decode()
    return svg[svg.index("<svg") :]


Panel = tuple[Series, str, tuple[float, float] | None]


def _panels(iterations: Sequence[Iteration]) -> list[Panel]:
    """Lines, title and limits of each panel."""
    moved = moved_percents(iterations)
    small = [line for line in moved if max(value for _, value in line[1]) < SMALL_PERCENT]
    return [
        ([line for line in moved if line not in small], "% of the base's flour or basis", None),
        (small, "%, the small ones", None),
        (mean_scores(iterations), "mean score, 1 to 9", (0.5, 9.5)),
    ]


def _lines(axes: Axes, series: Series, title: str, limits: tuple[float, float] | None) -> None:
    for (name, line), colour, mark, dash in zip(series, COLOURS, MARKS, DASHES, strict=False):
        axes.plot(
            [at for at, _ in line],
            [value for _, value in line],
            color=colour,
            marker=mark,
            linestyle=dash,
            markersize=4,
            linewidth=1.2,
            label=one_line(name),
        )
    if limits:
        axes.set_ylim(*limits)
    axes.set_ylabel(title)
    axes.grid(axis="y", color="#DDDDDD", linewidth=0.5)
    legend = axes.legend(loc="center left", bbox_to_anchor=(1.01, 0.5), frameon=False)
    for text in legend.get_texts():
        text.set_parse_math(False)
