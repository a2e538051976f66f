"""What somebody asks to vary, hold and aim for, in words, to factors, holds and goals of a trial."""

from __future__ import annotations

import re
from collections.abc import Sequence
from difflib import get_close_matches

from perflour.balance.balance import Balance
from perflour.designs.levels import level_text, rounded_level
from perflour.designs.moves import MOVABLE_RATIOS, in_base, lines_of, now, setting, unit_of
from perflour.formula.formula import Step
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import same_temperature
from perflour.records.trial import (
    AIMS,
    MINUTES,
    PERCENT,
    UNIT_OF_FIELD,
    Goal,
    Hold,
    SettingName,
    TrialFactor,
    level_of,
    setting_named,
)
from perflour.result import CannotRun, request_field
from perflour.scale.scaling import is_called

FEWEST, MOST = 1, 5
#: What can be held, as it is asked for; all but the batch by an ingredient that gives way.
HELD = ("batch", "total-water", "total-sugar", "total-fat")
_OF_FLOUR = re.compile(r"\s*%?\s+of\s+(?:the\s+)?(?:flour|basis)\s*$", re.IGNORECASE)
_ATTRIBUTE = re.compile(r"[a-z][a-z -]{0,39}")
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"


def factors_from(
    words: Sequence[str], balance: Balance, gives_way: str = "", blend: bool = False
) -> tuple[TrialFactor, ...]:
    """The factors that words ask for: `NAME=LOW..HIGH`, where a name is of an ingredient, a ratio or a setting.

    ``gives_way`` is the flour that makes up for flours that move, the heaviest other one where nothing is said. In a
    ``blend`` the ingredients make up for each other. Raises CannotRun.
    """
    if not FEWEST <= len(words) <= MOST:
        raise CannotRun(f"a trial varies one to five things, not {len(words)}; name each with {request_field('vary')}")  # fmt: skip
    if balance.basis_g <= 0 or not balance.basis_is_whole:
        raise CannotRun("the flour of the formula has no whole mass; run lint to see why")
    factors = [_factor(text, balance) for text in words]
    _refuse_twice(factors, balance)
    if blend:
        _check_blend(factors, balance, gives_way)
        return tuple(factors)
    return _with_giving_way(factors, balance, gives_way)


def _factor(text: str, balance: Balance) -> TrialFactor:
    name, equals, ends = text.rpartition("=")
    low, dots, high = ends.partition("..")
    name = " ".join(name.split())
    if not equals or not dots or not name or not low.strip() or not high.strip():
        raise CannotRun(f"'{text}' is not NAME=LOW..HIGH; write it like 'unsalted butter=50..62 %' or 'chill for=2 h..24 h'")  # fmt: skip
    found = _moved(name, balance)
    low_value, high_value = _ends(text, name, low, high, found.unit)
    if low_value == high_value:
        raise CannotRun(f"{name} runs from {level_text(low_value, found)} to the same; give two different ends")  # fmt: skip
    factor = found._replace(low=low_value, high=high_value)
    now(factor, balance)
    return factor


def _ends(text: str, name: str, low: str, high: str, unit: str) -> tuple[float, float]:
    """The two ends in the unit of what moves, the lower first; a unit behind the upper one is said of both."""
    high = _OF_FLOUR.sub(" %", high).strip() if unit == PERCENT else high.strip()
    low = _OF_FLOUR.sub(" %", low).strip() if unit == PERCENT else low.strip()
    if re.fullmatch(_NUMBER, high) and unit == PERCENT:
        high = f"{high} %"
    if re.fullmatch(_NUMBER, low):
        low = f"{low} {re.sub(f'^{_NUMBER}', '', high).strip()}"
    values = []
    for end in (low, high):
        level = level_of(end)
        if level is None or level.unit != unit:
            raise CannotRun(f"'{text}': {name} is varied {_in_words(unit)}")
        if level.value <= 0:
            raise CannotRun(f"'{text}': nothing is left of {name} at 0; begin a little above, or plan a formula without it by itself")  # fmt: skip
        values.append(rounded_level(level.value, unit))
    return min(values), max(values)


def _in_words(unit: str) -> str:
    return {
        PERCENT: "in percent of the flour; write both ends like 50..62 %",
        MINUTES: "in time; write both ends with their unit, like 2 h..24 h",
    }.get(unit, "in degrees; write both ends like 165..180 °C")


