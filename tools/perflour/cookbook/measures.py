"""An amount in the cups, spoons and pieces that a reader owns; the grams beside it are the truth.

A measure is told in the notation of formula files (``1/2 cup plus 1 tbsp``), with ``scant``, ``generous`` or
``about`` before it where it is off and ``packed`` behind it where its mass asks for that: the book's words for
all of these are put in where it is printed.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

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
_TABLESPOONS = tuple(map(Fraction, (1, 2, 3)))
# Below this of a tablespoon teaspoons are told.
LEAST_TBSP = 0.94


#: How many ml measures hold, with them.
Held = tuple[float, Measures]


class Owned(NamedTuple):
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
    above, best = _nearest(_singles(ml, sizes, owned), ml)
    if best and abs(above) <= owned.scant:
        word = "" if abs(above) <= owned.near else "scant " if above > 0 else "generous "
        return word + told(best)
    if ml < PINCH_TO * pinch:
        return "1 pinch" if ml > PINCH_FROM * pinch else ""
    doubles = list(_doubles(ml, sizes, owned))
    near = [said for held, said in doubles if abs(held / ml - 1) <= owned.near]
    if near:
        return told(min(near, key=_scoops))
    far, chosen = _nearest(doubles, ml)
    return "" if abs(far) > TOO_FAR else f"about {told(chosen)}"


def _singles(ml: float, sizes: Spoons, owned: Owned) -> Iterator[Held]:
    """One kind of measure, a little less and a little more than the volume."""
    if owned.cups:
        yield from _cups(ml, sizes, owned)
        more = Fraction(1 + int(ml // sizes["cup"]))
        yield float(more) * sizes["cup"], ((more, "cup"),)
    if not owned.cups or ml < (min(map(float, owned.cups)) - 0.01) * sizes["cup"]:
        for count in range(1, 4 if owned.cups else 1 + round(ml / sizes["tbsp"])):
            yield count * sizes["tbsp"], ((Fraction(count), "tbsp"),)
    if ml < LEAST_TBSP * sizes["tbsp"]:
        for number, said in _spoonfuls(owned.teaspoons).alone:
            yield number * sizes["tsp"], said


def _cups(ml: float, sizes: Spoons, owned: Owned) -> Iterator[Held]:
    """The whole cups in a volume, alone and with each part of a cup."""
    whole, cup = int(ml // sizes["cup"]), sizes["cup"]
    if whole:
        yield whole * cup, ((Fraction(whole), "cup"),)
    for part in owned.cups:
        number = whole + part if whole else part
        yield number.numerator / number.denominator * cup, ((number, "cup"),)


class Spoonfuls(NamedTuple):
    """What the teaspoons of a reader make, each with its number as a float: alone, beside larger measures, two sizes."""

    alone: tuple[tuple[float, Measures], ...]
    beside: tuple[tuple[float, tuple[Fraction, str]], ...]
    pairs: tuple[tuple[float, float, Measures], ...]


# Owner: the process. Bound: 8 sets of teaspoons, of which a book has one. Pays: a twentieth of a draft,
# which makes, sorts and compares sixty fractions for every line.
@lru_cache(maxsize=8)
def _spoonfuls(teaspoons: tuple[Fraction, ...]) -> Spoonfuls:
    """Below a tablespoon: no more than two small ones beside whole ones."""
    small = sorted({part for part in teaspoons if part < 1}, reverse=True)
    parts = {Fraction(0), *small}
    if {_HALF, _QUARTER} <= parts:
        parts.add(_HALF + _QUARTER)
    numbers = [whole + part for whole in range(3) for part in sorted(parts) if whole + part]
    beside = (n for n in numbers if n >= _QUARTER and (n * 4).denominator == 1)
    pairs = (
        (whole + one, less)
        for at, one in enumerate(small)
        for whole in range(3)
        for less in small[at + 1 :]
    )
    return Spoonfuls(
        tuple((float(n), ((n, "tsp"),)) for n in numbers),
        tuple((float(n), (n, "tsp")) for n in beside),
        tuple((float(n), float(less), ((n, "tsp"), (less, "tsp"))) for n, less in pairs),
    )


def _doubles(ml: float, sizes: Spoons, owned: Owned) -> Iterator[Held]:
    """A cup measure with spoons, tablespoons with teaspoons, or two sizes of teaspoon."""
    tbsp, tsp = sizes["tbsp"], sizes["tsp"]
    made = _spoonfuls(owned.teaspoons)
    tablespoons = [(n.numerator * tbsp, (n, "tbsp")) for n in _TABLESPOONS]
    teaspoons = [(n * tsp, one) for n, one in made.beside]
    for in_cups, (cups,) in _cups(ml, sizes, owned) if owned.cups else ():
        if 0 < ml - in_cups < 4.5 * tbsp:
            for held, one in (*tablespoons, *teaspoons):
                yield in_cups + held, (cups, one)
    for more, less, said in made.pairs:
        yield more * tsp + less * tsp, said
    for in_spoons, spoons in tablespoons:
        for held, one in teaspoons:
            yield in_spoons + held, (spoons, one)


def _nearest(those: Iterable[Held], ml: float) -> tuple[float, Measures]:
    """The measures that come nearest, with how far above the volume they are, as a share of it."""
    near = [(held / ml - 1, said) for held, said in those]
    least = min((abs(above) for above, _ in near), default=0.0)
    best = (one for one in near if abs(one[0]) == least)
    return min(best, key=lambda one: _scoops(one[1]), default=(0.0, ()))


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
