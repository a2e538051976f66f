"""A bake day: what to buy, what to weigh, when to do what."""

from __future__ import annotations

import random
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil

from perflour.bakeday.appliances import Appliance, asked_appliance, not_counted
from perflour.bakeday.batches import Batch, words_by_id
from perflour.bakeday.clock import Clock, asked_times
from perflour.bakeday.faults import Noted
from perflour.bakeday.ovens import (
    COOL_CELSIUS_PER_MIN,
    HEAT_CELSIUS_PER_MIN,
    Bakehouse,
    Hours,
    Oven,
)
from perflour.bakeday.search import Watch
from perflour.bakeday.shopping import ShoppingList, shopping_list
from perflour.bakeday.solver import FINISH
from perflour.bakeday.timetable import SECONDS, Timetable, timetable
from perflour.bakeday.work import GRACE_MIN, PAUSE_MOST_MIN, STEP_MIN, Allowances, Job, job_of
from perflour.formula.formula import Step
from perflour.formula.verbs import CHILLS
from perflour.kitchen.cautions import Caution, texts
from perflour.kitchen.prices import PriceList
from perflour.kitchen.quantity import AmountProblem, parse_duration
from perflour.lint.situations import cautions_that_hold
from perflour.result import CannotRun, request_field
from perflour.scale.request import Rescaled, ScaleRequest, scale_source

MOST_LOADS = 40
MOST_PLACES = 100
_LOAD = re.compile(r"([0-9]{1,6})(?: pieces?)?(?: on ([0-9]{1,3})(?: places?)?)?")
_OVEN = re.compile(r"([^=]*[^=\s])\s*(?:=\s*([0-9]{1,3})(?: places?)?)?")


@dataclass(frozen=True)
class Made:
    """One formula of the day: its batch, the sheet of one mixing, its loads, its code for tasters.

    ``places`` of an oven that one load takes; None: all of them.
    """

    batch: Batch
    rescaled: Rescaled
    mixings: int
    loads: int
    per_load: int | None
    places: int | None
    code: str = ""

    @property
    def pieces(self) -> int | None:
        """Pieces in all, where the formula has a yield."""
        each = self.rescaled.scaled.pieces
        return each * self.mixings if each else None

    @property
    def method(self) -> tuple[Step, ...]:
        """The steps with the portions of the sheet."""
        portions = self.rescaled.scaled.portions
        return tuple(
            step._replace(
                uses=tuple(use._replace(said=portions.get(use.said, use.said)) for use in step.uses)
            )
            for step in self.batch.balance.formula.method
        )


@dataclass(frozen=True)
class Plan:
    """Everything a bake day needs. ``serving`` is the order in which codes go to the tasters.

    ``not_counted`` are appliances that steps take and nobody named, ``idle`` those that no step takes.
    """

    made: tuple[Made, ...]
    shopping: ShoppingList
    timetable: Timetable
    clock: Clock
    house: Bakehouse
    allowances: Allowances
    first: str
    cautions: tuple[Caution, ...]
    serving: tuple[str, ...] = ()
    not_counted: tuple[tuple[str, int], ...] = ()
    idle: tuple[str, ...] = ()


@dataclass(frozen=True)
class DayRequest:
    """What a bake day is planned by, as people say it; what is not said is as usual.

    ``make`` says how much of a formula (oat-date-loaf=2 batches), ``prices`` names a price list, ``oven``
    each oven (deck=4 places), ``appliance`` what else is shared (stand mixer=1), ``load`` pieces baked at a time (oat-date-loaf=24 pieces on 2 places).
    ``start``, ``ready_by`` and ``closed`` are times of day, ``heating`` and ``cooling`` °C in a minute,
    ``step``, ``pause`` and ``grace`` durations, ``first`` what comes first, ``seconds`` the longest search,
    ``blind`` the seed of codes for tasters.
    """

    make: tuple[str, ...] = ()
    prices: str | None = None
    oven: tuple[str, ...] = ()
    appliance: tuple[str, ...] = ()
    load: tuple[str, ...] = ()
    mix_each_load: bool = False
    whole_eggs: bool = False
    start: str | None = None
    ready_by: str | None = None
    closed: tuple[str, ...] = ()
    bakers: str | None = None
    heating: str | None = None
    cooling: str | None = None
    step: str | None = None
    pause: str | None = None
    grace: str | None = None
    first: str = FINISH
    seconds: str | None = None
    blind: int | None = None


