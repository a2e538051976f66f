"""Figures by their names: what may be asked of a formula, and what it is there with its spread.

The names are those of the house's windows, of `compare` and of its catalogue, and the figures are theirs.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from math import inf
from typing import Literal, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.gas import GAS
from perflour.balance.ratios import FINE_RATIOS, RATIOS, RatiosOnDemand, is_fine
from perflour.balance.spread import Number, Uncertain
from perflour.compare.apart import WINDOW_OF
from perflour.compare.bake_figures import STATED, Ends
from perflour.compare.collect import without_basis
from perflour.compare.table import FINE_KINDS, KINDS, Column, between, kind_sum, not_in_sum
from perflour.formula.formula import Step
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.names import fold
from perflour.records.trial import UNIT_OF_FIELD, setting_named
from perflour.result import CannotRun

Kind = Literal["ratio", "kind", "ingredient", "bake", "step", "batch"]
PERCENT, GRAMS = "%", "g"
#: How changelogs call ratios whose name is no word of the trade.
SAID = {
    "flour in preferments": "prefermented-flour",
    "yeast as instant": "yeast-instant",
    "carbon dioxide of the leavening": GAS,
}
#: Sizes, as `compare` names them, with their units.
SIZES = {"mass per piece": GRAMS, "pieces": "pieces", "batch": GRAMS, "basis mass": GRAMS}
MOST_SUGGESTED = 3


class Figure(NamedTuple):
    """What may be asked of a formula; ``part`` is where an ingredient stands, empty for the base.

    ``fine`` asks for two decimals.
    """

    name: str
    kind: Kind
    unit: str = PERCENT
    fine: bool = False
    part: str = ""

    @property
    def said(self) -> str:
        return f"{self.name} in {self.part}" if self.part else self.name

    @property
    def of_basis(self) -> bool:
        """Whether it is a share of what is 100 %, so that a formula must have one."""
        return self.kind in ("ratio", "kind", "ingredient")


class Measured(NamedTuple):
    """A figure of one formula: an uncertain number, or None and ``why_not``.

    ``lacking`` names what could not be counted in: the number is too low by it, by ``lift`` at most. ``of`` says what its percentages are
    of; ``ends`` are those of a range as written. ``is_there`` is False of an ingredient that nothing of is in.
    """

    number: Number | None
    why_not: str = ""
    lacking: tuple[str, ...] = ()
    of: str = ""
    ends: Ends | None = None
    is_there: bool = True
    lift: float = inf


# --- names to figures ---


def figure_named(
    name: str, catalogues: Sequence[Catalogue], balances: Sequence[Balance]
) -> tuple[Figure, ...]:
    """The figure that a name means; several where kitchens call different foods by it.

    An ingredient of a part is ``ITEM in PART``. Raises CannotRun, with what is near, for a name that means nothing.
    """
    folded = fold(name)
    if known := _known(folded):
        return (known,)
    item, within, part = folded.rpartition(" in ")
    if within and (parts := _parts_called(part, balances)):
        return tuple(f._replace(part=parts[0]) for f in _foods(item, catalogues, balances, name))
    if step := _step_setting(folded, balances):
        return (step,)
    return _foods(folded, catalogues, balances, name)


def _known(folded: str) -> Figure | None:
    """A ratio, a kind, what bakes state or a size."""
    dashed = folded.replace(" ", "-")
    ratio = WINDOW_OF.get(folded) or SAID.get(folded) or (dashed if dashed in RATIOS else "")
    if ratio:
        return Figure(ratio, "ratio", GRAMS if ratio == GAS else PERCENT, ratio in FINE_RATIOS)
    if folded in KINDS:
        unit = GRAMS if folded == "leavening" else PERCENT
        return Figure(folded, "kind", unit, folded in FINE_KINDS)
    for name, unit, _ in STATED:
        if folded == name:
            return Figure(name, "bake", unit)
    return Figure(folded, "batch", SIZES[folded]) if folded in SIZES else None


def _parts_called(part: str, balances: Iterable[Balance]) -> list[str]:
    return [p.name for b in balances for p in b.formula.parts if fold(p.name) == part]


def _step_setting(folded: str, balances: Iterable[Balance]) -> Figure | None:
    """``soak for``, ``bake at``, ``bake 2 at``: as trials name the settings of steps."""
    called = setting_named(folded)
    if called and any(fold(s.do) == called.verb for b in balances for s in b.formula.method):
        return Figure(folded, "step", UNIT_OF_FIELD[called.field])
    return None


def _foods(
    name: str, catalogues: Sequence[Catalogue], balances: Sequence[Balance], asked: str
) -> tuple[Figure, ...]:
    """An ingredient by its main name, or as a formula calls what no catalogue knows."""
    foods = [food for c in catalogues if (food := c.find(name))]
    found = [Figure(food.name, "ingredient", fine=is_fine(food)) for food in foods]
    lines = (w for b in balances for w in b.ingredient_lines if fold(w.line.name) == name)
    found += [Figure(w.name, "ingredient", fine=is_fine(w.ingredient)) for w in lines]
    if not found:
        raise CannotRun(f"'{asked}' is no ratio, ingredient or figure that is known; {near(name, catalogues, balances)}")  # fmt: skip
    return tuple(dict.fromkeys(found))


def near(name: str, catalogues: Sequence[Catalogue], balances: Sequence[Balance]) -> str:
    """What a name that means nothing may have meant."""
    from difflib import get_close_matches

    known = [*RATIOS, *SAID, *WINDOW_OF, *KINDS, *(row[0] for row in STATED), *SIZES]
    in_use = {fold(w.line.name): w.line.name for b in balances for w in b.ingredient_lines}
    close = get_close_matches(name, (*known, *in_use), MOST_SUGGESTED, cutoff=0.7)
    close += [food for c in catalogues[:1] for food in c.suggest(name)]
    close = list(dict.fromkeys(close))[:MOST_SUGGESTED]
    if close:
        return f"did you mean {' or '.join(repr(one) for one in close)}?"
    return "name a ratio as `perflour compare` does (hydration, sugar), or a food as formulas do"


# --- figures of a formula ---


def measured(figure: Figure, balance: Balance, numbers: Uncertain) -> Measured:
    """A figure of one formula, weighed with ``numbers``."""
    if figure.of_basis and not figure.part and (why_not := no_hundred(balance)):
        return Measured(None, why_not)
    return _READ[figure.kind](figure, balance, numbers)


def no_hundred(balance: Balance) -> str:
    """Why a formula has no percentages; empty where it has."""
    if balance.basis_g <= 0:
        return without_basis(balance).message
    if balance.may_be_flour:
        return f"100 % is not whole: {', '.join(balance.may_be_flour)} may belong to it"
    return ""


def _ratio(figure: Figure, balance: Balance, numbers: Uncertain) -> Measured:
    lacking = RatiosOnDemand(balance)[figure.name].lacking
    lift = _lift(lacking, balance)
    return Measured(numbers.ratios[figure.name], "", lacking, balance.of, lift=lift)


def _lift(lacking: Sequence[str], balance: Balance) -> float:
    """What the ingredients not counted in could add at most: all of themselves, in percent of the basis."""
    if not lacking or any(w.line.name in lacking or w.name in lacking for w in balance.unweighed_in_base):  # fmt: skip
        return inf
    return sum(line.percent or 0.0 for line in balance.total if line.name in lacking)


def _kind(figure: Figure, balance: Balance, numbers: Uncertain) -> Measured:
    column = Column("", "", balance, numbers)
    lacking = not_in_sum(column, figure.name)
    return Measured(kind_sum(column, figure.name), "", lacking, balance.of)


def _ingredient(figure: Figure, balance: Balance, numbers: Uncertain) -> Measured:
    if figure.part:
        return _in_part(figure, balance, numbers)
    name = fold(figure.name)
    masses = [mass for item, mass in numbers.totals.items() if fold(item) == name]
    lacking = any(fold(w.name) == name for w in balance.unweighed_in_base)
    if lacking and not masses:
        return Measured(None, f"no weight is known of {figure.name}", of=balance.of)
    short = (figure.name,) if lacking else ()
    percent = sum(masses) / numbers.basis_g * 100
    return Measured(percent, "", short, balance.of, is_there=bool(masses))


def _in_part(figure: Figure, balance: Balance, numbers: Uncertain) -> Measured:
    """An ingredient of a part, in percent of what the part's are of."""
    name, key = fold(figure.name), fold(figure.part)
    part = next((p for p in balance.parts if fold(p.part.name) == key), None)
    if part is None:
        return Measured(None, f"has no part {figure.part}", is_there=False)
    of = balance.of_part(part)
    places = [at for at, w in enumerate(part.lines) if fold(w.name) == name and not w.line.is_part]
    shares = [numbers.percents.get((key, at)) for at in places]
    if any(share is None for share in shares):
        lacks = any(part.lines[at].mass is None for at in places)
        why = f"{figure.name} has no mass there" if lacks else f"{figure.part} has nothing that is 100 %"  # fmt: skip
        return Measured(None, why, of=of)
    total: Number = sum(share for share in shares if share is not None)
    return Measured(total, "", (), of, is_there=bool(places))