def _moved(name: str, balance: Balance) -> TrialFactor:
    """What a name moves, its range still empty: an ingredient, one in a part, a ratio, or a setting of a step."""
    formula = balance.formula
    if _is_listed(name, balance):
        return TrialFactor(name, 0, 0, PERCENT, ingredient=name)
    item, within, part = name.rpartition(" in ")
    if within and formula.part(part) and _is_listed(item, balance):
        factor = TrialFactor(name, 0, 0, PERCENT, ingredient=item, part=part)
        places = set(lines_of(factor, balance))
        if not places:
            raise CannotRun(f"'{item}' does not stand in {part}; name the part that lists it")
        if any(balance.lines[at].in_basis for at in places - in_base(balance)):
            raise CannotRun(f"{item} is the 100 % of {part}, which stands beside the base; vary what goes with it there")  # fmt: skip
        return factor
    ratio = fold(name).replace(" ", "-")
    if ratio in MOVABLE_RATIOS:
        return TrialFactor(name, 0, 0, PERCENT, ratio=ratio)
    if called := setting_named(name):
        return _step_setting(name, called, formula.method)
    raise CannotRun(f"'{name}' is no ingredient, ratio or step setting of {formula.id}; {_hint(name, balance)}")  # fmt: skip


def _is_listed(item: str, balance: Balance) -> bool:
    return any(is_called(weighed, item) for weighed in balance.lines)


def _hint(name: str, balance: Balance) -> str:
    method = balance.formula.method
    settings = [
        f"{step.do} {field}" for step in method for field in UNIT_OF_FIELD if field in step.said
    ]
    known = [
        *(w.line.name for w in balance.lines if not w.line.is_part),
        *MOVABLE_RATIOS,
        *settings,
    ]
    within = [one for one in known if fold(name) in fold(one).split()]
    close = within or get_close_matches(name.lower(), known, n=1, cutoff=0.6)
    if close:
        return f"did you mean '{close[0]}'?"
    return "name one as the formula does, like 'unsalted butter', 'sugar' or 'bake at'"


def _step_setting(name: str, called: SettingName, method: Sequence[Step]) -> TrialFactor:
    """The setting of the step that a verb names, with its number among several of that verb."""
    verb, which, field = called
    do = fold(verb)
    steps = [number for number, step in enumerate(method, 1) if fold(step.do) == do]
    with_field = [number for number in steps if field in method[number - 1].said]
    if not steps:
        raise CannotRun(f"'{name}': no step of the method is called {verb}; name one as the method does")  # fmt: skip
    if not which and len(with_field) > 1:
        raise CannotRun(f"'{name}': {len(with_field)} steps say so; say which, like '{verb} 2 {field}'")  # fmt: skip
    if which > len(steps):
        raise CannotRun(f"'{name}': the method has {len(steps)} steps called {verb}; count them from 1")  # fmt: skip
    if not which and not with_field:
        raise CannotRun(f"'{name}': that step says no `{field}`; write one into the formula, or vary another")  # fmt: skip
    number = steps[which - 1] if which else with_field[0]
    setting(method, number, field)
    along = _preheated_for(number, method) if field == "at" else ()
    return TrialFactor(name, 0, 0, unit_of(field), step=number, field=field, along=along)


def _preheated_for(number: int, method: Sequence[Step]) -> tuple[int, ...]:
    """The steps before a bake that heat the oven to the very temperature it bakes at."""
    bake = method[number - 1]
    if not bake.bakes or bake.at is None or bake.at.value is None:
        return ()
    wanted = bake.at.value
    heated = enumerate(method[: number - 1], 1)
    return tuple(n for n, s in heated if s.heats_oven and s.to and s.to.value and same_temperature(s.to.value, wanted))  # fmt: skip


def _refuse_twice(factors: Sequence[TrialFactor], balance: Balance) -> None:
    """Two factors that move one line, or one setting, could not be told apart."""
    owner: dict[object, str] = {}
    for factor in factors:
        if factor.field:
            moved: list[object] = [(factor.step, factor.field), *((n, "to") for n in factor.along)]
        else:
            moved = list(lines_of(factor, balance))
        for one in moved:
            if one in owner:
                what = balance.lines[one].line.name if isinstance(one, int) else "one setting"
                raise CannotRun(f"'{owner[one]}' and '{factor.name}' both move {what}; vary one of the two")  # fmt: skip
            owner[one] = factor.name


def blended(factors: Sequence[TrialFactor], balance: Balance) -> float:
    """What the ingredients of a blend are together, in percent of the flour; every bake has as much of them."""
    return sum(now(factor, balance).value for factor in factors)


def _check_blend(factors: Sequence[TrialFactor], balance: Balance, gives_way: str) -> None:
    """Raises CannotRun where ingredients cannot make up for each other."""
    if gives_way:
        raise CannotRun(f"in a blend all that is varied gives way for the rest; leave {request_field('gives_way')} out")  # fmt: skip
    other = next((f.name for f in factors if not f.ingredient), "")
    if other or len(factors) < 2:
        said = (
            f"'{other}' is no ingredient" if other else "one ingredient alone blends with nothing"
        )
        raise CannotRun(f"{said}; a blend is of two ingredients or more, name each with {request_field('vary')}")  # fmt: skip
    flours = {at for at in in_base(balance) if balance.lines[at].in_basis}
    kinds = {bool(flours & set(lines_of(factor, balance))) for factor in factors}
    if len(kinds) > 1:
        raise CannotRun("a blend of flours with something else would move the 100 %; blend flours, or what is none")  # fmt: skip
    whole = blended(factors, balance)
    low, high = sum(f.low for f in factors), sum(f.high for f in factors)
    if not low < whole < high:
        raise CannotRun(f"together they are {whole:.4g} % in the formula, and the ranges sum to {low:.4g} to {high:.4g} %; widen them around that")  # fmt: skip


