"""How far formulas are apart, in usual widths: one number for each pair, over all ratios that are known on both sides.

One usual width is the window of the class in the house file, so that 1 means a whole window apart: half a point of
salt counts as much as many points of sugar. The distance of two formulas is the root mean square over ratios.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import sqrt
from statistics import fmean, median
from typing import Literal

from perflour.balance.balance import Balance
from perflour.balance.gas import GAS
from perflour.balance.ratios import RATIOS, Ratio, ratios
from perflour.balance.spread import Measures, Number, uncertain, value_of
from perflour.compare.collect import Compared
from perflour.compare.outliers import MEAN_DISTANCE, MEDIAN_DISTANCE, Way, judged
from perflour.compare.table import labels
from perflour.kitchen.house import House
from perflour.lint.rules.ratios.ratio_outside_window import POWDER, SODA, judged_percent
from perflour.result import CannotRun

# Ratios that are compared without a window: each thing once. Where one behind them has a window, that one counts it.
_ONCE: Mapping[str, tuple[str, ...]] = {
    "liquid": ("hydration", "total-water"),
    "sugar": ("total-sugar",),
    "fat": ("total-fat",),
    "egg": (),
    "salt": (),
    GAS: (POWDER, SODA),
    "yeast-instant": (),
    "fruit": (),
    "nut": (),
    "chocolate": (),
    "cocoa": (),
    "prefermented-flour": (),
}
# A window is so many quartile distances wide: the median of the 74 in docs/windows.md that have recipes. The
# quartiles of normal values are 1.349 standard deviations apart.
WINDOW_IN_QUARTILES, QUARTILES_IN_SD = 3.4, 1.349
# A spread below this share of the largest value is that of rounding: house choice.
ROUNDING = 1e-4
# Values nearer than this, in percent of the basis, are one.
SAME_POINTS = 1e-6


@dataclass(frozen=True)
class Width:
    """The usual width of a ratio in percent of the basis.

    ``by`` says where it is from: the window of ``classes`` in the house file (of several the median over the
    formulas), or the spread of the formulas themselves where fewer than half of them have a window.
    """

    ratio: str
    percent: float
    by: Literal["window", "spread"]
    classes: tuple[str, ...] = ()


@dataclass(frozen=True)
class NotKnown:
    """A ratio of a formula that is left out: too low by what ``lacking`` carry."""

    label: str
    ratio: str
    lacking: tuple[str, ...]


@dataclass(frozen=True)
class Apart:
    """Formulas and how far they are apart, in usual widths.

    ``percents`` are by formula, then by width: a ratio in percent of the basis, None where it is not known. The
    baking powder is what all that lifts comes to where no class has a window for soda. ``alike`` names ratios that
    are the same in all formulas. ``left_out`` are formulas that share no known ratio with some other; they are in
    no matrix. ``own_basis`` are those whose percentages are of something else than all flours.
    """

    formulas: tuple[Compared, ...]
    labels: tuple[str, ...]
    widths: tuple[Width, ...]
    percents: tuple[tuple[float | None, ...], ...]
    matrix: tuple[tuple[float, ...], ...]
    not_known: tuple[NotKnown, ...] = ()
    alike: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    own_basis: tuple[str, ...] = ()

    @property
    def ratios(self) -> tuple[str, ...]:
        """The ratios compared."""
        return tuple(width.ratio for width in self.widths)


@dataclass(frozen=True)
class WithoutIt:
    """An odd value with the nearest formula that has none there.

    ``score`` is its modified z-score, ``way`` how it was judged. ``nearest`` is nearest over the other ratios, ``distance`` widths away; its
    own ratio is ``nearest_percent``.
    """

    label: str
    ratio: str
    percent: float
    score: float
    way: Way
    nearest: str
    nearest_percent: float
    distance: float


def apart(
    formulas: Sequence[Compared], house: House | None = None, but: Container[str] = ()
) -> Apart:
    """Distances between formulas that have a basis, two or more, over all ratios ``but`` some.

    Raises CannotRun for fewer.
    """
    if len(formulas) < 2:
        raise CannotRun("one formula is not far from anything; name two or more")
    names = labels(formulas)
    found = [ratios(one.balance) for one in formulas]
    windows = _window_widths(formulas, house)
    rows = [
        {name: percent for name, percent in _known(of, windows).items() if name not in but}
        for of in found
    ]
    widths, alike = _widths(rows, windows)
    percents = [tuple(row.get(width.ratio) for width in widths) for row in rows]
    kept = _with_distances(percents, widths, names)
    matrix = tuple(tuple(_distance(percents[a], percents[b], widths) or 0.0 for b in kept) for a in kept)  # fmt: skip
    return Apart(
        tuple(formulas[at] for at in kept),
        tuple(names[at] for at in kept),
        widths,
        tuple(percents[at] for at in kept),
        matrix,
        tuple(_not_known(names, found, [width.ratio for width in widths])),
        alike,
        tuple(name for at, name in enumerate(names) if at not in kept),
        tuple(
            name for name, one in zip(names, formulas, strict=True) if has_own_basis(one.balance)
        ),
    )


def nearest_without(found: Apart) -> tuple[WithoutIt, ...]:
    """Each odd value of the ratios compared, with the nearest formula without it; of equals the first label."""
    measures = Measures()
    numbers = [
        uncertain(one.balance, measures, str(at)).ratios for at, one in enumerate(found.formulas)
    ]
    return tuple(
        told for place in range(len(found.widths)) for told in _without(found, place, numbers)
    )


def _without(
    found: Apart, place: int, numbers: Sequence[Mapping[str, Number]]
) -> Iterator[WithoutIt]:
    ratio = found.ratios[place]
    column = [row[place] for row in found.percents]
    way, odd = judged(
        [
            None if percent is None else _number(of, ratio, percent)
            for of, percent in zip(numbers, column, strict=True)
        ]
    )
    known = {at: percent for at, percent in enumerate(column) if percent is not None}
    without = known.keys() - {outlier.at for outlier in odd}
    for at, score in odd:
        away = {
            other: distance
            for other in without
            if (distance := _distance_but(found, at, other, place)) is not None
        }
        if away:
            near = min(away, key=lambda other: (round(away[other], 9), found.labels[other]))
            yield WithoutIt(
                found.labels[at], ratio, known[at], score, way,
                found.labels[near], known[near], away[near],
            )  # fmt: skip


def _number(numbers: Mapping[str, Number], ratio: str, percent: float) -> Number:
    """A ratio with its measuring spread; what lifts as much powder has that of the gas."""
    number = numbers[ratio]
    if abs(value_of(number) - percent) <= SAME_POINTS:
        return number
    return numbers[GAS] * (percent / value_of(numbers[GAS]))


def _distance_but(found: Apart, one: int, other: int, place: int) -> float | None:
    """The distance of two formulas over all ratios but one."""

    def rest(row: Sequence[float | None]) -> list[float | None]:
        return [percent for at, percent in enumerate(row) if at != place]

    widths = [width for at, width in enumerate(found.widths) if at != place]
    return _distance(rest(found.percents[one]), rest(found.percents[other]), widths)


def has_own_basis(balance: Balance) -> bool:
    """Whether 100 % is something else than all flours."""
    return any(
        line.in_basis != (line.ingredient is not None and line.ingredient.counts_as == "flour")
        for line in balance.total
    )


def _window_widths(formulas: Sequence[Compared], house: House | None) -> dict[str, Width]:
    """By ratio the width of its windows, one for each formula whose class has it; of half the formulas at least."""
    classes = house.classes if house else {}
    found: dict[str, list[tuple[str, float]]] = {}
    for one in formulas:
        name = one.balance.formula.product_class
        for ratio, window in (classes[name].windows if name in classes else {}).items():
            if window.high > window.low:
                found.setdefault(ratio, []).append((name, window.high - window.low))
    return {
        ratio: Width(
            ratio,
            median(width for _, width in said),
            "window",
            tuple(sorted({name for name, _ in said})),
        )
        for ratio, said in found.items()
        if ratio in RATIOS and len(said) * 2 >= len(formulas)
    }


def _known(found: Mapping[str, Ratio], windows: Mapping[str, Width]) -> dict[str, float]:
    """The ratios to compare that are known."""
    wanted = [r for r in RATIOS if r in windows or r in _without_window(windows)]
    return {
        name: judged_percent(found, name, windows) if name in windows else found[name].percent
        for name in wanted
        if not _lacking(found, name)
    }


def _lacking(found: Mapping[str, Ratio], name: str) -> tuple[str, ...]:
    """What a ratio does not count; powder lacks what the gas lacks."""
    return found[name].lacking or (found[GAS].lacking if name == POWDER else ())


def _without_window(windows: Mapping[str, Width]) -> list[str]:
    """The ratios that are compared though they have none: no other counts the same."""
    return [
        name
        for name, others in _ONCE.items()
        if name not in windows and not any(other in windows for other in others)
    ]


def _widths(
    rows: Sequence[Mapping[str, float]], windows: Mapping[str, Width]
) -> tuple[tuple[Width, ...], tuple[str, ...]]:
    """The ratios that differ, each with its width, and those that do not."""
    widths, alike = [], []
    for name in RATIOS:
        values = [row[name] for row in rows if name in row]
        if name not in windows and name not in _without_window(windows):
            continue
        if not values or max(values) - min(values) <= SAME_POINTS:
            if values and max(values) > SAME_POINTS:
                alike.append(name)
            continue
        widths.append(windows.get(name) or Width(name, _spread_width(values), "spread"))
    return tuple(widths), tuple(alike)


def _spread_width(values: Sequence[float]) -> float:
    """As wide as a window would be: by the median distance from the median, by the mean one where that is 0."""
    middle = median(values)
    distances = [abs(value - middle) for value in values]
    by_median = median(distances) / MEDIAN_DISTANCE
    if by_median <= ROUNDING * max(map(abs, values)):  # most are alike but for rounding
        by_median = 0.0
    deviation = by_median or fmean(distances) / MEAN_DISTANCE
    return deviation * QUARTILES_IN_SD * WINDOW_IN_QUARTILES


def _distance(
    one: Sequence[float | None], other: Sequence[float | None], widths: Sequence[Width]
) -> float | None:
    """Root mean square over the ratios known on both sides, in widths; None where there is none."""
    moves = [
        (a - b) / width.percent
        for a, b, width in zip(one, other, widths, strict=True)
        if a is not None and b is not None
    ]
    return sqrt(sum(move * move for move in moves) / len(moves)) if moves else None


def _with_distances(
    percents: Sequence[tuple[float | None, ...]], widths: Sequence[Width], names: Sequence[str]
) -> list[int]:
    """The formulas of which every two share a known ratio; who shares none with most goes first."""
    kept = list(range(len(percents)))
    if not widths:  # all alike
        return kept
    while True:
        strangers = dict.fromkeys(kept, 0)
        for a, b in combinations(kept, 2):
            if _distance(percents[a], percents[b], widths) is None:
                strangers[a] += 1
                strangers[b] += 1
        worst = max(kept, key=lambda at: (strangers[at], names[at]), default=None)
        if worst is None or not strangers[worst]:
            return kept
        kept.remove(worst)


def _not_known(
    names: Sequence[str], found: Sequence[Mapping[str, Ratio]], compared: Sequence[str]
) -> Iterator[NotKnown]:
    for name, of in zip(names, found, strict=True):
        for ratio in compared:
            if lacking := _lacking(of, ratio):
                yield NotKnown(name, ratio, lacking)
