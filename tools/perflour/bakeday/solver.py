"""The constraints of a timetable, for the CP-SAT solver of OR-tools. Times are whole minutes."""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
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
        self.solver, self.model = cp_model.CpSolver(), cp_model.CpModel()
        self.horizon = horizon_min(jobs, house, day)
        self.begin = self.model.new_int_var(0, self.horizon if day.at_end else 0, "begin")
        self.keys = [(j, t) for j, job in enumerate(jobs) for t in range(len(job.tasks))]
        self.loads = [key for key in self.keys if self.task(key).oven]
        self.starts: dict[Key, cp_model.IntVar] = {}
        self.ends: dict[Key, cp_model.IntVar] = {}
        self.over: dict[Key, list[cp_model.IntVar]] = {}
        self.present: dict[tuple[Key, int], cp_model.IntVar] = {}
        self.swings: list[cp_model.IntVar] = []
        self.found = Found(0, {}, {}, {}, {})
        self.impossible = False
        for key in self.keys:
            self._add_task(key)
        self._share_hands()
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
        start = self.starts[key] = self.model.new_int_var(0, self.horizon, f"start {key}")
        end = self.ends[key] = self.model.new_int_var(0, self.horizon, f"end {key}")
        self.model.add(start >= self.begin)
        self.model.add(end - start >= task.least_min)
        if task.most_min is not None:
            over = self._overrun(key) if task.kind == "wait" else 0
            self.model.add(end - start <= task.most_min + over)

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
        self.model.add_cumulative(hands, [1] * len(hands), self.house.bakers)
        for interval in work.values():
            self.model.add_no_overlap([interval, *closed])

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
        intervals, places = [], []
        for load in self.loads:
            need, minutes = self._need(load), self.task(load).least_min
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
            self.model.add(self.starts[load] >= self.begin + warm).only_enforce_if(here)
        self.model.add_cumulative(intervals, places, oven.places)
        for one, other in combinations(self.loads, 2):
            self._keep_apart(one, other, at)
        self._count_swings(at)

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

        if name == OVERRUN:
            return cp_model.LinearExpr.sum([over for overs in self.over.values() for over in overs])
        if name == SWINGS:
            return cp_model.LinearExpr.sum(self.swings)
        if name == FINISH:
            if self.day.at_end:
                return self.horizon - self.begin
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
                    self.impossible = status == cp_model.INFEASIBLE
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
        self.found = Found(
            begin=value(self.begin),
            starts={key: value(start) for key, start in self.starts.items()},
            ends={key: value(end) for key, end in self.ends.items()},
            ovens={load: at for (load, at), here in self.present.items() if value(here)},
            overruns={key: sum(map(value, overs)) for key, overs in self.over.items()},
        )
        self.model.clear_hints()
        for key in self.keys:
            self.model.add_hint(self.starts[key], self.found.starts[key])
            self.model.add_hint(self.ends[key], self.found.ends[key])


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