def _bake(figure: Figure, balance: Balance, _: Uncertain) -> Measured:
    ends_of = next(read for name, _, read in STATED if name == figure.name)
    ends = ends_of(balance.formula)
    return Measured(between(ends), "" if ends else f"its method says no {figure.name}", ends=ends)


def _step(figure: Figure, balance: Balance, _: Uncertain) -> Measured:
    """The setting of a step; of several steps of a verb only by number."""
    called = setting_named(figure.name)
    assert called  # that is how the figure was found
    do, which, field = called
    steps = [step for step in balance.formula.method if fold(step.do) == do]
    if which:
        steps = steps[which - 1 : which]
    found = [ends for step in steps if (ends := _setting(step, field))]
    if len(set(found)) > 1:
        several = f"{len(found)} steps {do} say {field}; name one, like '{do} 2 {field}'"
        return Measured(None, several)
    if not found:
        return Measured(None, f"no step {' '.join(figure.name.split()[:-1])} says {field}", is_there=False)  # fmt: skip
    return Measured(between(found[0]), ends=found[0])


def _setting(step: Step, field: str) -> Ends | None:
    if field == "for":
        time = step.time.value if step.time else None
        return (time.low_min, time.high_min) if time else None
    reading = {"at": step.at, "to": step.to, "core": step.core}[field]
    heat = reading.value if reading else None
    return (heat.low_celsius, heat.high_celsius) if heat else None


def _batch(figure: Figure, balance: Balance, numbers: Uncertain) -> Measured:
    yields = balance.formula.yields
    lacking = tuple(dict.fromkeys(w.name for w in balance.unweighed))
    match figure.name:
        case "batch":
            return Measured(numbers.batch_g, "", lacking)
        case "basis mass":
            return Measured(numbers.basis_g, "", balance.may_be_flour)
        case "pieces":
            return Measured(yields and float(yields.pieces), "" if yields else "says no yield")
    if not yields:
        return Measured(None, "says no yield")
    return Measured(numbers.batch_g / yields.pieces, "", lacking)


_READ: dict[Kind, Callable[[Figure, Balance, Uncertain], Measured]] = {
    "ratio": _ratio,
    "kind": _kind,
    "ingredient": _ingredient,
    "bake": _bake,
    "step": _step,
    "batch": _batch,
}