def plan(
    batches: Sequence[Batch],
    prices: PriceList | None,
    asked: DayRequest,
    watch: Watch | None = None,
    problems: Sequence[CannotRun] = (),
) -> Plan:
    """The plan of a day; ``watch`` is told how the search goes, ``problems`` is what is wrong already.

    Raises Faults with all words that cannot be read and all steps that say too little, and CannotRun where no
    timetable keeps every limit.
    """
    noted = Noted(problems)
    house, allowances = Bakehouse(), Allowances()
    made: tuple[Made, ...] = ()
    span, seconds = asked_times(None, None), SECONDS
    with noted.each():
        house = bakehouse(asked)
    with noted.each():
        allowances = read_allowances(asked)
    with noted.each():
        span = asked_times(asked.start, asked.ready_by, asked.closed)
    with noted.each():
        seconds = _number("seconds", asked.seconds, SECONDS)
    with noted.each():
        made = _all_made(batches, asked)
    jobs = _all_jobs(made, batches, house, allowances, noted)
    noted.raise_any()
    at_end = span.start is None and span.ready_by is not None
    hours = Hours(span.anchor_min, at_end, span.closed)
    found = timetable(jobs, house, asked.first, seconds, hours, watch)
    methods = [step for one in made for step in one.method]
    return Plan(
        made=made,
        shopping=shopping_list([(one.rescaled.after, one.mixings) for one in made], prices),
        timetable=found,
        clock=span.clock(found.lead_min),
        house=house,
        allowances=allowances,
        first=asked.first,
        cautions=day_cautions(batches, jobs),
        serving=_serving(made, asked),
        not_counted=tuple(not_counted(methods, house.appliances)),
        idle=_idle(house, jobs),
    )


def _all_jobs(
    made: Sequence[Made],
    batches: Sequence[Batch],
    house: Bakehouse,
    allowances: Allowances,
    noted: Noted,
) -> list[Job]:
    """The work of all formulas; of those too that are not to be made as asked, to say what their steps lack."""
    jobs: list[Job] = []
    for one in made:
        with noted.each():
            jobs += _jobs(one, allowances, house.appliances)
    for batch in batches if not made else ():
        with noted.each():
            job_of(batch.balance.formula)
    return jobs


def _idle(house: Bakehouse, jobs: Sequence[Job]) -> tuple[str, ...]:
    """Appliances that were named and that no step takes: a slip, or words that steps do not use."""
    taken = {name for job in jobs for task in job.tasks for name in task.appliances}
    return tuple(one.name for one in house.appliances if one.name not in taken)


def bakehouse(asked: DayRequest) -> Bakehouse:
    """The ovens and bakers that are named; one oven and one baker without them."""
    noted = Noted()
    ovens, appliances = [], []
    heating, cooling, bakers = HEAT_CELSIUS_PER_MIN, COOL_CELSIUS_PER_MIN, 1
    for word in asked.oven or ("oven",):
        with noted.each():
            ovens.append(_oven(word))
    for word in asked.appliance:
        with noted.each():
            appliances.append(asked_appliance(word))
    with noted.each():
        _refuse_one_name("oven", [oven.name for oven in ovens])
    with noted.each():
        _refuse_one_name("appliance", [one.name for one in appliances])
    with noted.each():
        heating = _number("heating", asked.heating, HEAT_CELSIUS_PER_MIN)
    with noted.each():
        cooling = _number("cooling", asked.cooling, COOL_CELSIUS_PER_MIN)
    with noted.each():
        bakers = _whole("bakers", asked.bakers, 1)
    noted.raise_any()
    return Bakehouse(tuple(ovens), heating, cooling, bakers, tuple(appliances))


def _refuse_one_name(of: str, names: Sequence[str]) -> None:
    if len(set(names)) < len(names):
        raise CannotRun(f"{request_field(of)}: two {of}s have one name; give each its own")


def _oven(word: str) -> Oven:
    match = _OVEN.fullmatch(word.strip())
    places = int(match[2] or 1) if match else 0
    if match is None or not 1 <= places <= MOST_PLACES:
        raise CannotRun(
            f"{request_field('oven')} '{word}' is no oven; write it like `deck` or `deck=4 places`"
        )
    return Oven(match[1], places)


def read_allowances(asked: DayRequest) -> Allowances:
    """What the plan takes where formulas are silent."""
    noted, minutes = Noted(), []
    for name, usual in (("step", STEP_MIN), ("pause", PAUSE_MOST_MIN), ("grace", GRACE_MIN)):
        with noted.each():
            minutes.append(_minutes(name, getattr(asked, name), usual))
    noted.raise_any()
    return Allowances(*minutes)


def blind_codes(number: int, seed: int) -> tuple[str, ...]:
    """Three-digit codes, each once; the same for the same seed."""
    return tuple(map(str, random.Random(seed).sample(range(100, 1000), number)))


def _serving(made: Sequence[Made], asked: DayRequest) -> tuple[str, ...]:
    """The order in which codes go to the tasters, by the same seed; empty without one."""
    if asked.blind is None:
        return ()
    codes = [one.code for one in made]
    return tuple(random.Random(asked.blind + 1).sample(codes, len(codes)))


