"""When to do what: the work of several formulas on one bench and in given ovens.

The minimum is searched and proven by the CP-SAT solver of OR-tools. Times are whole minutes from the
start of the plan. What is asked for comes in order: the earliest finish (or the fewest swings of an
oven's temperature), then the other, then the shortest time of each formula from its first step to
its last.
"""

from __future__ import annotations

import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from math import ceil
from typing import TYPE_CHECKING, Any

from perflour.bake_work import Job, OvenNeed, Task
from perflour.result import CannotRun

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

# Common practice, no source: household ovens reach 180 °C in a quarter of an hour, and cool far slower.
HEAT_CELSIUS_PER_MIN = 10.0
COOL_CELSIUS_PER_MIN = 4.0
ROOM_CELSIUS = 20.0
SECONDS = 60.0
FINISH, SWINGS, IN_WORK = "finish", "swings", "in work"


@dataclass(frozen=True)
class Oven:
    """An oven by name, with how many pans or trays it takes at a time."""

    name: str
    places: int = 1


@dataclass(frozen=True)
class Bakehouse:
    """The ovens, how fast they change temperature (°C per min), and how many bakers work."""

    ovens: tuple[Oven, ...] = (Oven("oven"),)
    heat_per_min: float = HEAT_CELSIUS_PER_MIN
    cool_per_min: float = COOL_CELSIUS_PER_MIN
    bakers: int = 1

    def change_min(self, before_celsius: float, need: OvenNeed) -> int:
        """Whole minutes from one temperature to what the next load wants; 0 where they are one."""
        by = need.heat_to_celsius - before_celsius
        if by == 0:
            return 0
        minutes = ceil(by / self.heat_per_min if by > 0 else -by / self.cool_per_min)
        return max(minutes, need.heat_least_min)


@dataclass(frozen=True)
class Placed:
    """A task with its times in minutes from the start; ``oven`` by name for a bake."""

    job: int
    index: int
    task: Task
    start: int
    end: int
    oven: str = ""


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
    """The work in time. ``proven`` says of every goal, in order, whether nothing better exists."""

    jobs: tuple[Job, ...]
    placed: tuple[Placed, ...]
    heatings: tuple[Heating, ...]
    finish: int
    swings: int
    proven: Mapping[str, bool]


def timetable(
    jobs: Sequence[Job], house: Bakehouse, first: str = FINISH, seconds: float = SECONDS
) -> Timetable:
    """The best timetable. Raises CannotRun in one line where no timetable keeps every limit."""
    _refuse_loads_too_large(jobs, house)
    model = _Model(jobs, house)
    goals = [FINISH, SWINGS, IN_WORK] if first == FINISH else [SWINGS, FINISH, IN_WORK]
    proven = model.solve(goals, seconds)
    if proven is None:
        raise CannotRun(_why_not(jobs, house, seconds))
    placed = model.placed()
    heatings = tuple(_heatings(placed, house))
    finish = max((p.end for p in placed), default=0)
    return Timetable(tuple(jobs), placed, heatings, finish, sum(h.swing for h in heatings), proven)


def _refuse_loads_too_large(jobs: Sequence[Job], house: Bakehouse) -> None:
    largest = max(oven.places for oven in house.ovens)
    for job in jobs:
        for task in job.tasks:
            if task.oven and (task.oven.places or 1) > largest:
                raise CannotRun(
                    f"{task.place}: a load of {job.formula} takes {task.oven.places} places, the largest oven has {largest}; make the load smaller"
                )


def _why_not(jobs: Sequence[Job], house: Bakehouse, seconds: float) -> str:
    """Which limit is in the way: found by letting waits run over, as little as possible."""
    loose = _Model(jobs, house, loose=True)
    if loose.solve(["overrun"], seconds) is None:
        return f"no timetable was found in {seconds:g} s; allow more with --seconds, or plan fewer formulas"
    (job, index), over = max(loose.found.overruns.items(), key=lambda item: item[1])
    task = jobs[job].tasks[index]
    load = f" of load {task.load}" if task.load else ""
    limit = f"{task.most_min} min at most" if task.kind == "wait" else "then its dough stands"
    what = f"'{task.what}'{load} (step {task.step} of {jobs[job].formula})"
    return (
        f"{task.place}: no timetable keeps every limit; {what} would run over by {over} min ({limit}): "
        "give it another oven or baker, a wider range, --mix-each-load, or more --grace or --pause"
    )


_Key = tuple[int, int]  # a task: index of its job, and its own within the job


@dataclass(frozen=True)
class _Found:
    """What the solver found, by task."""

    starts: Mapping[_Key, int]
    ends: Mapping[_Key, int]
    ovens: Mapping[_Key, int]
    overruns: Mapping[_Key, int]


