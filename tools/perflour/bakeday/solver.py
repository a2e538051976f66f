"""The constraints of a timetable, for the CP-SAT solver of OR-tools. Times are whole minutes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import chain, combinations, pairwise
from math import ceil
from typing import TYPE_CHECKING, Any

from perflour.bakeday.ovens import DAY_MIN, ROOM_CELSIUS, Bakehouse, Hours, Oven
from perflour.bakeday.work import Job, OvenNeed, Task

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

FINISH, SWINGS, IN_WORK, OVERRUN = "finish", "swings", "in work", "overrun"

Key = tuple[int, int]  # a task: index of its job, and its own within the job


@dataclass(frozen=True)
class Found:
    """What the solver found, by task."""

    begin: int
    starts: Mapping[Key, int]
    ends: Mapping[Key, int]
    ovens: Mapping[Key, int]
    overruns: Mapping[Key, int]


class Model:
    """The constraints on all tasks; ``loose`` lets waits and pauses run over, counted."""

    def __init__(
        self, jobs: Sequence[Job], house: Bakehouse, day: Hours, loose: bool = False
    ) -> None:
        from ortools.sat.python import cp_model  # half a second: only for a plan

        self.jobs, self.house, self.day, self.loose = jobs, house, day, loose
        self.model = cp_model.CpModel()
        self.horizon = horizon_min(jobs, house, day)
        self.begin = self.model.new_int_var(0, self.horizon if day.at_end else 0, "begin")
        self.keys = [(j, t) for j, job in enumerate(jobs) for t in range(len(job.tasks))]
        self.loads = [key for key in self.keys if self.task(key).oven]
        self.starts: dict[Key, cp_model.IntVar] = {}
        self.ends: dict[Key, cp_model.LinearExpr] = {}
        self.over: dict[Key, list[cp_model.IntVar]] = {}
        self.present: dict[tuple[Key, int], cp_model.BoolVarT] = {}
        self.first: dict[tuple[Key, Key], cp_model.IntVar] = {}
        self.swings: list[cp_model.IntVar] = []
        for key in self.keys:
            self._add_task(key)
        self._share_hands()
        self._share_appliances()
        for j, job in enumerate(jobs):
            for link in job.links:
                self._add_link((j, link.before), (j, link.after), link.gap_most_min)
        for at, oven in enumerate(house.ovens):
            self._add_oven(at, oven)
        self._order_alike()
        for load in self.loads:
            self.model.add_exactly_one(self.present[load, at] for at in range(len(house.ovens)))

    def task(self, key: Key) -> Task:
        return self.jobs[key[0]].tasks[key[1]]

    def _add_task(self, key: Key) -> None:
        """Start and end of a task, as far apart as it lasts."""
        task = self.task(key)
        latest = self.horizon - task.least_min
        start = self.starts[key] = self.model.new_int_var(0, latest, f"start {key}")
        self.model.add(start >= self.begin)
        if task.kind != "wait" or (task.most_min == task.least_min and not self.loose):
            self.ends[key] = start + task.least_min
            return
        end = self.ends[key] = self.model.new_int_var(0, self.horizon, f"end {key}")
        self.model.add(end - start >= task.least_min)
        if task.most_min is not None:
            self.model.add(end - start <= task.most_min + self._overrun(key))

    def _share_hands(self) -> None:
        """Work by hand never needs more bakers than there are; in closed hours there are none, and
        nothing stands in an oven."""
        fixed = self.model.new_fixed_size_interval_var
        closed = [
            fixed(start, end - start, f"closed {start}")
            for start, end in self.day.closed_until(self.horizon)
        ]
        work = {
            key: fixed(self.starts[key], self.task(key).least_min, f"work {key}")
            for key in self.keys
            if self.task(key).kind != "wait"
        }
        hands = [interval for key, interval in work.items() if self.task(key).kind == "hands"]
        self._share(hands, [1] * len(hands), self.house.bakers)
        for interval in work.values() if closed else ():
            self.model.add_no_overlap([interval, *closed])

    def _share_appliances(self) -> None:
        """An appliance is taken as long as the step lasts that it is needed for."""
        for appliance in self.house.appliances:
            taken = [
                self._lasting(key)
                for key in self.keys
                if appliance.name in self.task(key).appliances
            ]
            self._share(taken, [1] * len(taken), appliance.number)

    def _lasting(self, key: Key) -> Any:
        """The time of a task, as long as it lasts."""
        lasts = self.model.new_int_var(self.task(key).least_min, self.horizon, f"lasts {key}")
        return self.model.new_interval_var(self.starts[key], lasts, self.ends[key], f"takes {key}")

    def _share(self, intervals: Sequence[Any], places: Sequence[int], room: int) -> None:
        """No more at a time than there is room for; where no two go together, the solver sees further."""
        if all(2 * taken > room for taken in places):
            self.model.add_no_overlap(intervals)
        else:
            self.model.add_cumulative(intervals, places, room)

    def _overrun(self, key: Key) -> Any:
        if not self.loose:
            return 0
        over = self.model.new_int_var(0, self.horizon, f"over {key} {len(self.over)}")
        self.over.setdefault(key, []).append(over)
        return over

    def _add_link(self, before: Key, after: Key, gap: int | None) -> None:
        self.model.add(self.starts[after] >= self.ends[before])
        if gap is not None:
            limit = gap + self._overrun(before) if gap else 0
            self.model.add(self.starts[after] - self.ends[before] <= limit)

    def _add_oven(self, at: int, oven: Oven) -> None:
        """Room for every load, time to change between two temperatures, swings counted."""
        intervals = []
        for load in self.loads:
            need, minutes = self._need(load), self.task(load).least_min
            here = self.present[load, at] = self._in_oven(load, oven)
            if self._places(load, oven) > oven.places:
                self.model.add(here == 0)
            intervals.append(
                self.model.new_optional_fixed_size_interval_var(
                    self.starts[load], minutes, here, f"bake {load} {at}"
                )
            )
            warm = self.house.change_min(ROOM_CELSIUS, need)
            self.model.add(self.starts[load] >= self.begin + warm).only_enforce_if(here)
        places = [min(self._places(load, oven), oven.places) for load in self.loads]
        self._share(intervals, places, oven.places)
        for one, other in combinations(self.loads, 2):
            self._keep_apart(one, other, at)
        self._count_swings(at, oven)

    def _in_oven(self, load: Key, oven: Oven) -> Any:
        """Whether a load goes into an oven; no question where there is one."""
        if len(self.house.ovens) == 1:
            return self.model.new_constant(1)
        return self.model.new_bool_var(f"{load} in {oven.name}")

    def _places(self, load: Key, oven: Oven) -> int:
        places = self._need(load).places
        return oven.places if places is None else places

    def _order_alike(self) -> None:
        """Loads of one formula are baked in their order: they differ in nothing but their number."""
        first: dict[tuple[str, int, int], Key] = {}
        for load in self.loads:
            about = (self.jobs[load[0]].formula, self.jobs[load[0]].mixing, self.task(load).load)
            first.setdefault(about, load)
        for one, other in pairwise(sorted(first)):
            if one[0] == other[0]:
                self.model.add(self.starts[first[one]] <= self.starts[first[other]])

    def _need(self, load: Key) -> OvenNeed:
        need = self.task(load).oven
        assert need is not None  # only loads are asked
        return need

    def _change(self, before: Key, after: Key) -> int:
        return self.house.change_min(self._need(before).at_celsius, self._need(after))

    def _keep_apart(self, one: Key, other: Key, at: int) -> None:
        """Two loads of different temperatures never meet in an oven, whatever stands between them."""
        forth, back = self._change(one, other), self._change(other, one)
        if not forth and not back:
            return
        both = [self.present[one, at], self.present[other, at]]
        if (first := self.first.get((one, other))) is None:
            first = self.first[one, other] = self.model.new_bool_var(f"{one} before {other}")
        self.model.add(self.starts[other] >= self.ends[one] + forth).only_enforce_if([*both, first])
        self.model.add(self.starts[one] >= self.ends[other] + back).only_enforce_if([*both, ~first])

    def _count_swings(self, at: int, oven: Oven) -> None:
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
                change = self._change(load, after)
                apart = change or self._places(load, oven) + self._places(after, oven) > oven.places
                earliest = self.ends[load] + change if apart else self.starts[load]
                self.model.add(self.starts[after] >= earliest).only_enforce_if(follows)
                if (load, after) in self.first:
                    self.model.add_implication(follows, self.first[load, after])
                elif (after, load) in self.first:
                    self.model.add_implication(follows, ~self.first[after, load])
                if change:
                    self.swings.append(follows)
        self.model.add_circuit(arcs)

    def goal(self, name: str) -> Any:
        """What is to be as little as possible, as an expression of the model."""
        from ortools.sat.python import cp_model

        if name == OVERRUN:
            return cp_model.LinearExpr.sum([over for overs in self.over.values() for over in overs])
        if name == SWINGS:
            swings = cp_model.LinearExpr.sum(self.swings)
            self.model.add(swings >= self._fewest_swings())
            return swings
        if name == FINISH:
            if self.day.at_end:
                return self.horizon - self.begin
            finish = self.model.new_int_var(0, self.horizon, FINISH)
            for j, job in enumerate(self.jobs):
                for last in _last(job):
                    self.model.add(finish >= self.ends[j, last])
            return finish
        return cp_model.LinearExpr.sum([self._span(j, job) for j, job in enumerate(self.jobs)])

    def least(self, name: str) -> int:
        """What no timetable can be below, seen at once: the steps of a formula one after the other."""
        if name == SWINGS:
            return self._fewest_swings()
        chains = [_chain_min(job) for job in self.jobs]
        return {FINISH: max(chains, default=0), IN_WORK: sum(chains)}.get(name, 0)

    def _fewest_swings(self) -> int:
        """An oven with loads of several temperatures changes once less than there are of these, or more."""
        apart: list[list[Key]] = []
        for load in self.loads:
            alike = [one for one in apart if any(self._alike(load, other) for other in one)]
            apart = [one for one in apart if one not in alike] + [[load, *chain(*alike)]]
        return max(len(apart) - len(self.house.ovens), 0)

    def _alike(self, one: Key, other: Key) -> bool:
        """Whether an oven need not change between two loads, in one order of them at least."""
        return not (self._change(one, other) and self._change(other, one))

    def value(self, name: str, found: Found) -> int:
        """What a solution is worth by a goal."""
        if name == OVERRUN:
            return sum(found.overruns.values())
        if name == SWINGS:
            return sum(map(self._swings, self._by_oven(found)))
        if name == FINISH:
            return (
                self.horizon - found.begin
                if self.day.at_end
                else max(found.ends.values(), default=0)
            )
        return sum(
            max(found.ends[j, t] for t in _last(job)) - min(found.starts[j, t] for t in _first(job))
            for j, job in enumerate(self.jobs)
            if job.tasks
        )

    def _by_oven(self, found: Found) -> Iterator[list[Key]]:
        """The loads of each oven in order; those that start together are of one temperature."""
        for at in range(len(self.house.ovens)):
            here = [load for load in self.loads if found.ovens[load] == at]
            yield sorted(here, key=lambda load: (found.starts[load], found.ends[load]))

    def _swings(self, loads: Sequence[Key]) -> int:
        return sum(self._change(one, other) > 0 for one, other in pairwise(loads))

    def _span(self, j: int, job: Job) -> Any:
        """Minutes from the first step of a formula to the end of its last."""
        begun, done = (self.model.new_int_var(0, self.horizon, "") for _ in range(2))
        for first in _first(job):
            self.model.add(begun <= self.starts[j, first])
        for last in _last(job):
            self.model.add(done >= self.ends[j, last])
        return done - begun

    def read(self, value: Callable[[Any], int]) -> Found:
        """What a solution says, by task."""
        return Found(
            begin=value(self.begin),
            starts={key: value(start) for key, start in self.starts.items()},
            ends={key: value(end) for key, end in self.ends.items()},
            ovens={load: at for (load, at), here in self.present.items() if value(here)},
            overruns={key: sum(map(value, overs)) for key, overs in self.over.items()},
        )


def _first(job: Job) -> Iterator[int]:
    """The tasks that wait for no other."""
    behind = {link.after for link in job.links}
    return (t for t in range(len(job.tasks)) if t not in behind)


def _last(job: Job) -> Iterator[int]:
    """The tasks that no other waits for."""
    before = {link.before for link in job.links}
    return (t for t in range(len(job.tasks)) if t not in before)


def _chain_min(job: Job) -> int:
    """Minutes of the longest chain of steps that wait for each other, each as short as it may be."""
    before: dict[int, list[int]] = {}
    for link in job.links:
        before.setdefault(link.after, []).append(link.before)
    done: dict[int, int] = {}
    todo = list(range(len(job.tasks)))
    while todo:
        task = todo[-1]
        if missing := [one for one in before.get(task, ()) if one not in done]:
            todo += missing
            continue
        todo.pop()
        begun = max((done[one] for one in before.get(task, ())), default=0)
        done[task] = begun + job.tasks[task].least_min
    return max(done.values(), default=0)


def horizon_min(jobs: Sequence[Job], house: Bakehouse, day: Hours) -> int:
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
    closed = sum((end - begin) % DAY_MIN for begin, end in day.closed)
    return minutes + DAY_MIN * (1 + minutes // max(DAY_MIN - closed, 60)) if closed else minutes
