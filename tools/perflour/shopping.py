"""The shopping list: what several batches need together, and the packs to buy for it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil

from perflour.balance import Balance
from perflour.catalogue import Ingredient
from perflour.household import count_measure
from perflour.packs import cheapest_packs
from perflour.prices import Pack, Price, PriceList

# A hair of rounding in a float does not make one egg more.
TOLERANCE = 1e-6
USUAL_EGG = "large"


@dataclass(frozen=True)
class Bought:
    """A pack and how many of it."""

    pack: Pack
    number: int


@dataclass(frozen=True)
class ShoppingLine:
    """One ingredient. ``pieces`` is a whole number of ``unit`` for what is counted, such as eggs.

    ``bought`` is empty where there is no price or nothing to pay; ``reason`` then says which.
    """

    item: str
    mass_g: float
    uses: tuple[tuple[str, float], ...]
    pieces: int | None
    unit: str
    bought: tuple[Bought, ...]
    cost: Fraction | None
    left_g: float | None
    reason: str = ""


@dataclass(frozen=True)
class ShoppingList:
    """Everything to have in the house. ``unweighed`` pairs formula and item without a mass."""

    lines: tuple[ShoppingLine, ...]
    unweighed: tuple[tuple[str, str], ...]
    currency: str = ""
    date: str = ""

    @property
    def total(self) -> Fraction:
        """What all the packs cost together, as far as prices are known."""
        return sum((line.cost for line in self.lines if line.cost is not None), Fraction(0))


def shopping_list(needs: Iterable[tuple[Balance, float]], prices: PriceList | None) -> ShoppingList:
    """The list for formulas, each with how many times it is made."""
    needed: dict[str, list[tuple[str, float]]] = {}
    known: dict[str, Ingredient | None] = {}
    unweighed: list[tuple[str, str]] = []
    for balance, factor in needs:
        formula = balance.formula.id
        for line in balance.total:
            needed.setdefault(line.name, []).append((formula, line.mass_g * factor))
            known.setdefault(line.name, line.ingredient)
        unweighed += [(formula, w.line.name) for w in balance.unweighed if not w.line.is_part]
    ordered = sorted(needed, key=lambda name: _shelf(known[name], name))
    lines = tuple(_line(name, needed[name], known[name], prices) for name in ordered)
    currency, date = (prices.currency, prices.date) if prices else ("", "")
    return ShoppingList(lines, tuple(unweighed), currency, date)


def _shelf(ingredient: Ingredient | None, name: str) -> tuple[str, str]:
    """What stands together in a shop stands together on the list."""
    return (ingredient.group if ingredient else "~", name)


def _line(
    name: str,
    uses: Sequence[tuple[str, float]],
    ingredient: Ingredient | None,
    prices: PriceList | None,
) -> ShoppingLine:
    mass_g = sum(grams for _, grams in uses)
    price = prices.find(ingredient.name if ingredient else name) if prices else None
    pieces, unit = _pieces(mass_g, ingredient, price)
    needed = Fraction(str(mass_g))
    if pieces is not None and ingredient is not None:
        needed = _mass_of_pieces(pieces, unit, ingredient)
    merged = tuple((formula, sum(g for f, g in uses if f == formula)) for formula in dict(uses))
    bought, cost, left_g, reason = _buy(price, needed, mass_g, prices is not None)
    return ShoppingLine(name, mass_g, merged, pieces, unit, bought, cost, left_g, reason)


def _pieces(
    mass_g: float, ingredient: Ingredient | None, price: Price | None
) -> tuple[int | None, str]:
    """Whole pieces of what comes in pieces: eggs, and what the price list counts."""
    counted = [pack.unit for pack in price.packs if pack.pieces] if price else []
    if ingredient is None or (ingredient.group != "egg" and not counted):
        return None, ""
    unit = counted[0] if counted else USUAL_EGG
    number = count_measure(mass_g, ingredient, unit)
    return (ceil(number - TOLERANCE), unit) if number else (None, "")


def _mass_of_pieces(pieces: int, unit: str, ingredient: Ingredient) -> Fraction:
    each = next(measure.grams for measure in ingredient.measures if measure.per == unit)
    return Fraction(str(each)) * pieces


def _buy(
    price: Price | None, needed: Fraction, mass_g: float, listed: bool
) -> tuple[tuple[Bought, ...], Fraction | None, float | None, str]:
    """The packs, what they cost, what is left of them, or why there are none."""
    if price is None:
        return (), None, None, "no price" if listed else ""
    if any(pack.price == 0 for pack in price.packs):
        return (), Fraction(0), None, "nothing to pay"
    numbers = cheapest_packs(price.packs, needed)
    if numbers is None:
        return (), None, None, "beyond any kitchen: check pack sizes"
    bought = tuple(
        Bought(pack, number) for pack, number in zip(price.packs, numbers, strict=True) if number
    )
    cost = sum((b.pack.price * b.number for b in bought), Fraction(0))
    held = sum((b.pack.grams * b.number for b in bought), Fraction(0))
    return bought, cost, float(held) - mass_g, ""