def _all_made(batches: Sequence[Batch], asked: DayRequest) -> tuple[Made, ...]:
    loads = _loads(batches, asked)
    seed = asked.blind
    codes = ("",) * len(batches) if seed is None else blind_codes(len(batches), seed)
    noted, made = Noted(), []
    for batch, code in zip(batches, codes, strict=True):
        with noted.each():
            made.append(_made(batch, loads, code, asked))
    noted.raise_any()
    return tuple(made)


def _made(
    batch: Batch, loads: Mapping[str, tuple[int, int | None]], code: str, asked: DayRequest
) -> Made:
    """One formula with its loads; mixed once for all of them, or each load by itself."""
    number, per_load = _load_numbers(batch, loads)
    places = loads[batch.id][1] if batch.id in loads else None
    wanted = batch.asked
    mixings = number if asked.mix_each_load else 1
    if mixings > 1:
        per_load = ceil((batch.pieces or 1) / number)  # all mixings alike
        wanted = ScaleRequest(pieces=str(per_load))
    wanted = replace(wanted, whole_eggs=asked.whole_eggs)
    rescaled = scale_source(batch.source.content, batch.balance, batch.kitchen, wanted)
    return Made(batch, rescaled, mixings, number, per_load, places, code)


def _loads(batches: Sequence[Batch], asked: DayRequest) -> dict[str, tuple[int, int | None]]:
    """Pieces a load and places it takes, by formula. Raises CannotRun."""
    noted = Noted()
    words = words_by_id(asked.load, "load", {b.source.path: b.id for b in batches}, noted)
    loads: dict[str, tuple[int, int | None]] = {}
    for name, text in words.items():
        with noted.each():
            loads[name] = _load(name, text)
    noted.raise_any()
    return loads


def _load(name: str, text: str) -> tuple[int, int | None]:
    match = _LOAD.fullmatch(text)
    places = int(match[2]) if match and match[2] else None
    if match is None or not int(match[1]) or places == 0:
        raise CannotRun(
            f"{request_field('load')} '{name}={text}' is no load; write it like `{name}=24 pieces` or `{name}=24 pieces on 2 places`"
        )
    return int(match[1]), places


def _load_numbers(
    batch: Batch, loads: Mapping[str, tuple[int, int | None]]
) -> tuple[int, int | None]:
    """How many loads a batch makes, and pieces in one; all of it in one where nothing is said."""
    if batch.id not in loads:
        return 1, batch.pieces
    if batch.pieces is None:
        raise CannotRun(
            f"{request_field('load')} {batch.id}: the formula has no yield; add `yield: {{pieces: 12}}`"
        )
    per_load = loads[batch.id][0]
    number = ceil(batch.pieces / per_load)
    if number > MOST_LOADS:
        raise CannotRun(
            f"{request_field('load')} {batch.id}: {batch.pieces} pieces make {number} loads, more than {MOST_LOADS} in one plan; split the day"
        )
    return number, min(per_load, batch.pieces)


def _jobs(made: Made, allowances: Allowances, appliances: Sequence[Appliance]) -> list[Job]:
    """The work of one formula, with the portions of its sheet in the steps."""
    formula = made.batch.balance.formula._replace(method=made.method)
    if made.mixings == 1:
        return [job_of(formula, made.loads, made.places, allowances, 0, appliances)]
    return [
        job_of(formula, 1, made.places, allowances, mixing, appliances)
        for mixing in range(1, made.mixings + 1)
    ]


def day_cautions(batches: Sequence[Batch], jobs: Sequence[Job]) -> tuple[Caution, ...]:
    """What must be said of times, cold and cooling, and of each formula that is baked."""
    waits = {word for job in jobs for t in job.tasks if t.kind == "wait" for word in t.what.split()}
    situations = {"plan"}
    if waits & CHILLS:
        situations.add("chilled-holding")
    if "cool" in waits:
        situations.add("cooling")
    of_formulas = (caution for b in batches for caution in cautions_that_hold(b.balance, b.kitchen))
    return tuple(dict.fromkeys((*texts().that_hold(frozenset(situations)), *of_formulas)))


def _minutes(name: str, text: str | None, usual: int) -> int:
    if text is None:
        return usual
    if text.strip() in ("0", "0 min"):
        return 0
    try:
        return ceil(parse_duration(text).high_min)
    except AmountProblem as problem:
        raise CannotRun(f"{request_field(name)}: {problem.message}") from None


def _number(name: str, text: str | None, usual: float) -> float:
    if text is None:
        return usual
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0.01 <= value <= 10_000:
        raise CannotRun(
            f"{request_field(name)} '{text}' is no number above zero; write one like {usual:g}"
        )
    return value


def _whole(name: str, text: str | None, usual: int) -> int:
    value = _number(name, text, usual)
    if value != int(value) or value > 100:
        raise CannotRun(
            f"{request_field(name)} '{text}' is no whole number up to 100; write one like 2"
        )
    return int(value)
