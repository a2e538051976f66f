"""When to do what: the work of several formulas on one bench and in given ovens.

The minimum is searched and proven by a solver (timetable_model). Times are whole minutes from the
start of the plan. What is asked for comes in order: the earliest finish (or the fewest swings of an
oven's temperature), then the other, then the shortest time of each formula from its first step to
its last.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from perflour.bakeday.faults import Noted
from perflour.bakeday.ovens import DAY_MIN, ROOM_CELSIUS, Bakehouse, Hours
from perflour.bakeday.search import Reached, Search, Watch
from perflour.bakeday.solver import FINISH, IN_WORK, OVERRUN, SWINGS, Found, Model, horizon_min
from perflour.bakeday.work import Job, Task
from perflour.result import CannotRun, request_field

SECONDS = 8.0
# Common practice, no source: an oven that stands empty this long is switched off.
IDLE_MIN = 60
MOST_DAYS = 90
#: Pairs of loads times ovens: 244 loads in one, 141 in three. 300 MB and 3 s before the search begins.
MOST_ORDERS = 60_000


@dataclass(frozen=True)
class Placed:
    """A task with its times in minutes from the start; ``oven`` by name for a bake.

    ``baker`` counts pairs of hands from 1 and is 0 where nobody is needed.
    """

    job: int
    index: int
    task: Task
    start: int
    end: int
    oven: str = ""
    baker: int = 0


@dataclass(frozen=True)
class Heating:
    """An oven set to another temperature, early enough for the load that wants it."""

    oven: str
    start: int
    end: int
    from_celsius: float
    to_celsius: float
    swing: bool


@dataclass(frozen=True)
class Timetable:
    """The work in time. ``reached`` says of every goal, in order, how far it was met; None: not searched.

    ``stopped`` says that somebody ended the search. ``lead_min`` reaches from minute 0 to the end of the plan's hours: ``finish``, or later where it
    is anchored at its end and the last hours are closed.
    """

    jobs: tuple[Job, ...]
    placed: tuple[Placed, ...]
    heatings: tuple[Heating, ...]
    finish: int
    lead_min: int
    swings: int
    reached: Mapping[str, Reached | None]
    stopped: bool = False

    @property
    def proven(self) -> dict[str, bool]:
        """Of every goal, whether nothing better exists."""
        return {name: bool(far and far.proven) for name, far in self.reached.items()}


def timetable(
    jobs: Sequence[Job],
    house: Bakehouse,
    first: str = FINISH,
    seconds: float = SECONDS,
    day: Hours | None = None,
    watch: Watch | None = None,
) -> Timetable:
    """The best timetable. Raises CannotRun in one line where no timetable keeps every limit."""
    noted = Noted()
    for refuse in (_refuse_loads_too_large, _refuse_too_many_loads):
        with noted.each():
            refuse(jobs, house)
    noted.raise_any()
    day = day or Hours()
    if (days := horizon_min(jobs, house, day) // DAY_MIN) > MOST_DAYS:
        raise CannotRun(f"the work may take {days} days, more than {MOST_DAYS}; plan it in parts")
    goals = [FINISH, SWINGS, IN_WORK] if first == FINISH else [SWINGS, FINISH, IN_WORK]
    search = Search(Model(jobs, house, day), seconds, watch)
    search.run(goals)
    if search.found is None:
        raise CannotRun(_why_not(search))
    placed, lead_min = _placed(search.model, search.found)
    heatings = tuple(_heatings(placed, house))
    finish = max((p.end for p in placed), default=0)
    swings = sum(heating.swing for heating in heatings)
    reached = {name: search.reached.get(name) for name in goals}
    return Timetable(
        tuple(jobs), placed, heatings, finish, lead_min, swings, reached, search.stopped
    )


def _refuse_loads_too_large(jobs: Sequence[Job], house: Bakehouse) -> None:
    largest = max(oven.places for oven in house.ovens)
    noted = Noted()
    for job in jobs:
        for task in job.tasks:
            with noted.each():
                if task.oven and (task.oven.places or 1) > largest:
                    raise CannotRun(
                        f"{task.place}: a load of {job.formula} takes {task.oven.places} places, the largest oven has {largest}; make the load smaller"
                    )
    noted.raise_any()


def _refuse_too_many_loads(jobs: Sequence[Job], house: Bakehouse) -> None:
    """Which of two loads comes first is a question for each oven: memory grows with the square of the loads."""
    loads = sum(task.oven is not None for job in jobs for task in job.tasks)
    if loads**2 * len(house.ovens) > MOST_ORDERS:
        ovens = f"{len(house.ovens)} ovens" if len(house.ovens) > 1 else "one oven"
        raise CannotRun(
            f"{loads} loads in {ovens} are more than one plan can put in order; split the day"
        )


def _why_not(search: Search) -> str:
    """Which limit is in the way: found by letting waits run over, as little as possible."""
    model = search.model
    if search.stopped:
        return "stopped before any timetable was found"
    if not search.impossible:
        return f"no timetable was found in {search.seconds:g} s; allow more with {request_field('seconds')}, or plan fewer formulas"
    loose = Search(
        Model(model.jobs, model.house, model.day, loose=True), search.seconds, search.watch
    )
    loose.run([OVERRUN])
    overruns = loose.found.overruns if loose.found else {}
    key, over = max(overruns.items(), key=lambda item: item[1], default=((0, 0), 0))
    if not over:
        return "no timetable keeps every limit, in these hours and ovens; allow more hours, ovens or bakers"
    task, job = model.task(key), model.jobs[key[0]]
    load = f" of load {task.load}" if task.load else ""
    limit = f"may last {task.most_min} min" if task.kind == "wait" else "the dough after it waits"
    return (
        f"{task.place}: no timetable keeps every limit; '{task.what}'{load} of {job.formula} {limit}, {over} min more are needed; "
        f"add an oven or a baker, {request_field('mix_each_load')}, or allow more: a wider range in the formula, {request_field('grace')} for a time of one figure, {request_field('pause')} between steps"
    )


def _placed(model: Model, found: Found) -> tuple[tuple[Placed, ...], int]:
    """Every task in time, in order of its start, and the minutes to the end of the hours."""
    zero = found.begin
    placed = [
        Placed(
            *key,
            model.task(key),
            found.starts[key] - zero,
            found.ends[key] - zero,
            model.house.ovens[found.ovens[key]].name if key in found.ovens else "",
        )
        for key in model.keys
    ]
    last = model.horizon if model.day.at_end else max(found.ends.values(), default=0)
    ordered = sorted(placed, key=lambda p: (p.start, p.end, p.job, p.index))
    return tuple(_by_bakers(ordered, model.house.bakers)), last - zero


def _by_bakers(placed: Sequence[Placed], bakers: int) -> Iterator[Placed]:
    """Who does what: never more at a time than there are, a formula by the hands that had it last."""
    free_from, had = [0] * bakers, [-1] * bakers
    for one in placed:
        if one.task.kind != "hands":
            yield one
            continue
        at = min(range(bakers), key=lambda n: (free_from[n] > one.start, had[n] != one.job, n))
        free_from[at], had[at] = max(free_from[at], one.end), one.job
        yield replace(one, baker=at + 1)


def _heatings(placed: Sequence[Placed], house: Bakehouse) -> Iterator[Heating]:
    """Every change of an oven's temperature, as late as the next load allows.

    An oven that stands empty for an hour, and long enough to be heated again, is switched off.
    """
    for oven in house.ovens:
        before, empty_from = ROOM_CELSIUS, 0
        for load in placed:
            need = load.task.oven
            if load.oven != oven.name or need is None:
                continue
            from_cold = house.change_min(ROOM_CELSIUS, need)
            swing = empty_from > 0 and house.change_min(before, need) > 0
            if load.start - empty_from >= max(IDLE_MIN, from_cold):
                before = ROOM_CELSIUS
            if minutes := house.change_min(before, need):
                start = load.start - minutes
                yield Heating(oven.name, start, load.start, before, need.heat_to_celsius, swing)
            before, empty_from = need.at_celsius, max(empty_from, load.end)
