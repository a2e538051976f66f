"""What a factor of a trial moves in a formula: which lines or which setting, and what they are now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from perflour.balance.balance import Balance
from perflour.balance.gas import GAS
from perflour.balance.ratios import BY_INGREDIENT, PREFERMENTED, ratio_masses, ratios
from perflour.formula.formula import Step
from perflour.kitchen.names import fold
from perflour.records.trial import CELSIUS, MINUTES, TrialFactor
from perflour.result import CannotRun
from perflour.scale.scaling import is_called

#: Ratios that move as one: all their ingredients in proportion.
MOVABLE_RATIOS = tuple(name for name in BY_INGREDIENT if name not in (GAS, PREFERMENTED))


@dataclass(frozen=True)
class Now:
    """What a factor is in a formula: its value in its unit, and which lines it moves, by their place among all."""

    value: float
    lines: tuple[int, ...] = ()


def now(factor: TrialFactor, balance: Balance) -> Now:
    """What a factor is in a formula as it stands. Raises CannotRun where it cannot be said or moved."""
    if factor.field:
        return Now(setting(balance.formula.method, factor.step, factor.field))
    places = lines_of(factor, balance)
    unweighed = [balance.lines[at].line.name for at in places if balance.lines[at].mass is None]
    if unweighed:
        raise CannotRun(f"'{unweighed[0]}' has no mass in this formula; run lint to see why")
    value = percent(factor, balance, places)
    if not value:
        raise CannotRun(f"there is no {factor.name} in this formula that could be moved; name what it has")  # fmt: skip
    return Now(value, places)


def lines_of(factor: TrialFactor, balance: Balance) -> tuple[int, ...]:
    """The places of the lines that a factor moves, among ``balance.lines``."""
    if factor.ratio:
        counted = {line.name for line, _ in ratio_masses(balance.total, factor.ratio)}
        return tuple(at for at in sorted(in_base(balance)) if balance.lines[at].name in counted)
    named = [(at, w) for at, w in enumerate(balance.lines) if is_called(w, factor.ingredient)]
    if factor.part:
        here = {id(w) for p in balance.parts if fold(p.part.name) == fold(factor.part) for w in p.lines}  # fmt: skip
        return tuple(at for at, w in named if id(w) in here)
    base = in_base(balance)
    inside = [at for at, _ in named if at in base]
    if inside and len(inside) < len(named):
        raise CannotRun(f"'{factor.ingredient}' stands in several parts; say which, like '{factor.ingredient} in {_part_of(balance, named[0][0])}'")  # fmt: skip
    return tuple(inside or [at for at, _ in named])


def in_base(balance: Balance) -> frozenset[int]:
    """The places of the ingredient lines of the base, among ``balance.lines``."""
    inside = {id(w) for p in balance.parts if p.in_base for w in p.lines}
    lines = enumerate(balance.lines)
    return frozenset(at for at, w in lines if id(w) in inside and not w.line.is_part)


def _part_of(balance: Balance, place: int) -> str:
    line = balance.lines[place]
    return next(p.part.name for p in balance.parts if any(w is line for w in p.lines))


def percent(factor: TrialFactor, balance: Balance, places: Sequence[int]) -> float:
    """What a ratio factor is in a formula, in percent of what ``of_what`` says; 0 where it has none."""
    if factor.ratio:
        return ratios(balance)[factor.ratio].percent
    lines = [balance.lines[at] for at in places]
    if _is_flour_of_a_part(factor, balance, places):
        shares = {id(w): part.in_base for part in balance.parts for w in part.lines}
        return sum(w.grams * shares[id(w)] for w in lines) / balance.basis_g * 100
    if factor.part or not in_base(balance).issuperset(places):
        return sum(w.percent or 0 for w in lines)
    names = {w.name for w in lines}
    return sum(line.percent or 0 for line in balance.total if line.name in names)


def _is_flour_of_a_part(factor: TrialFactor, balance: Balance, places: Sequence[int]) -> bool:
    """Whether flour of one part moves: a part's own flour is no measure for itself, so all flour of the base is."""
    return bool(factor.part) and any(balance.lines[at].in_basis for at in places)


def of_what(factor: TrialFactor, balance: Balance) -> str:
    """What the percentages of a factor are of: `the dough's flour`."""
    if factor.ratio or not factor.ingredient:
        return balance.of
    places = lines_of(factor, balance)
    whole = not factor.part or _is_flour_of_a_part(factor, balance, places)
    if whole and in_base(balance).issuperset(places):
        return balance.of
    line = balance.lines[places[0]]
    return balance.of_part(next(p for p in balance.parts if any(w is line for w in p.lines)))


def setting(method: Sequence[Step], number: int, field: str) -> float:
    """The setting of a step in minutes or °C, the middle where it is a range. Raises CannotRun without one."""
    step = method[number - 1]
    if field == "for":
        if step.time and step.time.value:
            return (step.time.value.low_min + step.time.value.high_min) / 2
    else:
        reading = {"at": step.at, "to": step.to, "core": step.core}[field]
        if reading and reading.value:
            return (reading.value.low_celsius + reading.value.high_celsius) / 2
    raise CannotRun(f"step {number} ({step.do}) has no `{field}` that can be read; write one, or name another step")  # fmt: skip


def unit_of(field: str) -> str:
    """The unit of a step's field."""
    return MINUTES if field == "for" else CELSIUS
