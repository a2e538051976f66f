"""The kinds of ingredient of many formulas as stacked bars: SVG or PNG."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from perflour.compare.table import FINE_KINDS, KINDS, Cell, Row, SideBySide
from perflour.plain import visible
from perflour.report.compare.table import OWN_BASIS
from perflour.report.form.drawing import drawing

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LONGEST_LABEL = 44
# A number is written into a piece that is at least this share of its axis wide.
ROOM_FOR_NUMBER, ROOM_FOR_SMALL = 0.036, 0.105
DOTS_AN_INCH, TALLEST_DOTS = 150.0, 30_000.0
WIDTH_INCHES, BAR_INCHES, AROUND_INCHES = 12.0, 0.27, 1.75


class Fill(NamedTuple):
    colour: str
    hatch: str


# Okabe and Ito's colours, which colour-blind people tell apart (2008, from memory), a brown and greys;
# the hatch tells kinds of one colour apart, and all of them in print.
FILLS = {
    "flour and starch": Fill("#E8E4DA", ""),
    "sugar and syrup": Fill("#F0E442", "//"),
    "fat and oil": Fill("#E69F00", ""),
    "egg": Fill("#D55E00", "\\\\"),
    "liquid and dairy": Fill("#56B4E9", ""),
    "leavening": Fill("#009E73", ""),
    "yeast": Fill("#F0E442", "xx"),
    "salt": Fill("#BBBBBB", ""),
    "fruit": Fill("#CC79A7", "//"),
    "nut": Fill("#009E73", "xx"),
    "chocolate": Fill("#7A5C3E", ""),
    "flavouring and spice": Fill("#D55E00", "//"),
    "other": Fill("#FFFFFF", ".."),
}


def group_chart(table: SideBySide, kind: str) -> bytes:
    """The chart as ``svg`` or ``png``; the same bytes for the same formulas."""
    out = io.BytesIO()
    # what a library would write about itself: its version and the date
    unsaid = {"svg": {"Date": None, "Creator": None}, "png": {"Software": None}}[kind]
    with drawing():
        figure = _figure(table)
        dots = min(DOTS_AN_INCH, TALLEST_DOTS / figure.get_figheight())
        figure.savefig(out, format=kind, dpi=dots, metadata=unsaid)
    return out.getvalue()


def _figure(table: SideBySide) -> Figure:
    """Large kinds on the left; salt, leavening and the like on a scale of their own."""
    from matplotlib.figure import Figure

    kinds = [row for row in table.rows if row.section == "kind" and row.high]
    small = [row for row in kinds if row.name in FINE_KINDS]
    large = [row for row in kinds if row.name not in FINE_KINDS]
    height = AROUND_INCHES + BAR_INCHES * len(table.columns)
    figure = Figure(figsize=(WIDTH_INCHES, height), layout="constrained")
    shares = [3.2, 1] if small else [1]
    axes = figure.subplots(1, len(shares), sharey=True, squeeze=False, width_ratios=shares)[0]
    basis = (
        "its base's flour, or of its own basis (~)" if _any_own_basis(table) else "its base's flour"
    )
    _stack(axes[0], large, f"percent of {basis}", ROOM_FOR_NUMBER)
    if small:
        _stack(axes[1], small, "the small ones, on their own scale", ROOM_FOR_SMALL)
    _label(axes[0], table)
    named = {kind: FILLS[kind] for kind in KINDS if any(row.name == kind for row in kinds)}
    _legend(figure, named)
    return figure


def _any_own_basis(table: SideBySide) -> bool:
    return any(column.own_basis for column in table.columns)


def _stack(axes: Axes, rows: Sequence[Row], title: str, room: float) -> None:
    """One bar a formula, one piece a kind, with its number where there is room."""
    count = len(rows[0].cells) if rows else 0
    ends = [0.0] * count
    longest = max((sum(cell.value or 0 for cell in bar) for bar in _bars(rows)), default=1.0)
    for row in rows:
        values = [cell.value or 0.0 for cell in row.cells]
        fill = FILLS[row.name]
        there = [at for at, value in enumerate(values) if value]  # nothing leaves no edge either
        axes.barh(
            there,
            [values[at] for at in there],
            left=[ends[at] for at in there],
            height=0.78,
            color=fill.colour,
            hatch=fill.hatch,
            edgecolor="#444444",
            linewidth=0.4,
        )
        for at, value in enumerate(values):
            if value >= room * longest:
                _number(axes, ends[at] + value / 2, at, value, row.fine)
        ends = [end + value for end, value in zip(ends, values, strict=True)]
    axes.set_xlim(0, longest * 1.02)
    axes.set_xlabel(title)
    axes.tick_params(axis="y", length=0)


def _bars(rows: Sequence[Row]) -> list[tuple[Cell, ...]]:
    return list(zip(*(row.cells for row in rows), strict=True))


def _number(axes: Axes, x: float, y: int, value: float, fine: bool) -> None:
    """On white, so that it can be read over a hatch or a dark colour."""
    axes.text(
        x,
        y,
        f"{value:.1f}" if fine else f"{value:.0f}",
        ha="center",
        va="center",
        fontsize=6.5,
        bbox={"facecolor": "white", "edgecolor": "none", "alpha": 0.9, "pad": 0.6},
    )


def _label(axes: Axes, table: SideBySide) -> None:
    """Ids at the bars, the first formula on top; no sign in them is taken for mathematics."""
    names = [
        _cut(visible(column.label)) + (f" {OWN_BASIS}" if column.own_basis else "")
        for column in table.columns
    ]
    axes.set_yticks(range(len(names)), names, parse_math=False)
    axes.set_ylim(len(names) - 0.45, -0.55)


def _cut(label: str) -> str:
    return label if len(label) <= LONGEST_LABEL else "…" + label[1 - LONGEST_LABEL :]


def _legend(figure: Figure, fills: dict[str, Fill]) -> None:
    from matplotlib.patches import Patch

    patches = [
        Patch(facecolor=f.colour, hatch=f.hatch, edgecolor="#444444", linewidth=0.4, label=name)
        for name, f in fills.items()
    ]
    figure.legend(
        handles=patches,
        loc="outside upper center",
        ncols=7,
        frameon=False,
        handlelength=2.2,
        handleheight=1.1,
    )
