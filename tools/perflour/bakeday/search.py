"""The search for a timetable: one goal after the other, in the time that is given, until somebody stops it.

A goal is searched whole first. Where that proves nothing, rounds follow in which a few formulas move and the others
stay where they are. All limits but the clock's count steps of the solver, so that the same question finds the same
plan as long as the time is enough.
"""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import cycle
from math import ceil
from typing import TYPE_CHECKING

from perflour.bakeday.solver import FINISH, IN_WORK, Found, Model

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

#: The solver's own measure of its work in a second of one core: less than a plain machine does, so that the clock
#: seldom has the last word.
STEPS_A_SECOND = 0.16
#: What one turn with the whole model may take of the work for a goal, and one between rounds. Turns look without linear
#: relaxations and with them by turns: the one finds, the other proves.
TURN, BETWEEN = 0.35, 0.12
#: What one round may take of a turn; so many formulas move in it; and rounds that bring nothing before the next turn.
ROUND, MOVED, FRUITLESS = 0.15, (3, 4, 6), 30
#: A round is worth at least so much: to lay out what is searched is work as well.
LEAST_STEPS = 0.002
#: How long the main thread sleeps between two looks at the clock.
LOOK_S = 0.2


@dataclass(frozen=True)
class Reached:
    """How far a goal was met: its value, and what is proven that nothing can be below."""

    value: int
    at_least: int

    @property
    def proven(self) -> bool:
        return self.value <= self.at_least


@dataclass(frozen=True)
class Progress:
    """What a search has come to: which goal it is at, and what is best so far (None: nothing yet)."""

    seconds: float
    goal: str
    best: int | None


Watch = Callable[[Progress], None]


