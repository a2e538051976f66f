"""Which packs to buy: the cheapest that hold enough, then the least left over, then the fewest."""

from __future__ import annotations

import time
from collections.abc import Sequence
from fractions import Fraction
from math import ceil, gcd, lcm
from typing import NamedTuple

from perflour.kitchen.prices import Pack

#: Beyond these numbers the sizes are no kitchen's, and the whole numbers below no computer's.
MOST_PACKS = 100_000


#: The longest search for one shopping list.
SECONDS = 10.0
#: The clock is looked at after so many ways.
LOOKS = 1000
#: Each ingredient is given this much at least, until the time of the list is over.
LEAST_SECONDS = 0.1


class Packs(NamedTuple):
    """How many of each pack to buy; ``proven`` says whether nothing better exists."""

    numbers: tuple[int, ...]
    proven: bool = True


def cheapest_packs(
    packs: Sequence[Pack], grams: Fraction, seconds: float = SECONDS
) -> Packs | None:
    """How many of each pack to buy for ``grams`` of use; None where that is beyond any kitchen.

    Exact: sizes and prices are brought to whole numbers, and whatever could be better is looked at. Where it takes
    longer than ``seconds``, the best that was found.
    """
    if grams <= 0:
        return Packs((0,) * len(packs))
    most = [ceil(grams / pack.grams) for pack in packs]
    if len(packs) == 1:
        return Packs(tuple(most))
    if max(most) > MOST_PACKS:
        return None
    return _solved(packs, grams, most, seconds)


class _Pack(NamedTuple):
    """A pack in whole numbers: where it stands in the list, and from how many on others do as well."""

    at: int
    size: int
    price: int
    most: int


#: Price, what is held, number of packs: of two ways the lesser is the better.
_Worth = tuple[int, int, int]


class _Search:
    """Depth first, the packs that are cheapest by weight first; a class because it keeps the best so far.

    A branch is left where the best that it could hold, filled up at the price by weight of the next pack, is no
    better than that.
    """

    def __init__(self, packs: Sequence[_Pack], need: int, until: float) -> None:
        self.packs, self.need, self.until = packs, need, until
        self.largest = max(pack.size for pack in packs)
        # what all packs from one on can hold
        self.reach = [sum(p.size * p.most for p in packs[at:]) for at in range(len(packs) + 1)]
        self.best: tuple[_Worth, tuple[int, ...]] | None = None
        self.is_whole, self.looked = True, 0

    def look(self, at: int, price: int, rest: int, numbers: tuple[int, ...]) -> None:
        """Every number of one pack, with all that may stand beside it."""
        pack, full = self.packs[at], -(-rest // self.packs[at].size)
        if full <= pack.most:
            self._found(price + full * pack.price, rest - full * pack.size, (*numbers, full))
        if at + 1 == len(self.packs):
            return
        after = self.packs[at + 1]
        for number in range(min(full - 1, pack.most), -1, -1):
            left, paid = rest - number * pack.size, price + number * pack.price
            least = paid - (-left * after.price // after.size)
            if left > self.reach[at + 1] or self._is_over():
                return
            if self.best and least > self.best[0][0]:
                return
            packs = sum(numbers) + number - (-left // self.largest)
            if not self.best or (least, self.need, packs) < self.best[0]:
                self.look(at + 1, paid, left, (*numbers, number))

    def _found(self, price: int, left: int, numbers: tuple[int, ...]) -> None:
        worth = (price, self.need - left, sum(numbers))
        if not self.best or worth < self.best[0]:
            self.best = (worth, numbers)

    def _is_over(self) -> bool:
        """Whether the time is; the clock is looked at now and then."""
        self.looked += 1
        if not self.looked % LOOKS and time.monotonic() > self.until:
            self.is_whole = False
        return not self.is_whole


def _solved(packs: Sequence[Pack], grams: Fraction, most: Sequence[int], seconds: float) -> Packs:
    sizes, need = _whole([pack.grams for pack in packs], grams)
    prices, _ = _whole([pack.price for pack in packs], Fraction(0))
    order = sorted(range(len(packs)), key=lambda at: (Fraction(prices[at], sizes[at]), -sizes[at]))
    first = sizes[order[0]]
    # so many of a pack hold just what some of the first do, which cost no more and are no more packs
    enough = [most[at] if at == order[0] else min(most[at], first // gcd(first, sizes[at]) - 1) for at in order]  # fmt: skip
    known = [_Pack(at, sizes[at], prices[at], n) for at, n in zip(order, enough, strict=True)]
    search = _Search(known, need, time.monotonic() + seconds)
    search.look(0, 0, need, ())
    assert search.best is not None  # the first alone is tried before all else
    numbers = dict(zip(order, search.best[1], strict=False))
    return Packs(tuple(numbers.get(at, 0) for at in range(len(packs))), search.is_whole)


def _whole(values: Sequence[Fraction], least: Fraction) -> tuple[list[int], int]:
    """Fractions times the number that makes all of them whole; ``least`` is rounded up."""
    scale = lcm(*(value.denominator for value in values))
    return [int(value * scale) for value in values], ceil(least * scale)