class _Model:
    """The constraints on all tasks; ``loose`` lets waits and pauses run over, counted."""

    def __init__(self, jobs: Sequence[Job], house: Bakehouse, loose: bool = False) -> None:
        from ortools.sat.python import cp_model  # 1 s: only for a plan

        self.jobs, self.house, self.loose = jobs, house, loose
        self.solver, self.model = cp_model.CpSolver(), cp_model.CpModel()
        self.horizon = _horizon(jobs, house)
        self.keys = [(j, t) for j, job in enumerate(jobs) for t in range(len(job.tasks))]
        self.loads = [key for key in self.keys if self._task(key).oven]
        self.starts: dict[_Key, cp_model.IntVar] = {}
        self.ends: dict[_Key, cp_model.IntVar] = {}
        self.over: dict[_Key, list[cp_model.IntVar]] = {}
        self.present: dict[tuple[_Key, int], cp_model.IntVar] = {}
        self.swings: list[cp_model.IntVar] = []
        self.found = _Found({}, {}, {}, {})
        for key in self.keys:
            self._add_task(key)
        self._share_hands()
        for j, job in enumerate(jobs):
            for link in job.links:
                self._add_link((j, link.before), (j, link.after), link.gap_most_min)
        for at, oven in enumerate(house.ovens):
            self._add_oven(at, oven)
        for load in self.loads:
            self.model.add_exactly_one(self.present[load, at] for at in range(len(house.ovens)))

    def _task(self, key: _Key) -> Task:
        return self.jobs[key[0]].tasks[key[1]]

    def _add_task(self, key: _Key) -> None:
        """Start and end of a task, as far apart as it lasts."""
        task = self._task(key)
        start = self.starts[key] = self.model.new_int_var(0, self.horizon, f"start {key}")
        end = self.ends[key] = self.model.new_int_var(0, self.horizon, f"end {key}")
        self.model.add(end - start >= task.least_min)
        if task.most_min is not None:
            over = self._overrun(key) if task.kind == "wait" else 0
            self.model.add(end - start <= task.most_min + over)

    def _share_hands(self) -> None:
        """Work by hand never needs more bakers than there are."""
        intervals = [
            self.model.new_interval_var(
                self.starts[key], self._task(key).least_min, self.ends[key], f"hands {key}"
            )
            for key in self.keys
            if self._task(key).kind == "hands"
        ]
        self.model.add_cumulative(intervals, [1] * len(intervals), self.house.bakers)

    def _overrun(self, key: _Key) -> Any:
        if not self.loose:
            return 0
        over = self.model.new_int_var(0, self.horizon, f"over {key} {len(self.over)}")
        self.over.setdefault(key, []).append(over)
        return over

    def _add_link(self, before: _Key, after: _Key, gap: int | None) -> None:
        self.model.add(self.starts[after] >= self.ends[before])
        if gap is not None:
            limit = gap + self._overrun(before) if gap else 0
            self.model.add(self.starts[after] - self.ends[before] <= limit)

    def _add_oven(self, at: int, oven: Oven) -> None:
        """Room for every load, time to change between two temperatures, swings counted."""
        intervals, places = [], []
        for load in self.loads:
            need, minutes = self._need(load), self._task(load).least_min
            here = self.present[load, at] = self.model.new_bool_var(f"{load} in {oven.name}")
            taken = oven.places if need.places is None else need.places
            if taken > oven.places:
                self.model.add(here == 0)
            intervals.append(
                self.model.new_optional_interval_var(
                    self.starts[load], minutes, self.ends[load], here, f"bake {load} {at}"
                )
            )
            places.append(min(taken, oven.places))
            warm = self.house.change_min(ROOM_CELSIUS, need)
            self.model.add(self.starts[load] >= warm).only_enforce_if(here)
        self.model.add_cumulative(intervals, places, oven.places)
        for one, other in combinations(self.loads, 2):
            self._keep_apart(one, other, at)
        self._count_swings(at)

    def _need(self, load: _Key) -> OvenNeed:
        need = self._task(load).oven
        assert need is not None  # only loads are asked
        return need

    def _change(self, before: tuple[int, int], after: _Key) -> int:
        return self.house.change_min(self._need(before).at_celsius, self._need(after))

    def _keep_apart(self, one: _Key, other: _Key, at: int) -> None:
        """Two loads of different temperatures never meet in an oven."""
        forth, back = self._change(one, other), self._change(other, one)
        if not forth and not back:
            return
        both = [self.present[one, at], self.present[other, at]]
        first = self.model.new_bool_var(f"{one} before {other} in {at}")
        self.model.add(self.starts[other] >= self.ends[one] + forth).only_enforce_if([*both, first])
        self.model.add(self.starts[one] >= self.ends[other] + back).only_enforce_if([*both, ~first])

    def _count_swings(self, at: int) -> None:
        """One round through the loads of an oven, in order of their starts."""
        arcs: list[tuple[int, int, Any]] = [(0, 0, self.model.new_bool_var(f"oven {at} idle"))]
        for n, load in enumerate(self.loads, 1):
            arcs += [(0, n, self.model.new_bool_var("")), (n, 0, self.model.new_bool_var(""))]
            arcs.append((n, n, ~self.present[load, at]))
            for m, after in enumerate(self.loads, 1):
                if m == n:
                    continue
                follows = self.model.new_bool_var("")
                arcs.append((n, m, follows))
                self.model.add(self.starts[after] >= self.starts[load]).only_enforce_if(follows)
                if self._change(load, after):
                    self.swings.append(follows)
        self.model.add_circuit(arcs)

    def _goal(self, name: str) -> Any:
        from ortools.sat.python import cp_model

        if name == "overrun":
            return cp_model.LinearExpr.sum([over for overs in self.over.values() for over in overs])
        if name == SWINGS:
            return cp_model.LinearExpr.sum(self.swings)
        if name == FINISH:
            finish = self.model.new_int_var(0, self.horizon, FINISH)
            self.model.add_max_equality(finish, list(self.ends.values()))
            return finish
        return cp_model.LinearExpr.sum([self._span(j, job) for j, job in enumerate(self.jobs)])

    def _span(self, j: int, job: Job) -> Any:
        """Minutes from the first step of a formula to the end of its last."""
        begun, done = (self.model.new_int_var(0, self.horizon, "") for _ in range(2))
        self.model.add_min_equality(begun, [self.starts[j, t] for t in range(len(job.tasks))])
        self.model.add_max_equality(done, [self.ends[j, t] for t in range(len(job.tasks))])
        return done - begun

    def solve(self, goals: Sequence[str], seconds: float) -> dict[str, bool] | None:
        """Meet the goals one after the other; whether each is proven. None: no solution."""
        from ortools.sat.python import cp_model

        proven: dict[str, bool] = {}
        parameters = self.solver.parameters
        parameters.num_workers, parameters.random_seed = 1, 1
        until = time.monotonic() + seconds
        for name in goals:
            goal = self._goal(name)
            self.model.minimize(goal)
            parameters.max_time_in_seconds = max(until - time.monotonic(), 0.5)
            status = self.solver.solve(self.model)
            if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
                if not proven:
                    return None
                proven[name] = False
                break
            proven[name] = status == cp_model.OPTIMAL
            self._keep()
            self.model.add(goal <= round(self.solver.objective_value))
        return proven

    def _keep(self) -> None:
        """Remember what was found: it is the hint for the next goal."""
        value = self.solver.value
        self.found = _Found(
            starts={key: value(start) for key, start in self.starts.items()},
            ends={key: value(end) for key, end in self.ends.items()},
            ovens={load: at for (load, at), here in self.present.items() if value(here)},
            overruns={key: sum(map(value, overs)) for key, overs in self.over.items()},
        )
        self.model.clear_hints()
        for key in self.keys:
            self.model.add_hint(self.starts[key], self.found.starts[key])
            self.model.add_hint(self.ends[key], self.found.ends[key])

    def placed(self) -> tuple[Placed, ...]:
        """Every task in time, in order of its start."""
        found = self.found
        placed = [
            Placed(
                *key,
                self._task(key),
                found.starts[key],
                found.ends[key],
                self.house.ovens[found.ovens[key]].name if key in found.ovens else "",
            )
            for key in self.keys
        ]
        return tuple(sorted(placed, key=lambda p: (p.start, p.end, p.job, p.index)))


def _heatings(placed: Sequence[Placed], house: Bakehouse) -> Iterator[Heating]:
    """Every change of an oven's temperature, as late as the next load allows."""
    for oven in house.ovens:
        before, swing = ROOM_CELSIUS, False
        for load in placed:
            need = load.task.oven
            if load.oven != oven.name or need is None:
                continue
            if minutes := house.change_min(before, need):
                start = load.start - minutes
                yield Heating(oven.name, start, load.start, before, need.heat_to_celsius, swing)
            before, swing = need.at_celsius, True


def _horizon(jobs: Sequence[Job], house: Bakehouse) -> int:
    """Minutes that are enough for everything one after the other, at its longest."""
    minutes = 1
    for job in jobs:
        minutes += sum(task.most_min or task.least_min for task in job.tasks)
        minutes += sum(link.gap_most_min or 0 for link in job.links)
        for task in job.tasks:
            if task.oven:
                span = max(task.oven.heat_to_celsius, task.oven.at_celsius, 300)
                slowest = min(house.cool_per_min, house.heat_per_min)
                minutes += task.oven.heat_least_min + ceil(span / slowest)
    return minutes