@dataclass
class Search:
    """One search. ``found`` is the best so far; ``stopped`` says that somebody ended it."""

    model: Model
    seconds: float
    watch: Watch | None = None
    found: Found | None = None
    reached: dict[str, Reached] = field(default_factory=dict)
    impossible: bool = False
    stopped: bool = False

    def run(self, goals: Sequence[str]) -> None:
        """Search in a thread of its own, so that an interrupt reaches this one."""
        self._begun = time.monotonic()
        self._now, self._best, self._problem = goals[0], None, None
        worker = threading.Thread(target=self._guarded, args=(goals,), daemon=True)
        worker.start()
        while worker.is_alive():
            try:
                worker.join(LOOK_S)
                if self.watch and worker.is_alive():
                    self.watch(Progress(time.monotonic() - self._begun, self._now, self._best))
            except KeyboardInterrupt:
                if self.stopped:
                    raise
                self.stopped = True
                if self._solver:
                    self._solver.stop_search()
        if self._problem:
            raise self._problem

    _begun: float = 0.0
    _now: str = ""
    _best: int | None = None
    _problem: Exception | None = None
    _solver: cp_model.CpSolver | None = None
    _until: float = 0.0
    _left: float = 0.0

    def _guarded(self, goals: Sequence[str]) -> None:
        try:
            self._meet(goals)
            for name, far in self.reached.items():  # a later goal may have bettered an earlier one
                self._rate(name, far.at_least)
        except Exception as problem:  # raised again where the search was asked for
            self._problem = problem

    def _meet(self, goals: Sequence[str]) -> None:
        """Goal after goal; what one leaves of its share of the work is there for the next."""
        left = self.seconds * STEPS_A_SECOND
        for number, name in enumerate(goals):
            share = 0.5 if number + 1 < len(goals) else 1.0
            self._now, self._best = name, None
            goal = self.model.goal(name)
            self.model.model.minimize(goal)
            now = time.monotonic()
            self._until = now + max(self._begun + self.seconds - now, 0.0) * share
            self._left = steps = left * share
            self._turns(name, TURN * steps if name != IN_WORK else BETWEEN * steps)
            if name not in self.reached:
                return
            left -= steps - self._left
            self.model.model.add(goal <= self.reached[name].value)

    def _turns(self, name: str, steps: float) -> None:
        """The whole model again and again, until there is proof or the work or the time is spent."""
        drawn = random.Random(1)
        for level in cycle((0, 1)):
            if self._over(name):
                return
            status = self._solve(self.model.model, name, min(steps, self._left), level)
            if self.found is None and status == "INFEASIBLE":
                self.impossible = True
                return
            if name != FINISH:
                self._rounds(name, steps * ROUND, drawn)

    def _rounds(self, name: str, steps: float, drawn: random.Random) -> None:
        """A few formulas move, the others stay; which, is drawn, the same for the same question."""
        fruitless = 0
        for number in cycle(MOVED):
            if self._over(name) or fruitless >= FRUITLESS:
                return
            before = self.reached[name].value
            self._solve(self._held(self._moved(drawn, number)), name, steps, 1, whole=False)
            fruitless = 0 if self.reached[name].value < before else fruitless + 1

    def _moved(self, drawn: random.Random, number: int) -> set[int]:
        """One formula drawn, and those nearest to it in time of a few that are drawn as well."""
        assert self.found  # there is something to better
        begun = [
            min((self.found.starts[key] for key in self.model.keys if key[0] == j), default=0)
            for j in range(len(self.model.jobs))
        ]
        one = drawn.randrange(len(begun))
        others = drawn.sample(range(len(begun)), min(2 * number, len(begun)))
        others.sort(key=lambda j: abs(begun[j] - begun[one]))
        return {one, *others[:number]}

    def _held(self, moved: set[int]) -> cp_model.CpModel:
        """The model with every formula where it is but the ``moved``."""
        assert self.found  # as above
        held = self.model.model.clone()
        for key, start in self.model.starts.items():
            if key[0] not in moved:
                held.add(held.get_int_var_from_proto_index(start.index) == self.found.starts[key])
        return held

    def _over(self, name: str) -> bool:
        """Whether a goal is met, or there is no more work or time for it."""
        if self.stopped or time.monotonic() >= self._until or self._left <= 0:
            return True
        return name in self.reached and self.reached[name].proven

    def _solve(
        self, model: cp_model.CpModel, name: str, steps: float, level: int, whole: bool = True
    ) -> str:
        """One call of the solver; what it finds is kept, and so is what it proves of the ``whole`` model."""
        from ortools.sat.python import cp_model

        solver = self._solver = cp_model.CpSolver()
        limits = solver.parameters
        limits.num_workers, limits.random_seed, limits.linearization_level = 1, 1, level
        limits.catch_sigint_signal = False
        limits.max_deterministic_time = max(steps, LEAST_STEPS)
        limits.max_time_in_seconds = max(self._until - time.monotonic(), 0.1)
        if self.stopped:
            return "UNKNOWN"
        status = solver.solve(model)
        self._left -= max(solver.response_proto.deterministic_time, LEAST_STEPS)
        at_least = self.reached[name].at_least if name in self.reached else self.model.least(name)
        if whole and status != cp_model.INFEASIBLE and solver.best_objective_bound > at_least:
            at_least = ceil(solver.best_objective_bound - 1e-6)
        if status in (cp_model.OPTIMAL, cp_model.FEASIBLE):
            self._keep(solver)
        self._rate(name, at_least)
        return str(solver.status_name(status))

    def _rate(self, name: str, at_least: int) -> None:
        """How far a goal is met by the best so far."""
        if self.found is not None:
            self._best = value = self.model.value(name, self.found)
            self.reached[name] = Reached(value, min(at_least, value))

    def _keep(self, solver: cp_model.CpSolver) -> None:
        """Remember what was found: it is the hint for what comes next."""
        model = self.model.model
        self.found = self.model.read(solver.value)
        model.clear_hints()
        for index, value in enumerate(solver.response_proto.solution):
            model.add_hint(model.get_int_var_from_proto_index(index), value)
