"""The shopping list: what several batches need together, and the packs to buy for it."""

from __future__ import annotations

import time
from collections.abc import Iterable
from dataclasses import dataclass, field
from fractions import Fraction
from math import ceil

from perflour.bakeday.packs import LEAST_SECONDS, SECONDS, cheapest_packs
from perflour.balance.balance import Balance
from perflour.kitchen.catalogue import Ingredient, built_in
from perflour.kitchen.household import count_measure
from perflour.kitchen.prices import Pack, Price, PriceList

# A hair of rounding in a float does not make one egg more.
TOLERANCE = 1e-6
USUAL_EGG = "large"
EGG, PARTED = "egg", ("egg white", "egg yolk")


@dataclass(frozen=True)
class Bought:
    """A pack and how many of it."""

    pack: Pack
    number: int


@dataclass(frozen=True)
class ShoppingLine:
    """One ingredient. ``pieces`` is a whole number of ``unit`` for what is counted, such as eggs.

    ``bought`` is empty where there is no price or nothing to pay; ``reason`` then says which. ``proven``
    says whether no packs are cheaper.
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
    proven: bool = True


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


@dataclass
class _Need:
    """What all formulas need of one ingredient; ``parted`` whole eggs more, for white or yolk."""

    item: str
    ingredient: Ingredient | None
    uses: dict[str, float] = field(default_factory=dict)
    parted: int = 0

    @property
    def mass_g(self) -> float:
        return sum(self.uses.values())

    @property
    def shelf(self) -> tuple[str, str]:
        """What stands together in a shop stands together on the list."""
        return (self.ingredient.group if self.ingredient else "~", self.item)


def shopping_list(needs: Iterable[tuple[Balance, float]], prices: PriceList | None) -> ShoppingList:
    """The list for formulas, each with how many times it is made.

    Whites and yolks without a price of their own come out of whole eggs, both out of the same.
    """
    needed: dict[str, _Need] = {}
    unweighed: list[tuple[str, str]] = []
    for balance, factor in needs:
        formula = balance.formula.id
        for line in balance.everything:
            uses = needed.setdefault(line.name, _Need(line.name, line.ingredient)).uses
            uses[formula] = uses.get(formula, 0.0) + line.mass_g * factor
        unweighed += [(formula, w.line.name) for w in balance.unweighed if not w.line.is_part]
    _part_eggs(needed, prices)
    ordered = sorted(needed.values(), key=lambda need: need.shelf)
    until = time.monotonic() + SECONDS
    lines = tuple(_line(need, prices, until) for need in ordered)
    currency, date = (prices.currency, prices.date) if prices else ("", "")
    return ShoppingList(lines, tuple(unweighed), currency, date)


def _part_eggs(needed: dict[str, _Need], prices: PriceList | None) -> None:
    """Count the eggs that give the whites and yolks nobody sells here."""
    parted = [needed[name] for name in PARTED if name in needed and not _price(name, prices)]
    if parted:
        egg = needed.setdefault(EGG, _Need(EGG, built_in().find(EGG)))
        egg.parted = max(_pieces(need, None)[0] or 0 for need in parted)


def _price(item: str, prices: PriceList | None) -> Price | None:
    return prices.find(item) if prices else None


def _line(need: _Need, prices: PriceList | None, until: float) -> ShoppingLine:
    price = _price(need.item, prices)
    pieces, unit = _pieces(need, price)
    needed_g = Fraction(str(need.mass_g))
    if pieces is not None and need.ingredient:
        pieces += need.parted
        needed_g = _mass_of_pieces(pieces, unit, need.ingredient)
    about = (need.item, need.mass_g, tuple(need.uses.items()), pieces, unit)
    if need.item in PARTED and price is None:
        return ShoppingLine(*about, (), Fraction(0), None, "out of the eggs")
    seconds = max(until - time.monotonic(), LEAST_SECONDS)
    bought, cost, left_g, reason, proven = _buy(price, needed_g, prices is not None, seconds)
    if left_g is not None:  # the rest of an egg that is begun is left; whites and yolks are used
        left_g = None if need.parted else left_g + float(needed_g) - need.mass_g
    return ShoppingLine(*about, bought, cost, left_g, reason, proven)


def _pieces(need: _Need, price: Price | None) -> tuple[int | None, str]:
    """Whole pieces of what comes in pieces: eggs, and what the price list counts."""
    counted = [pack.unit for pack in price.packs if pack.pieces] if price else []
    if need.ingredient is None or (need.ingredient.group != "egg" and not counted):
        return None, ""
    unit = counted[0] if counted else USUAL_EGG
    number = count_measure(need.mass_g, need.ingredient, unit)
    return (None, "") if number is None else (ceil(number - TOLERANCE), unit)


def _mass_of_pieces(pieces: int, unit: str, ingredient: Ingredient) -> Fraction:
    plain = (m.grams for m in ingredient.measures if m.per == unit and not m.state)
    each = next(plain)
    return Fraction(str(each)) * pieces


def _buy(
    price: Price | None, needed: Fraction, listed: bool, seconds: float
) -> tuple[tuple[Bought, ...], Fraction | None, float | None, str, bool]:
    """The packs, what they cost, what is left of them, or why there are none; whether that is proven."""
    if price is None:
        return (), None, None, "no price" if listed else "", True
    if any(pack.price == 0 for pack in price.packs):
        return (), Fraction(0), None, "nothing to pay", True
    packs = cheapest_packs(price.packs, needed, seconds)
    if packs is None:
        return (), None, None, "beyond any kitchen: check pack sizes", True
    numbered = zip(price.packs, packs.numbers, strict=True)
    bought = tuple(Bought(pack, number) for pack, number in numbered if number)
    cost = sum((b.pack.price * b.number for b in bought), Fraction(0))
    held = sum((b.pack.grams * b.number for b in bought), Fraction(0))
    return bought, cost, float(held - needed), "", packs.proven
