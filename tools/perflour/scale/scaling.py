"""Scaling a formula: a target to a factor, the factor to amounts a kitchen can measure."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from math import floor

from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.kitchen.household import count_measure, household_measure
from perflour.kitchen.names import fold
from perflour.kitchen.pans import Pans
from perflour.kitchen.quantity import Amount, AmountProblem, Share, parse_amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.result import CannotRun, request_field

# Mass of batter in a measured volume, g per ml. Computed from USDA, Quantity Recipes for School Food
# Service, PA-1371, 1988: chocolate cake 7 lb 3 oz in 1 gal, banana bread 5 lb 10 oz in 2 1/2 qt,
# carrot cake 8 lb 2 oz in 3 3/4 qt give 0.86, 1.08 and 1.04.
BATTER_DENSITY_G_PER_ML = 1.0
# Common practice, no source: cake pans are filled to a half or two thirds.
USUAL_FILL = 2 / 3


@dataclass(frozen=True)
class ScaledLine:
    """A line with its new amount. ``amount`` is what the new formula says; ``exact_g`` the mass the
    factor asks for; ``measure`` a household measure of it, where one is known."""

    part: str
    item: str
    is_part: bool
    before: str
    amount: str
    exact_g: float | None
    measure: str | None


@dataclass(frozen=True)
class Scaled:
    """A formula's new amounts; ``pieces`` and ``scaling_weight_g`` where it has a yield."""

    factor: float
    reason: str
    lines: tuple[ScaledLine, ...]
    batch_g: float
    pieces: int | None
    scaling_weight_g: float | None
    #: what `uses` says now, by what it said, where it states an amount
    portions: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Style:
    """How new amounts are written: the scale's step, whole eggs, cups and spoons."""

    resolution_g: float = 1.0
    whole_eggs: bool = False
    household: bool = False


def factor_to_batch(balance: Balance, grams: float) -> float:
    """The factor to a batch mass. Raises CannotRun where the batch has no whole mass."""
    return grams / _whole_batch(balance)


def factor_to_pieces(balance: Balance, pieces: int, each_g: float | None) -> float:
    """The factor to a number of pieces; ``each_g`` None keeps the mass per piece."""
    if each_g is None:
        yields = balance.formula.yields
        if yields is None:
            raise CannotRun(
                f"the formula has no yield; say how much a piece weighs with {request_field('each')}"
            )
        return pieces / yields.pieces
    return pieces * each_g / _whole_batch(balance)


def factor_to_flour(balance: Balance, grams: float) -> float:
    """The factor to a mass of the basis (flour, or what stands for it)."""
    if balance.basis_g <= 0 or not balance.basis_is_whole:
        raise CannotRun("the flour of the formula has no whole mass; run lint to see why")
    return grams / balance.basis_g


def factor_to_pans(balance: Balance, pans: Pans, fill: float, density_g_per_ml: float) -> float:
    """The factor that fills pans to a share of their depth, by the density of the batter."""
    return factor_to_batch(balance, pans.volume_ml * fill * density_g_per_ml)


def factor_between_pans(before: Pans, after: Pans) -> float:
    """The factor from one set of pans to another at the same fill: no density is needed."""
    return after.volume_ml / before.volume_ml


def factor_by_least(balance: Balance, stock: Sequence[tuple[str, str]]) -> tuple[float, str]:
    """The largest factor that the ingredients at hand allow, and the one that limits it.

    ``stock`` pairs an item with an amount. Raises CannotRun for an item that is not in the formula.
    """
    factors: list[tuple[float, str]] = []
    for item, text in stock:
        lines = [w for p in balance.parts for w in p.lines if is_called(w, item)]
        needed = sum(w.grams for w in lines)
        if not lines or not needed:
            raise CannotRun(
                f"'{item}' is not an ingredient with a mass in this formula; check its name"
            )
        factors.append((_stock_g(lines[0], item, text) / needed, item))
    return min(factors)


def is_called(weighed: Weighed, item: str) -> bool:
    """Whether a line is an ingredient of that name, as it is written or by its main name."""
    return not weighed.line.is_part and fold(item) in (fold(weighed.line.name), fold(weighed.name))


def _stock_g(weighed: Weighed, item: str, text: str) -> float:
    try:
        mass = weigh(parse_amount(text), weighed.ingredient, weighed.state)
    except AmountProblem as problem:
        raise CannotRun(f"{item}: {problem.message}") from None
    if not isinstance(mass, Mass):
        raise CannotRun(f"{item}: {mass.reason}")
    return mass.grams


def _whole_batch(balance: Balance) -> float:
    if balance.unweighed or balance.batch_g <= 0:
        names = ", ".join(w.line.name for w in balance.unweighed[:3]) or "everything"
        raise CannotRun(
            f"the batch has no whole mass ({names} cannot be weighed); run lint to see why"
        )
    return balance.batch_g


