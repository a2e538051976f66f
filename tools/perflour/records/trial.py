"""Records of planned trials: what is varied and how far, the bakes with their variants, and what came of them."""

import os
from collections.abc import Mapping

from perflour.kitchen.numbers import plain_numbers
from perflour.kitchen.quantity import AmountProblem, parse_duration, parse_temperature
from perflour.system.opening import is_file, names_in
from perflour.system.paths import TRIAL_FILE, TRIALS
from perflour.tuples import NamedTuple
from perflour.typed import Any

#: The units of levels: of the flour or of what stands for it; of a time; of a temperature.
PERCENT, MINUTES, CELSIUS = "%", "min", "°C"
#: The fields of a step that can be varied, and their units.
UNIT_OF_FIELD = {"for": MINUTES, "at": CELSIUS, "to": CELSIUS, "core": CELSIUS}


class SettingName(NamedTuple):
    """How a setting of a step is called: ``bake at``, or ``bake 2 at`` of several of that verb; ``number`` 0 for none."""

    verb: str
    number: int
    field: str


def setting_named(name: str) -> SettingName | None:
    """The setting that words name; None for other words."""
    *verb, field = name.split()
    if not verb or field not in UNIT_OF_FIELD:
        return None
    number = int(verb.pop()) if len(verb) > 1 and verb[-1].isdecimal() else 0
    return SettingName(" ".join(verb), number, field)


#: What a goal may aim at.
AIMS = ("most", "least", "target", "within")


class Level(NamedTuple):
    """A setting of a factor: its value in its unit, as far as its text says one figure."""

    value: float
    unit: str


class TrialFactor(NamedTuple):
    """What is varied: an ingredient (in one part where ``part`` says so), a ratio, or the ``field`` of a step.

    ``low`` and ``high`` are in ``unit``: percent of the flour, minutes or °C. ``step`` and ``along``, the steps
    whose setting moves with it, count from 1.
    """

    name: str
    low: float
    high: float
    unit: str
    ingredient: str = ""
    part: str = ""
    ratio: str = ""
    step: int = 0
    field: str = ""
    along: tuple[int, ...] = ()
    gives_way: str = ""


class Hold(NamedTuple):
    """What stays: the batch, or a total that one ingredient gives way for."""

    what: str
    gives_way: str = ""


class Goal(NamedTuple):
    """What is wanted of an attribute; ``at`` with a target, ``low`` and ``high`` with a range."""

    attribute: str
    aim: str
    at: float | None = None
    low: float | None = None
    high: float | None = None
    weight: float = 1.0


class TrialBake(NamedTuple):
    """One bake: its letter, blind code, variant with digest, what each factor is, where and when it is baked.

    ``levels`` are in the factors' units, by factor; ``said`` is how the record writes them.
    """

    letter: str
    code: str
    formula: str
    of: str
    levels: Mapping[str, float]
    said: Mapping[str, str]
    day: int
    oven: int
    place: int
    is_centre: bool = False


class Tasting(NamedTuple):
    """Bakes by letter that are tasted side by side; a session of scores of them draws their codes from ``seed``."""

    bakes: tuple[str, ...]
    seed: int


class TrialDesign(NamedTuple):
    """How the bakes were drawn; ``per_oven`` 0 where nothing limits it."""

    kind: str
    model: str
    seed: int
    days: int
    ovens: int
    per_oven: int = 0
    replicates: int = 1
    centre: int = 0


class Trial(NamedTuple):
    """One planned trial as it is recorded; ``of`` is the digest of the formula that the variants were made of.

    ``led_to`` is empty until the result is adopted.
    """

    id: str
    date: str
    question: str
    formula: str
    of: str
    design: TrialDesign
    factors: tuple[TrialFactor, ...]
    holds: tuple[Hold, ...]
    goals: tuple[Goal, ...]
    tasters: int
    tastings: tuple[Tasting, ...]
    bakes: tuple[TrialBake, ...]
    notes: str = ""
    decided: str = ""
    led_to: str = ""

    def bake(self, letter: str) -> TrialBake | None:
        """The bake of a letter."""
        return next((bake for bake in self.bakes if bake.letter == letter), None)


def level_of(text: str) -> Level | None:
    """What a setting says: ``62 %``, ``2 h``, ``175 °C (350 °F)``; None for what is no single figure of the three."""
    plain = plain_numbers(text).strip()
    if plain.endswith("%"):
        try:
            return Level(float(plain[:-1]), PERCENT)
        except ValueError:
            return None
    try:
        heat = parse_temperature(text)
    except AmountProblem:
        pass
    else:
        return Level(heat.low_celsius, CELSIUS) if heat.low_celsius == heat.high_celsius else None
    try:
        time = parse_duration(text)
    except AmountProblem:
        return None
    return Level(time.low_min, MINUTES) if time.low_min == time.high_min else None


def trial_files(folder: str) -> list[str]:
    """The records of the trials beside the formulas of a folder, by trial; none where there are none."""
    beside = os.path.join(folder, TRIALS)
    try:
        names = sorted(names_in(beside))
    except OSError:
        return []
    found = (os.path.join(beside, name, TRIAL_FILE) for name in names)
    return [path for path in found if is_file(path)]


def trial_from(data: Mapping[str, Any]) -> Trial:
    """The trial in a document that is valid against schema/trial.schema.json and in which nothing contradicts itself."""
    return Trial(
        id=data["trial"],
        date=data["date"],
        question=data.get("question", ""),
        formula=data["formula"],
        of=data["of"],
        design=_design(data["design"]),
        factors=tuple(map(_factor, data["factors"])),
        holds=tuple(Hold(row["hold"], row.get("gives-way", "")) for row in data.get("holds", ())),
        goals=tuple(map(_goal, data.get("goals", ()))),
        tasters=data.get("tasters", 0),
        tastings=tuple(
            Tasting(tuple(row["bakes"]), row["seed"]) for row in data.get("tastings", ())
        ),
        bakes=tuple(map(_bake, data["bakes"])),
        notes=data.get("notes", ""),
        decided=data.get("decided", ""),
        led_to=data.get("led-to", ""),
    )


def _design(row: Mapping[str, Any]) -> TrialDesign:
    return TrialDesign(
        row["kind"],
        row["model"],
        row["seed"],
        row["days"],
        row["ovens"],
        row.get("per-oven", 0),
        row.get("replicates", 1),
        row.get("centre", 0),
    )


def _factor(row: Mapping[str, Any]) -> TrialFactor:
    low, high = _value(row["low"]), _value(row["high"])
    return TrialFactor(
        row["factor"],
        low.value,
        high.value,
        low.unit,
        row.get("ingredient", ""),
        row.get("part", ""),
        row.get("ratio", ""),
        row.get("step", 0),
        row.get("field", ""),
        tuple(row.get("along", ())),
        row.get("gives-way", ""),
    )


def _goal(row: Mapping[str, Any]) -> Goal:
    at, low, high = (row.get(key) for key in ("at", "low", "high"))
    return Goal(row["attribute"], row["aim"], at, low, high, row.get("weight", 1.0))


def _bake(row: Mapping[str, Any]) -> TrialBake:
    said = dict(row["levels"])
    levels = {name: _value(text).value for name, text in said.items()}
    place = (row["day"], row["oven"], row["place"])
    return TrialBake(
        row["bake"], row["code"], row["formula"], row["of"], levels, said, *place, row.get("centre", False)
    )  # fmt: skip


def _value(text: str) -> Level:
    """A level that the check has found to be one."""
    level = level_of(text)
    assert level is not None
    return level
