"""The ratios that moved over the iterations of a formula, and what tasters said of each test bake."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.history.iterations import Iteration
from perflour.kitchen.figures import counted
from perflour.records.bake import SCALE, Bake
from perflour.report.form.charts import Panel, Point, chart_html
from perflour.trials.means import mean_of
from perflour.tuples import NamedTuple

# A move that a baker would see in the table: percent of the basis.
LEAST_MOVE = 0.05
# Ingredients below this percentage, salt and leavening, have a scale of their own.
SMALL_PERCENT = 5.0
# Of lines that one can still follow; more go to the next panel.
MOST_LINES = 6
ITERATION = "iteration"


class Baked(NamedTuple):
    """A test bake with the number of the iteration that it is a bake of."""

    iteration: int
    name: str
    bake: Bake


def iteration_chart(iterations: Sequence[Iteration]) -> str:
    """The chart as part of a page; empty where nothing moved over two iterations and nothing was tasted."""
    panels = iteration_panels(iterations)
    if len(iterations) < 2 or not panels:
        return ""
    return chart_html("Over the iterations", _told(iterations, panels), panels)


def iteration_panels(iterations: Sequence[Iteration]) -> list[Panel]:
    """What moved, the large apart from the small, then each score by test bakes."""
    moved = moved_percents(iterations)
    small = {n: line for n, line in moved.items() if all((v or 0) < SMALL_PERCENT for _, v in line)}
    large = {name: line for name, line in moved.items() if name not in small}
    return [
        *_percent_panels("what moved", large),
        *_percent_panels("the small ones that moved", small),
        *score_panels(iterations),
    ]


def _told(iterations: Sequence[Iteration], panels: Sequence[Panel]) -> str:
    """What is not to be seen: what stayed, and what the gaps are."""
    said = []
    shown = {point.series for panel in panels if panel.joined for point in panel.points}
    still = {name for i in iterations for name, _ in i.percents} - shown
    if still:
        verb = "is" if len(still) == 1 else "are"
        said.append(f"{counted(len(still), 'ingredient')} that did not move {verb} not drawn.")
    if any(point.y is None for panel in panels for point in panel.points):
        said.append("A line is broken where an iteration could not be read or an ingredient not weighed; one that is not in the formula is at 0.")  # fmt: skip
    if any(not panel.joined for panel in panels):
        said.append(
            "Each test bake is drawn once, with the mean of its tasters and their 95 % interval by Student's t; one taster, or tasters of one mind, give none."
        )
    return " ".join(said)


Line = list[tuple[int, float | None]]


def moved_percents(iterations: Sequence[Iteration]) -> dict[str, Line]:
    """By ingredient its percentage at each iteration, those that moved most first.

    Where it is not in the formula that is 0; None where nobody knows: the file could not be read, or it not weighed.
    """
    held = {i.number: dict(i.percents) for i in iterations}
    names = dict.fromkeys(name for percents in held.values() for name in percents)
    lines: dict[str, Line] = {
        name: [
            (i.number, held[i.number].get(name, 0.0) if _is_known(i, name) else None)
            for i in iterations
        ]
        for name in names
    }
    moves = {name: _move(line) for name, line in lines.items()}
    moving = sorted((name for name in names if moves[name] >= LEAST_MOVE), key=lambda n: (-moves[n], n))  # fmt: skip
    return {name: lines[name] for name in moving}


def _is_known(iteration: Iteration, name: str) -> bool:
    return bool(iteration.percents) and name not in iteration.not_weighed


def _move(line: Line) -> float:
    values = [value for _, value in line if value is not None]
    return max(values, default=0.0) - min(values, default=0.0)


def _percent_panels(title: str, moved: dict[str, Line]) -> Iterator[Panel]:
    names = list(moved)
    for first in range(0, len(names), MOST_LINES):
        shown = names[first : first + MOST_LINES]
        points = tuple(
            Point("", at, value, series=name) for name in shown for at, value in moved[name]
        )
        more = f", {first + 1} to {first + len(shown)}" if len(names) > MOST_LINES else ""
        yield Panel(title + more, ITERATION, "% of the base's flour or basis", points, whole=True, joined=True)  # fmt: skip


def bakes_once(iterations: Sequence[Iteration]) -> list[Baked]:
    """Each test bake at the iteration that it is of, those of trials that baked exactly that revision too.

    Of several iterations that are the same formula, as after a revert, it is the last that was committed before the day
    of the bake, else the first.
    """
    found: dict[tuple[str, str], Baked] = {}
    for iteration in iterations:
        for name, bake in _all_bakes(iteration):
            before = iteration.commit is not None and iteration.commit.date < bake.date
            if before or (name, bake.of) not in found:
                found[name, bake.of] = Baked(iteration.number, name, bake)
    return sorted(found.values(), key=lambda baked: (baked.iteration, baked.bake.date, baked.name))


def _all_bakes(iteration: Iteration) -> Iterator[tuple[str, Bake]]:
    yield from ((bake.name, bake) for bake in iteration.bakes)
    for variant in iteration.baked_as:
        yield from (
            (f"{bake.name}, {variant.letter} of {variant.trial}", bake) for bake in variant.bakes
        )


def score_panels(iterations: Sequence[Iteration]) -> Iterator[Panel]:
    """One panel a score, over all iterations, tasted or not."""
    numbers = [iteration.number for iteration in iterations]
    baked = bakes_once(iterations)
    for name in dict.fromkeys(name for one in baked for name, _ in one.bake.scores):
        points = tuple(_score(one, name) for one in baked if name in dict(one.bake.scores))
        yield Panel(
            name,
            ITERATION,
            "mean of tasters, 1 to 9",
            points,
            limits=SCALE,
            whole=True,
            span=(numbers[0], numbers[-1]),
            interval="95 % interval of tasters (t)",
        )


def _score(baked: Baked, name: str) -> Point:
    """The mean with its interval, cut where the scale ends, or why there is none."""
    each = [dict(row.scores)[name] for row in baked.bake.by_taster if name in dict(row.scores)]
    mean = mean_of(each)
    if mean.low is None or mean.high is None:
        why = "one taster" if len(each) == 1 else f"{len(each)} tasters of one mind"
        return Point(baked.name, baked.iteration, mean.mean, told=f"{why}: no interval")
    low, high = max(mean.low, SCALE[0]), min(mean.high, SCALE[1])
    return Point(baked.name, baked.iteration, mean.mean, low, high, told=f"{len(each)} tasters")
