"""What goes on in a day, entry by entry: the rows of the timetable and the blocks of its picture are these."""

from __future__ import annotations

from dataclasses import dataclass, replace

from perflour.bakeday.plan import Made, Plan
from perflour.bakeday.timetable import Heating, Placed
from perflour.bakeday.work import Job, Task
from perflour.kitchen.figures import factor, grams
from perflour.report.form.lanes import Block, Lane, Lanes

HANDS, WAITS, COLD = "hands", "wait", "cold"
#: How a block looks, and what that stands for.
LOOKS = (
    ("hands", "hands at work"),
    ("oven", "in the oven"),
    ("waits", "stands and waits"),
    ("heats", "oven changes its heat"),
)
NARROWEST_HANDS = 120.0
NARROWEST_OVEN, NARROWEST_WAIT = 72.0, 24.0


@dataclass(frozen=True)
class Entry:
    """One thing that goes on. ``where`` is an oven, a baker, or that it waits; ``lane`` the same with its kind,
    so that an oven may have any name."""

    start: int
    end: int
    lane: tuple[str, str]
    where: str
    look: str
    formula: str
    short: str
    told: str
    appliances: tuple[str, ...] = ()


def day_entries(plan: Plan) -> list[Entry]:
    """All that goes on, in order of its start."""
    found = [_heating(heating) for heating in plan.timetable.heatings]
    found += [_entry(plan, placed) for placed in plan.timetable.placed]
    return sorted(found, key=lambda entry: entry.start)


def _heating(heating: Heating) -> Entry:
    to = f"set to {heating.to_celsius:.0f} °C"
    told = f"{to} (from {heating.from_celsius:.0f} °C)"
    lane = ("oven", heating.oven)
    return Entry(heating.start, heating.end, lane, heating.oven, "heats", "", to, told)


def _entry(plan: Plan, placed: Placed) -> Entry:
    task, job = placed.task, plan.timetable.jobs[placed.job]
    detail = f": {task.detail}" if task.detail else ""
    said = f"{'~' if task.assumed else ''}{task.what}{load_words(task, job)}"
    lane, where, look = ("wait", WAITS), task.kind, "waits"
    if placed.oven:
        lane, where, look = ("oven", placed.oven), placed.oven, "oven"
    elif placed.baker:
        where = _baker(plan, placed.baker)
        lane, look = ("hands", where), "hands"
    elif task.in_the_cold:
        lane = ("wait", COLD)
    where = ", ".join((where, *task.appliances))
    told = f"{said}{detail}"
    return Entry(
        placed.start, placed.end, lane, where, look, job.formula, said, told, task.appliances
    )


def _baker(plan: Plan, number: int) -> str:
    return f"baker {number}" if plan.house.bakers > 1 else HANDS


def where_words(plan: Plan, placed: Placed) -> str:
    """Behind a time of a sheet: the oven, who does it where several work, that it waits, which load."""
    where = placed.oven or ("waits" if placed.task.kind == "wait" else "")
    if placed.baker and plan.house.bakers > 1:
        where = _baker(plan, placed.baker)
    load = load_words(placed.task, plan.timetable.jobs[placed.job])
    where = ", ".join(filter(None, (where, *placed.task.appliances)))
    return f"{', ' if where else ''}{where}{load}"


def load_words(task: Task, job: Job) -> str:
    """Which mixing or load a task is of, where there are several."""
    if job.mixing:
        return f", mixing {job.mixing}"
    return f", load {task.load} of {job.loads}" if task.load else ""


def mixing_words(made: Made) -> str:
    """What one mixing of a formula is: its factor, its mass, and its pieces where it has a yield."""
    scaled = made.rescaled.scaled
    each = scaled.scaling_weight_g
    pieces = f", {scaled.pieces} x {grams(each)} g ({made.batch.piece})" if each else ""
    return f"{factor(scaled.factor)}: {grams(made.rescaled.after.batch_g)} g{pieces}"


def clock_span(plan: Plan, start: int, end: int) -> tuple[str, str]:
    """From when to when, the end with its day where that is another."""
    return plan.clock.time(start), plan.clock.end_time(start, end)


def day_lanes(plan: Plan) -> Lanes:
    """The same to be drawn: a lane for each baker, oven and appliance that is named, and for what waits, warm and cold."""
    lanes = {
        ("hands", _baker(plan, n)): Lane(_baker(plan, n), NARROWEST_HANDS)
        for n in range(1, plan.house.bakers + 1)
    }
    lanes |= {("oven", o.name): Lane(o.name, NARROWEST_OVEN) for o in plan.house.ovens}
    for one in plan.house.appliances:
        lanes["appliance", one.name] = Lane(one.name, NARROWEST_OVEN)
    for name in (WAITS, COLD):
        lanes["wait", name] = Lane(name, NARROWEST_WAIT, turned=True, always=False)
    numbers = {key: number for number, key in enumerate(lanes)}
    zero = plan.clock.zero
    return Lanes(
        title=f"Who does what when: {', '.join(one.batch.id for one in plan.made)}",
        unit="h:min" if zero else "h:min from the start",
        lanes=tuple(lanes.values()),
        blocks=tuple(
            _block(plan, replace(entry, lane=lane), numbers[lane])
            for entry in day_entries(plan)
            for lane in (entry.lane, *(("appliance", name) for name in entry.appliances))
        ),
        looks=LOOKS,
        clock=plan.clock.time,
        day=plan.clock.day if several_days(plan) else lambda _: "",
        zero=zero.hour * 60 + zero.minute if zero else 0,
    )


def several_days(plan: Plan) -> bool:
    """Whether the clock alone does not say when."""
    return plan.clock.dated or plan.clock.day(plan.timetable.finish) != plan.clock.day(0)


def _block(plan: Plan, entry: Entry, lane: int) -> Block:
    start, end = clock_span(plan, entry.start, entry.end)
    label = tuple(filter(None, (entry.short, entry.formula)))
    of = f", {entry.formula}" if entry.formula else ""
    told = f"{start} to {end}, {entry.lane[1]}{of}: {entry.told}"
    return Block(lane, entry.start, entry.end, entry.look, label, told)