def _with_giving_way(
    factors: Sequence[TrialFactor], balance: Balance, gives_way: str
) -> tuple[TrialFactor, ...]:
    """The factors, those that move flour with the flour that gives way for them."""
    flours = {at for at in in_base(balance) if balance.lines[at].in_basis}
    moved = {f.name: flours & set(lines_of(f, balance)) for f in factors if not f.field}
    taken = {at for places in moved.values() for at in places}
    if not taken:
        if gives_way:
            raise CannotRun(f"no flour is varied, so nothing gives way for one; leave {request_field('gives_way')} out")  # fmt: skip
        return tuple(factors)
    left = [balance.lines[at] for at in sorted(flours - taken)]
    if gives_way and not any(is_called(w, gives_way) for w in left):
        raise CannotRun(f"'{gives_way}' is no flour of the formula that stays free to give way; name one that is not varied")  # fmt: skip
    if not left:
        raise CannotRun("all flours are varied, and none is left to give way: together they are 100 %; leave one out")  # fmt: skip
    giving = gives_way or max(left, key=lambda w: w.grams).line.name
    return tuple(f._replace(gives_way=giving) if moved.get(f.name) else f for f in factors)


def holds_from(
    words: Sequence[str], balance: Balance, factors: Sequence[TrialFactor]
) -> tuple[Hold, ...]:
    """What is to stay: `batch`, or `total sugar=INGREDIENT`, the ingredient that gives way. Raises CannotRun."""
    holds: list[Hold] = []
    for text in words:
        what, _, item = (" ".join(piece.split()) for piece in text.partition("="))
        name = fold(what).replace(" ", "-")
        if name not in HELD:
            raise CannotRun(f"'{what}' cannot be held; hold batch, or total water, total sugar or total fat, or vary fewer things")  # fmt: skip
        if (name == "batch") == bool(item):
            raise CannotRun("the batch is held by all ingredients together; write batch alone" if item else f"say what gives way so that {what} stays, like '{what}=granulated sugar'")  # fmt: skip
        if item:
            _check_giving(item, what, balance, factors)
        holds.append(Hold(name, item))
    if len(holds) != len({hold.what for hold in holds}) or sum(bool(h.gives_way) for h in holds) > 1:  # fmt: skip
        raise CannotRun("one total can be held beside the batch: two that give way would pull at each other; hold one")  # fmt: skip
    return tuple(holds)


def _check_giving(item: str, what: str, balance: Balance, factors: Sequence[TrialFactor]) -> None:
    base = in_base(balance)
    giving = {at for at in base if is_called(balance.lines[at], item)}
    if not giving:
        raise CannotRun(f"'{item}' is no ingredient of the base, so it cannot give way for {what}; name one that is")  # fmt: skip
    if any(balance.lines[at].in_basis for at in giving):
        raise CannotRun(f"{item} is part of the 100 % and cannot give way for {what}; name another ingredient")  # fmt: skip
    for factor in factors:
        if not factor.field and giving & set(lines_of(factor, balance)):
            raise CannotRun(f"'{factor.name}' is varied and cannot give way for {what}; name another ingredient")  # fmt: skip


def goals_from(words: Sequence[str]) -> tuple[Goal, ...]:
    """What is wanted: `chew=most`, `spread=80..90`, `height=target 65`, with ` weight 2` behind. Raises CannotRun."""
    goals = tuple(map(_goal, words))
    names = [goal.attribute for goal in goals]
    if twice := next((name for name in names if names.count(name) > 1), None):
        raise CannotRun(f"{twice} has two goals; keep one")
    return goals


def _goal(text: str) -> Goal:
    name, equals, wanted = text.partition("=")
    attribute = " ".join(name.split()).lower()
    found = re.fullmatch(
        rf"\s*(?:(most|least)|target\s+({_NUMBER})|({_NUMBER})\s*\.\.\s*({_NUMBER}))(?:\s+weight\s+({_NUMBER}))?\s*",
        wanted,
    )
    if not equals or not _ATTRIBUTE.fullmatch(attribute) or found is None:
        raise CannotRun(f"'{text}' is no goal; write it like chew=most, spread=80..90 or 'height=target 65 weight 2'")  # fmt: skip
    way, at, low, high, weight = found.groups()
    aim = way or ("target" if at else "within")
    assert aim in AIMS
    target, least, most = (None if n is None else float(n) for n in (at, low, high))
    if least is not None and most is not None and least >= most:
        raise CannotRun(f"'{text}' ends before it begins; write the lower end first")
    if weight and not 0 < float(weight) <= 100:
        raise CannotRun(f"'{text}': a weight is above 0 and at most 100; write one like 2")
    return Goal(attribute, aim, target, least, most, float(weight or 1))
