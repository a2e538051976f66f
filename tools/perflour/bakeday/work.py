"""A formula's method as work: what needs hands, what waits, what bakes, and what follows what.

Hands follow the order of the file. A wait starts as soon as its dough is there and lasts until the
step that takes it: the first later step whose `uses` names it, else the next one. So a soaker stands
while the batter is begun. Preparing pans may be done at any time before they are filled.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from math import ceil, floor

from perflour.bakeday.appliances import Appliance, taken_by
from perflour.bakeday.faults import Noted
from perflour.formula.formula import Formula, Step
from perflour.formula.verbs import CHILLS, PAN, PATIENT, PORTIONS, STANDS, WAITS
from perflour.kitchen.names import fold
from perflour.lint.ask.steps import verb, word_set
from perflour.result import CannotRun, Place

# Common practice, no source: what a plan takes where the formula is silent.
STEP_MIN = 5
PAUSE_MOST_MIN = 10
GRACE_MIN = 15

# A dough that waits too long is lost; what soaks, drains or cools may wait for the baker.


@dataclass(frozen=True)
class OvenNeed:
    """What a load asks of an oven: preheated to, baked at (°C), places taken, least heating time."""

    heat_to_celsius: float
    at_celsius: float
    places: int | None = None
    heat_least_min: int = 0


@dataclass(frozen=True)
class Task:
    """One piece of work, in whole minutes. ``most_min`` None: as long as you like.

    ``kind`` is hands, wait or bake; ``load`` 0 is for all loads together; ``assumed`` says that the
    formula states no time. ``appliances`` are taken by name while it lasts.
    """

    kind: str
    what: str
    step: int
    load: int
    least_min: int
    most_min: int | None
    place: Place
    detail: str = ""
    assumed: bool = False
    oven: OvenNeed | None = None
    appliances: tuple[str, ...] = ()

    @property
    def in_the_cold(self) -> bool:
        """Whether it waits where it is kept cold, and takes room there."""
        return self.kind == "wait" and not CHILLS.isdisjoint(word_set(self.what))


@dataclass(frozen=True)
class Link:
    """``after`` starts when ``before`` has ended, at most ``gap_most_min`` later (None: any time)."""

    before: int
    after: int
    gap_most_min: int | None


@dataclass(frozen=True)
class Job:
    """One mixing of one formula and its loads; links are by the index of a task."""

    formula: str
    title: str
    loads: int
    tasks: tuple[Task, ...]
    links: tuple[Link, ...]
    mixing: int = 0


@dataclass(frozen=True)
class Allowances:
    """What a plan takes where the formula is silent, in minutes."""

    step_min: int = STEP_MIN
    pause_most_min: int = PAUSE_MOST_MIN
    grace_min: int = GRACE_MIN


def job_of(
    formula: Formula,
    loads: int = 1,
    places: int | None = None,
    allowances: Allowances | None = None,
    mixing: int = 0,
    appliances: Sequence[Appliance] = (),
) -> Job:
    """The work of a formula baked in ``loads`` loads that take ``places`` of an oven each.

    From the first step that portions or fills on, every load has steps of its own. Raises Faults
    for every wait or bake without a time and bake without a temperature.
    """
    _refuse_silent(formula)
    work = _Work(formula, places, allowances or Allowances(), tuple(appliances))
    split = work.split if loads > 1 else 0
    if loads > 1:
        work.add_steps(0, split, load=0)
    previous, touched = work.previous, work.touched
    for load in range(1, loads + 1):
        work.previous, work.touched = previous, dict(touched)
        work.add_steps(split, len(formula.method), load if loads > 1 else 0)
    return Job(formula.id, formula.title, loads, tuple(work.tasks), tuple(work.links), mixing)


def _refuse_silent(formula: Formula) -> None:
    """Raises Faults with every step that does not say what a plan must know."""
    noted, heating = Noted(), None
    for step in formula.method:
        heating = step if step.heats_oven else heating
        if step.bakes or _is_wait(step):
            with noted.each():
                _minutes(step)
        if step.bakes:
            with noted.each():
                _celsius(step, heating)
    noted.raise_any()


@dataclass
class _Pending:
    """A wait beside the main work, begun by ``origin`` for the step at ``taker``."""

    taker: int
    origin: int
    at: int
    load: int


@dataclass
class _Work:
    formula: Formula
    places: int | None
    allowances: Allowances
    appliances: tuple[Appliance, ...] = ()
    tasks: list[Task] = field(default_factory=list)
    links: list[Link] = field(default_factory=list)
    previous: int | None = None
    patient: set[int] = field(default_factory=set)
    waits: list[_Pending] = field(default_factory=list)
    pans: list[tuple[int, int]] = field(default_factory=list)
    touched: dict[str, int] = field(default_factory=dict)

    @property
    def steps(self) -> Sequence[Step]:
        return self.formula.method

    @property
    def split(self) -> int:
        """The first step that every load has for itself, with the waits right before it."""
        bake = next((at for at, s in enumerate(self.steps) if s.bakes), len(self.steps))
        split = next((at for at in range(bake) if _portions(self.steps[at])), bake)
        while split and (self.steps[split - 1].heats_oven or self._is_main_wait(split - 1)):
            split -= 1
        return split

    def add_steps(self, first: int, beyond: int, load: int) -> None:
        """Add the work of some steps; bakes that follow each other are one stay in the oven."""
        for at in range(first, beyond):
            step = self.steps[at]
            if step.heats_oven or (at > first and step.bakes and self.steps[at - 1].bakes):
                continue
            if step.bakes:
                self._add_next(self._bake(at, load), at, load)
            elif _is_wait(step):
                self._add_wait(at, load)
            elif verb(step) in PAN and not step.uses:
                self._add_pan_work(at, load)
            else:
                self._add_next(self._hands(at, load), at, load)

    def _add_next(self, task: Task, at: int, load: int) -> int:
        """The next of the main work; every wait that it takes ends as it starts."""
        index = self._add(task)
        if self.previous is not None:
            self._follow(self.previous, index)
        for wait in [w for w in self.waits if w.taker == at and w.load in (0, load)]:
            self._end_wait(wait, index, load)
        for pan, filled in self.pans:
            if filled == at and self.tasks[pan].load in (0, load):
                self.links.append(Link(pan, index, None))
        self.previous = index
        self._touch(self.steps[at], index)
        if verb(self.steps[at]) in PATIENT or self._made_for_later(at):
            self.patient.add(index)
        return index

    def _follow(self, before: int, after: int) -> None:
        """Waits last until they are taken; a dough in work stands no longer than a pause."""
        gap: int | None = self.allowances.pause_most_min
        if before in self.patient:
            gap = None
        elif "wait" in (self.tasks[before].kind, self.tasks[after].kind):
            gap = 0
        self.links.append(Link(before, after, gap))

    def _add_wait(self, at: int, load: int) -> None:
        step = self.steps[at]
        taker = self._taker(at)
        begun = [self.touched[name] for name in _names(step) if name in self.touched]
        origin = max(begun, default=self.previous)
        if step.uses and not begun:
            origin = self._add_next(self._hands(at, load, f"{step.do} (set up)"), at, load)
        beside = taker is not None and taker != self._next(at)
        if beside and taker is not None and origin is not None:
            self.patient.add(origin)
            self.waits.append(_Pending(taker, origin, at, load))
            return
        index = self._add(self._wait(at, load))
        if self.previous is not None:
            self.patient.discard(self.previous)
            self._follow(self.previous, index)
        self.previous = index
        self._touch(step, index)

    def _end_wait(self, wait: _Pending, taker: int, load: int) -> None:
        index = self._add(self._wait(wait.at, load))
        self.links += [Link(wait.origin, index, 0), Link(index, taker, 0)]

    def _add_pan_work(self, at: int, load: int) -> None:
        index = self._add(self._hands(at, load))
        later = (
            n
            for n in range(at + 1, len(self.steps))
            if self.steps[n].bakes or _portions(self.steps[n])
        )
        self.pans.append((index, next(later, at)))

    def _add(self, task: Task) -> int:
        self.tasks.append(task)
        return len(self.tasks) - 1

    def _touch(self, step: Step, index: int) -> None:
        for name in _names(step):
            self.touched[name] = index

    def _next(self, at: int) -> int | None:
        """The step that comes next in the main work."""
        later = range(at + 1, len(self.steps))
        return next((n for n in later if not self.steps[n].heats_oven), None)

    def _taker(self, at: int) -> int | None:
        """The first later step that names what this one leaves standing."""
        names = _names(self.steps[at])
        later = range(at + 1, len(self.steps))
        return next((n for n in later if names & {fold(u.name) for u in self.steps[n].uses}), None)

    def _is_main_wait(self, at: int) -> bool:
        taker = self._taker(at)
        return _is_wait(self.steps[at]) and taker in (None, self._next(at))

    def _made_for_later(self, at: int) -> bool:
        """Whether a step makes a part that the next step leaves alone."""
        made, following = self.steps[at].text("makes"), self._next(at)
        if not made or following is None or self._taker(at) is None:
            return False
        return fold(made) not in {fold(use.name) for use in self.steps[following].uses}

    def _hands(self, at: int, load: int, what: str = "") -> Task:
        step = self.steps[at]
        duration = step.time.value if step.time and not what else None
        minutes = ceil(duration.high_min) if duration else self.allowances.step_min
        return Task(
            "hands", what or step.do, at + 1, load, minutes, minutes, step.place, _detail(step),
            assumed=duration is None, appliances=() if what else taken_by(step, self.appliances),
        )  # fmt: skip

    def _wait(self, at: int, load: int) -> Task:
        step = self.steps[at]
        low, high = _minutes(step)
        least, most = ceil(low), max(ceil(low), floor(high))
        cooling = verb(step) == "cool"
        limit: int | None = most
        if low == high or cooling:
            dough = bool(word_set(step.do) & WAITS) and not cooling
            limit = most + self.allowances.grace_min if dough else None
        if self._next(at) is None:
            limit = least
        return Task(
            "wait", step.do, at + 1, load, least, limit, step.place, _detail(step),
            appliances=taken_by(step, self.appliances),
        )  # fmt: skip

    def _bake(self, at: int, load: int) -> Task:
        """One stay in the oven, booked for the longest time that is stated."""
        stages = [self.steps[at]]
        for step in self.steps[at + 1 :]:
            if not step.bakes:
                break
            stages.append(step)
        minutes = sum(ceil(_minutes(step)[1]) for step in stages)
        heating = next((s for s in reversed(self.steps[:at]) if s.heats_oven), None)
        temperatures = [_celsius(step, heating) for step in stages]
        heat_to = _stated(heating, "to") if heating else None
        heated = heating.time.value if heating and heating.time else None
        need = OvenNeed(
            temperatures[0] if heat_to is None else heat_to,
            temperatures[-1],
            self.places,
            ceil(heated.low_min) if heated else 0,
        )
        step = stages[0]
        detail = ", then ".join(_detail(stage) for stage in stages)
        return Task("bake", step.do, at + 1, load, minutes, minutes, step.place, detail, oven=need)


def _is_wait(step: Step) -> bool:
    """Whether a step waits. What drains or soaks with no time stated is done in passing, by hand."""
    if step.bakes:
        return False
    words = word_set(step.do)
    return bool(words & WAITS or (words & STANDS and (step.time or "cool" in words)))


def _portions(step: Step) -> bool:
    """Whether a step makes pieces or fills pans; fat that is cut in does neither."""
    return verb(step) in PORTIONS and "in" not in word_set(step.do)


def _names(step: Step) -> set[str]:
    made = step.text("makes")
    return {fold(use.name) for use in step.uses} | ({fold(made)} if made else set())


def _minutes(step: Step) -> tuple[float, float]:
    """The shortest and longest time of a step. Raises CannotRun where it states none."""
    duration = step.time.value if step.time else None
    if duration is None:
        unread = f" that can be read ('{step.time.text}')" if step.time else ""
        raise CannotRun(
            f"{step.place}: '{step.do}' states no time{unread}; write `for: 45-50 min`, a plan needs the time of every wait and bake"
        )
    return duration.low_min, duration.high_min


def _celsius(step: Step, heating: Step | None) -> float:
    at = _stated(step, "at")
    if at is None:
        at = _stated(heating, "to") if heating else None
    if at is None:
        raise CannotRun(
            f"{step.place}: '{step.do}' states no temperature; write `at: 175 °C`, a plan needs it"
        )
    return at


def _stated(step: Step, key: str) -> float | None:
    reading = step.at if key == "at" else step.to
    value = reading.value if reading else None
    return (value.low_celsius + value.high_celsius) / 2 if value else None


def _detail(step: Step) -> str:
    return ", ".join(_details(step))


def _details(step: Step) -> Iterator[str]:
    if step.uses:
        yield ", ".join(use.said for use in step.uses)
    for key in ("with", "into", "on"):
        if text := step.text(key):
            yield f"{key} {text}"
    for key, word in (("at", "at "), ("to", "to "), ("for", ""), ("until", "until "), ("note", "")):
        if text := step.text(key):
            yield f"{word}{text}"
