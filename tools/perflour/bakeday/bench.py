"""What a person works from at the bench: one sheet a formula, with the amounts and the times of the plan."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from perflour.bakeday.plan import Made, Plan, day_cautions
from perflour.bakeday.timetable import Heating, Placed
from perflour.balance.allergens import Allergens, allergens
from perflour.formula.digests import digest
from perflour.formula.formula import Step
from perflour.kitchen.cautions import Caution
from perflour.lint.situations import cautions_that_hold


@dataclass(frozen=True)
class BenchLine:
    """An ingredient, its amount as the plan scaled it, its state and note as the formula has them."""

    amount: str
    name: str
    state: str
    note: str


@dataclass(frozen=True)
class BenchPart:
    """A part under its name."""

    name: str
    notes: str
    lines: tuple[BenchLine, ...]


@dataclass(frozen=True)
class BenchStep:
    """A step of the method, and when the plan has it done: several times where there are several loads.

    ``is_hot`` says of a step that heats an oven that by the plan nothing is to be changed.
    """

    step: Step
    placed: tuple[Placed, ...] = ()
    heatings: tuple[Heating, ...] = ()
    is_hot: bool = False

    @property
    def times(self) -> tuple[tuple[int, int], ...]:
        """From which minute of the plan to which; none where the plan has no time for it."""
        placed = [(one.start, one.end) for one in self.placed]
        return (*placed, *((one.start, one.end) for one in self.heatings))

    @property
    def starts(self) -> int | None:
        """The minute of the plan in which it begins first."""
        return min((start for start, _ in self.times), default=None)


@dataclass(frozen=True)
class BenchSheet:
    """One formula. Steps stand in the order of their times, others behind the one before them in the file.

    ``revision`` is the digest that a record of the bake names, ``batch_factor`` how many times the
    formula is made up in all.
    """

    made: Made
    revision: str
    batch_factor: float
    scale_resolution_g: float
    parts: tuple[BenchPart, ...]
    steps: tuple[BenchStep, ...]
    allergens: Allergens
    cautions: tuple[Caution, ...]


def bench_sheets(plan: Plan) -> tuple[BenchSheet, ...]:
    """The sheets of a day, in the order of the plan."""
    sheets, first = [], 0
    for made in plan.made:
        jobs = range(first, first + made.mixings)
        sheets.append(_sheet(plan, made, jobs))
        first = jobs.stop
    return tuple(sheets)


def _sheet(plan: Plan, made: Made, jobs: range) -> BenchSheet:
    balance, kitchen = made.batch.balance, made.batch.kitchen
    placed = [one for one in plan.timetable.placed if one.job in jobs]
    brought = allergens(balance)
    of_day = day_cautions([made.batch], [plan.timetable.jobs[job] for job in jobs])
    said = (*cautions_that_hold(balance, kitchen), *of_day)
    return BenchSheet(
        made=made,
        revision=digest(balance.formula),
        batch_factor=made.rescaled.scaled.factor * made.mixings,
        scale_resolution_g=kitchen.house.scale_resolution_g,
        parts=tuple(_parts(made)),
        steps=_in_time(list(_steps(made.method, placed, plan.timetable.heatings))),
        allergens=brought,
        cautions=tuple(dict.fromkeys(said)),
    )


def _parts(made: Made) -> Iterator[BenchPart]:
    scaled = iter(made.rescaled.scaled.lines)
    for part in made.batch.balance.formula.parts:
        lines = tuple(
            BenchLine(next(scaled).amount, line.name, line.state, line.note) for line in part.lines
        )
        yield BenchPart(part.name, part.notes, lines)


def _steps(
    method: Sequence[Step], placed: Sequence[Placed], heatings: Sequence[Heating]
) -> Iterator[BenchStep]:
    """Every step with its times; one that heats an oven with those of the bakes it is for."""
    for number, step in enumerate(method, 1):
        if not step.heats_oven:
            yield BenchStep(step, tuple(one for one in placed if one.task.step == number))
            continue
        later = (n for n in range(number + 1, len(method) + 1) if method[n - 1].heats_oven)
        until = next(later, len(method) + 1)
        loads = {
            (one.oven, one.start)
            for one in placed
            if one.oven and number < one.task.step < until
        }  # fmt: skip
        needed = tuple(one for one in heatings if (one.oven, one.end) in loads)
        yield BenchStep(step, heatings=needed, is_hot=bool(loads) and not needed)


def _in_time(steps: Sequence[BenchStep]) -> tuple[BenchStep, ...]:
    times: list[tuple[int, int]] = []
    for number, one in enumerate(steps):
        before = times[-1][0] if times else -1
        times.append((before if one.starts is None else one.starts, number))
    return tuple(steps[number] for _, number in sorted(times))
