"""An amount in the cups, spoons and pieces that a reader owns; the grams beside it are the truth.

A measure is told in the notation of formula files (``1/2 cup plus 1 tbsp``), with ``scant``, ``generous`` or
``about`` before it where it is off and ``packed`` behind it where its mass asks for that: the book's words for
all of these are put in where it is printed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from perflour.balance.parts import Weighed
from perflour.kitchen.catalogue import Ingredient
from perflour.kitchen.household import (
    PINCH_FROM,
    PINCH_TO,
    TOO_FAR,
    Measures,
    Spoons,
    count_measure,
    eggs_measure,
    off,
    spoons_of,
    told,
    volume_ml,
)
from perflour.kitchen.numbers import mixed
from perflour.kitchen.quantity import Amount, Term
from perflour.kitchen.units import unit_named

METRIC_VOLUMES = frozenset(("ml", "cl", "dl", "l"))
# A mass of egg this near to whole eggs is said in eggs: house choice.
EGGS_NEAR_ENOUGH = 0.06
_HALF, _QUARTER, _EIGHTH = Fraction(1, 2), Fraction(1, 4), Fraction(1, 8)
# Below this of a tablespoon teaspoons are told.
LEAST_TBSP = 0.94


@dataclass(frozen=True)
class Owned:
    """The measures of a reader: sizes of cups and teaspoons; everybody has a tablespoon.

    One kind of measure does up to ``near`` off, said with scant or generous up to ``scant``; beyond that two
    kinds do. Sizes: common practice, no source. Shares: house choice.
    """

    cups: tuple[Fraction, ...] = (
        Fraction(1), Fraction(3, 4), Fraction(2, 3), _HALF, Fraction(1, 3), _QUARTER,
    )  # fmt: skip
    teaspoons: tuple[Fraction, ...] = (Fraction(1), _HALF, _QUARTER, _EIGHTH)
    near: float = 0.03
    scant: float = 0.06


def measure_of(weighed: Weighed, owned: Owned) -> str:
    """Cups, spoons or pieces: as the baker wrote them, else worked out from the mass.

    Of a part the share that is taken; of what cannot be read, the text.
    """
    amount = weighed.line.amount.value
    if not isinstance(amount, Amount):
        return weighed.line.amount.text
    if not all(t.unit.kind == "mass" or t.unit.name in METRIC_VOLUMES for t in amount.terms):
        return as_written(amount)
    if weighed.mass is None or weighed.ingredient is None:
        return ""
    grams, ingredient = weighed.mass.grams, weighed.ingredient
    if weighed.group == "egg":
        eggs = count_measure(grams, ingredient, "large")
        whole = round(eggs) if eggs else 0
        if eggs and whole and abs(eggs / whole - 1) <= EGGS_NEAR_ENOUGH:
            return f"{whole} large"
        return eggs_measure(grams, ingredient) or ""
    said = owned_measure(grams, ingredient, weighed.state, owned)
    return said and _with_packed(said, ingredient, weighed.state)


def owned_measure(grams: float, ingredient: Ingredient, state: str, owned: Owned) -> str:
    """The mass in measures that a reader owns; empty where none comes near or nobody has published one."""
    ml = volume_ml(grams, ingredient, state)
    if not ml or ml <= 0:
        return ""
    pinch = unit_named("pinch").factor
    sizes = spoons_of(ingredient)
    best = _nearest(_singles(ml, sizes, owned), ml, sizes)
    if best and abs(off(best, ml, sizes)) <= owned.scant:
        above = off(best, ml, sizes)
        word = "" if abs(above) <= owned.near else "scant " if above > 0 else "generous "
        return word + told(best)
    if ml < PINCH_TO * pinch:
        return "1 pinch" if ml > PINCH_FROM * pinch else ""
    doubles = [(abs(off(said, ml, sizes)), said) for said in _doubles(ml, sizes, owned)]
    near = [said for far, said in doubles if far <= owned.near]
    if near:
        return told(min(near, key=_scoops))
    far, chosen = min(doubles, key=lambda one: (one[0], _scoops(one[1])))
    return "" if far > TOO_FAR else f"about {told(chosen)}"


def _singles(ml: float, sizes: Spoons, owned: Owned) -> Iterator[Measures]:
    """One kind of measure, a little less and a little more than the volume."""
    if owned.cups:
        whole = int(ml // sizes["cup"])
        for number in (*(whole + part for part in (Fraction(0), *owned.cups)), Fraction(whole + 1)):
            if number:
                yield ((number, "cup"),)
    if not owned.cups or ml < (float(min(owned.cups)) - 0.01) * sizes["cup"]:
        for count in range(1, 4 if owned.cups else 1 + round(ml / sizes["tbsp"])):
            yield ((Fraction(count), "tbsp"),)
    if ml < LEAST_TBSP * sizes["tbsp"]:
        for number in _spoonfuls(owned):
            yield ((number, "tsp"),)


def _spoonfuls(owned: Owned) -> Iterator[Fraction]:
    """What teaspoons make, below a tablespoon: no more than two small ones beside whole ones."""
    parts = {part for part in owned.teaspoons if part < 1}
    if {_HALF, _QUARTER} <= parts:
        parts.add(_HALF + _QUARTER)
    for whole in range(3):
        for part in sorted({Fraction(0), *parts}):
            if whole + part:
                yield whole + part


def _doubles(ml: float, sizes: Spoons, owned: Owned) -> Iterator[Measures]:
    """A cup measure with spoons, tablespoons with teaspoons, or two sizes of teaspoon."""
    teaspoons = [n for n in _spoonfuls(owned) if n >= _QUARTER and (n * 4).denominator == 1]
    if owned.cups:
        whole = int(ml // sizes["cup"])
        for number in (whole + part for part in (Fraction(0), *owned.cups)):
            rest = ml - float(number) * sizes["cup"]
            if number and 0 < rest < 4.5 * sizes["tbsp"]:
                yield from (((number, "cup"), (Fraction(n), "tbsp")) for n in (1, 2, 3))
                yield from (((number, "cup"), (n, "tsp")) for n in teaspoons)
    small = sorted({part for part in owned.teaspoons if part < 1}, reverse=True)
    for at, one in enumerate(small):
        for whole in range(3):
            yield from (((whole + one, "tsp"), (less, "tsp")) for less in small[at + 1 :])
    for count in (1, 2, 3):
        yield from (((Fraction(count), "tbsp"), (n, "tsp")) for n in teaspoons)


def _nearest(those: Iterable[Measures], ml: float, sizes: Spoons) -> Measures:
    return min(those, key=lambda said: (abs(off(said, ml, sizes)), _scoops(said)), default=())


def _scoops(said: Measures) -> tuple[int, int]:
    """How often a reader dips into the bag, then whole numbers before small fractions."""
    dips = sum(int(number) + (number.denominator > 1) for number, _ in said)
    return dips, sum(number.denominator for number, _ in said)


def _with_packed(said: str, ingredient: Ingredient, state: str) -> str:
    """A worked-out measure with ``packed`` where its mass is that of a packed cup."""
    plain = {m.grams for m in ingredient.measures if m.per == "cup" and not m.state}
    packed = {m.grams for m in ingredient.measures if m.per == "cup" and m.state == "packed"}
    return f"{said}, packed" if plain & packed and "pack" not in state else said


def as_written(amount: Amount) -> str:
    """An amount in the notation of the file, its numbers as people write them."""
    said = " plus ".join(map(_term, amount.terms))
    if amount.content:
        said += f" of {_term(amount.content)}"
    return f"{said}, {_term(amount.drained)} drained" if amount.drained else said


def _term(term: Term) -> str:
    numbers = [term.low, term.high] if term.is_range else [term.low]
    filling = f" {term.filling}" if term.filling else ""
    unit = "" if term.unit.name == "each" else f"{filling} {term.unit.name}"
    return "-".join(map(_number, numbers)) + unit


def _number(number: Fraction) -> str:
    """An exact number as people write it: whole, mixed with a plain fraction, else a decimal."""
    return f"{float(number):g}" if number.denominator > 8 else mixed(number)