def scale(
    balance: Balance, factor: float, reason: str, style: Style, pieces: int | None = None
) -> Scaled:
    """New amounts for every line. ``pieces`` None scales the yield's pieces to the nearest whole."""
    lines = tuple(
        _scaled_line(part.part.name, weighed, factor, style)
        for part in balance.parts
        for weighed in part.lines
    )
    batch_g = balance.batch_g * factor
    yields = balance.formula.yields
    if pieces is None and yields:
        pieces = max(1, floor(yields.pieces * factor + 0.5))
    each_g = batch_g / pieces if pieces else None
    portions = scaled_portions(balance, lambda _: factor, style)
    return Scaled(factor, reason, lines, batch_g, pieces, each_g, portions)


def scaled_portions(
    balance: Balance, factor_of: Callable[[Weighed | None], float], style: Style
) -> dict[str, str]:
    """The new text of every use that states an amount; shares stay as they are.

    ``factor_of`` takes the line of what is used, None where it is a part.
    """
    portions: dict[str, str] = {}
    for use in (use for step in balance.formula.method for use in step.uses):
        if isinstance(use.portion, Amount):
            weighed = next((w for w in balance.lines if is_called(w, use.name)), None)
            factor = factor_of(weighed)
            amount = _scaled_portion(use.portion, weighed, factor, style)
            portions[use.said] = f"{amount.removesuffix(' each')} of {use.name}"
    return portions


def _scaled_portion(portion: Amount, weighed: Weighed | None, factor: float, style: Style) -> str:
    ingredient, state = (weighed.ingredient, weighed.state) if weighed else (None, "")
    mass = weigh(portion, ingredient, state)
    if weighed is None or not isinstance(mass, Mass):
        return amount_times(portion.text, portion, factor)
    exact_g = mass.grams * factor
    measure = household_measure(exact_g, ingredient, state)
    return _amount(weighed, portion, exact_g, measure, style)


def _scaled_line(part: str, weighed: Weighed, factor: float, style: Style) -> ScaledLine:
    line = weighed.line
    value = line.amount.value
    exact_g = weighed.grams * factor if weighed.mass else None
    if isinstance(value, Share) or exact_g is None:
        text = (
            line.amount.text
            if isinstance(value, Share)
            else amount_times(line.amount.text, value, factor)
        )
        return ScaledLine(part, line.name, line.is_part, line.amount.text, text, exact_g, None)
    measure = household_measure(exact_g, weighed.ingredient, weighed.state)
    amount = _amount(weighed, value, exact_g, measure, style)
    return ScaledLine(part, line.name, line.is_part, line.amount.text, amount, exact_g, measure)


def _amount(
    weighed: Weighed,
    value: Amount | Share | None,
    exact_g: float,
    measure: str | None,
    style: Style,
) -> str:
    counted = _counted(weighed, value, exact_g)
    if counted and (style.whole_eggs or style.household):
        number, word = counted
        if style.whole_eggs:
            return f"{max(1, floor(number + 0.5))} {word}"
        return f"{max(1, floor(number * 2 + 0.5)) / 2:g} {word}"
    if style.household and measure and not weighed.line.is_part:
        return measure
    return f"{rounded_g(exact_g, style.resolution_g)} g"


def _counted(
    weighed: Weighed, value: Amount | Share | None, exact_g: float
) -> tuple[float, str] | None:
    """How many eggs a line needs, where it counts eggs."""
    if (
        not isinstance(value, Amount)
        or weighed.ingredient is None
        or weighed.ingredient.group != "egg"
    ):
        return None
    if value.kinds != {"count"}:
        return None
    word = value.terms[0].unit.name
    number = count_measure(exact_g, weighed.ingredient, word)
    return (number, word) if number else None


def amount_times(text: str, value: object, factor: float) -> str:
    """An amount without a mass, multiplied as it was written; unreadable text as it is."""
    if not isinstance(value, Amount):
        return text
    units = (" ".join(filter(None, (t.filling, t.unit.name))) for t in value.terms)
    terms = (
        f"{float(t.mean) * factor:.3g} {unit}" for t, unit in zip(value.terms, units, strict=True)
    )
    return " plus ".join(terms)


def rounded_g(grams: float, resolution_g: float) -> str:
    """A mass to the scale's step, small ones to a tenth of it, as text without separators."""
    step = resolution_g if grams >= 20 * resolution_g else resolution_g / 10
    return (
        f"{floor(grams / step + 0.5) * step:.6f}".rstrip("0").rstrip(".")
        if grams >= step / 2
        else f"{grams:.2g}"
    )
