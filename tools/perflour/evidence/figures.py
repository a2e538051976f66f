"""What a revision is made of, as figures that can be set against scores: ratios, kinds, the piece, the settings of its method.

All percentages are of the base's own basis (flour = 100 %), what stands beside it apart in g for 100 g of base.
A figure that cannot be told is None, with what it lacks; it is never taken as zero.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from typing import NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.composition import FAT_TYPES, composition
from perflour.balance.inclusions import inclusions
from perflour.balance.leavening import leavening
from perflour.balance.parts import Weighed
from perflour.balance.ratios import FINE_RATIOS, ratios
from perflour.compare.bake_figures import STATED
from perflour.compare.table import ingredient_kind
from perflour.formula.formula import Formula, Step
from perflour.formula.places import KINDS as KINDS_OF_PARTS
from perflour.formula.verbs import (
    CHILLS,
    CREAMS,
    FOAMS,
    HEATS,
    KNEADS,
    MINDS_FAT,
    MIXES,
    MIXES_IN,
    RUBS,
    WAITS,
    words_of,
)
from perflour.kitchen.names import fold

#: Of what the base holds, beside the ratios: the fats by kind, sugar that sweetens, the solids of eggs.
HELD = (*(f"fat-{kind}" for kind in FAT_TYPES), "sweetening-sugar", "lactose", "egg-white-solids", "egg-yolk-solids", "protein")  # fmt: skip
#: Stands for a part beside the base that does not say its kind.
UNSAID = "topping or filling"
#: Of what no ratio speaks: shares of these are figures by kind.
BY_KIND = ("flavouring and spice", "other")
_MIXING = MIXES | MIXES_IN | MINDS_FAT | KNEADS


class Figure(NamedTuple):
    """One figure of a revision or a sample.

    ``section`` is ratio, flour (what is 100 %), ingredient, beside, piece, method or measured; ``unit`` that of ``value``. ``value`` is
    None where it cannot be told, and too low where ``lacking`` names something.
    """

    section: str
    name: str
    unit: str
    value: float | None
    lacking: tuple[str, ...] = ()

    @property
    def is_fine(self) -> bool:
        """Whether small differences of it matter."""
        return self.name in FINE_RATIOS or self.name.startswith("soda")


class Setting(NamedTuple):
    """Something of the method that is told in words: how it was mixed, in what it is baked."""

    name: str
    value: str


def figures(balance: Balance) -> tuple[Figure, ...]:
    """Every figure of a revision, in the order of the table. Without a basis it has no percentages."""
    made = [*_piece(balance), *_method(balance.formula)]
    if balance.basis_g <= 0:
        return tuple(made)
    return (*_ratios(balance), *_ingredients(balance), *_beside(balance), *made)


def _ratios(balance: Balance) -> Iterator[Figure]:
    found = ratios(balance)
    for name, ratio in found.items():
        yield Figure("ratio", name, "%", ratio.percent, ratio.lacking)
    for figure in composition(balance):
        if figure.name in HELD:
            yield Figure("ratio", figure.name, "%", figure.percent, figure.lacking)
    raised = leavening(balance)
    if raised.soda_g:
        lacking = raised.not_counted
        left = raised.soda_left.usual_g / balance.basis_g * 100
        yield Figure("ratio", "soda-left", "%", left, lacking)
    acid = raised.used_up.usual_g / balance.basis_g * 100
    yield Figure("ratio", "acid-as-soda", "%", acid, raised.not_counted)
    folded = inclusions(balance)
    if folded.percent is not None:
        yield Figure("ratio", "inclusions", "%", folded.percent)
    for kind in BY_KIND:
        lines = [t for t in balance.total if ingredient_kind(t.ingredient) == kind]
        lacking = tuple(w.name for w in balance.unweighed_in_base if ingredient_kind(w.ingredient) == kind)  # fmt: skip
        yield Figure("ratio", kind, "%", sum(t.percent or 0.0 for t in lines), lacking)


def _ingredients(balance: Balance) -> Iterator[Figure]:
    """Every ingredient of the base, what is 100 % apart; one without a mass has no value."""
    for line in balance.total:
        section = "flour" if line.in_basis else "ingredient"
        yield Figure(section, line.name, "%", line.percent)
    known = {line.name for line in balance.total}
    for name in dict.fromkeys(w.name for w in balance.unweighed_in_base if not w.line.is_part):
        if name not in known:
            yield Figure("ingredient", name, "%", None, (name,))


def _beside(balance: Balance) -> Iterator[Figure]:
    """By kind of part how much of it there is for 100 g of the base."""
    masses: dict[str, float] = {}
    for one in balance.beside:
        kind = one.part.part.kind if one.part.part.kind in KINDS_OF_PARTS else UNSAID
        mass_g = sum(line.mass_g for line in one.total)
        masses[kind] = masses.get(kind, 0.0) + mass_g
    lacking = tuple(w.name for w in balance.unweighed)
    for kind, mass_g in masses.items():
        if balance.base_g:
            yield Figure("beside", kind, "g for 100 g", mass_g / balance.base_g * 100, lacking)


def _piece(balance: Balance) -> Iterator[Figure]:
    each = balance.mass_per_piece_g
    if each is not None:
        yield Figure("piece", "mass per piece", "g", each, tuple(w.name for w in balance.unweighed))


def _method(formula: Formula) -> Iterator[Figure]:
    """What the steps say in figures; of a range the middle."""
    for name, unit, ends_of in STATED:
        if ends := ends_of(formula):
            yield Figure("method", name, unit, sum(ends) / 2)
    if (minutes := _mixing_minutes(formula)) is not None:
        yield Figure("method", "mixing time said", "min", minutes)
    for name, verbs in (("rest", WAITS - CHILLS), ("chill", CHILLS)):
        steps = [step for step in formula.method if not verbs.isdisjoint(words_of(step.do))]
        minutes = _minutes(steps)
        untimed = tuple(f"the time of '{step.do}'" for step in steps if not _is_timed(step))
        yield Figure("method", name, "min", minutes, untimed)
    fills = [fill for step in formula.method if (fill := _fill(step)) is not None]
    if fills:
        yield Figure("method", "fill", "of the pan", fills[-1])


def _mixing_minutes(formula: Formula) -> float | None:
    """The mixing that says its time; None where none does."""
    steps = [step for step in formula.method if not _MIXING.isdisjoint(words_of(step.do))]
    timed = [step for step in steps if _is_timed(step)]
    return _minutes(timed) if timed else None


def _is_timed(step: Step) -> bool:
    return step.time is not None and step.time.value is not None


def _minutes(steps: Iterable[Step]) -> float:
    """The times that steps say, added, of ranges the middle."""
    times = [step.time.value for step in steps if step.time and step.time.value]
    return sum((time.low_min + time.high_min) / 2 for time in times)


def _fill(step: Step) -> float | None:
    """How full a pan is, where it is said as a fraction: ``2/3``."""
    try:
        return float(Fraction(step.text("fill").strip()))
    except (ValueError, ZeroDivisionError):
        return None


def settings(balance: Balance) -> tuple[Setting, ...]:
    """What the method says in words: how the fat was brought in, and the pan."""
    formula = balance.formula
    found = [Setting("mixing", mixing_of(balance))]
    pans = [step.text("into") for step in formula.method if step.text("into")]
    if pans:
        found.append(Setting("pan", pans[-1]))
    return tuple(found)


def mixing_of(balance: Balance) -> str:
    """How the base is made: creamed, rubbed in, melted, whisked, kneaded; else stirred. Common practice, no source.

    The first step that works a fat of the base decides; a foam is what is beaten of egg and sugar alone; oil
    is brought in as a melted fat is.
    """
    by_line = {w.line.name: w for part in balance.parts if part.in_base for w in part.lines}
    beside = {fold(one.part.part.name) for one in balance.beside}
    melted: set[str] = set()
    for step in balance.formula.method:
        words = set(words_of(step.do))
        used = [by_line[use.name] for use in step.uses if use.name in by_line]
        fats = [w for w in used if w.group in ("fat", "oil")]
        if fold(step.text("makes")) in beside:
            continue
        if fats and len(fats) == len(used) and words & HEATS:
            melted.update(w.name for w in fats)
        elif fats:
            return _of_fat(words, fats, melted) or _without_fat(balance.formula)
        elif words & FOAMS and _is_foam({w.group for w in used}):
            return "whisked"
    return _without_fat(balance.formula)


def _of_fat(words: set[str], fats: Sequence[Weighed], melted: set[str]) -> str:
    """How a step brings fat in; empty where it only stirs it."""
    if words & CREAMS:
        return "creamed"
    if words & RUBS:
        return "rubbed in"
    is_liquid = all("melt" in w.line.state or w.name in melted or w.group == "oil" for w in fats)
    return "melted or oil" if is_liquid else ""


def _is_foam(groups: set[str]) -> bool:
    return "egg" in groups and groups <= {"egg", "sugar", "syrup"}


def _without_fat(formula: Formula) -> str:
    kneaded = any(not KNEADS.isdisjoint(words_of(step.do)) for step in formula.method)
    return "kneaded" if kneaded else "stirred"
