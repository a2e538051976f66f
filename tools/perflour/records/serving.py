"""Blind codes and the order in which tasters get the samples, drawn from a seed.

Scoring and pairs follow Williams' design: every sample stands equally often at every place and
equally often right after every other, so that neither the first bite nor the one before weighs on one
sample alone. E. J. Williams, Experimental designs balanced for the estimation of residual effects of
treatments, Australian Journal of Scientific Research A 2 (1949) 149-168; for tastings: H. J. MacFie,
N. Bratchell, K. Greenhoff, L. V. Vallis, Journal of Sensory Studies 4 (1989) 129-148 (both from memory).
A triangle takes the six orders of two samples, one of them twice (ISO 4120, from memory). In a duo-trio the
first is the reference, and one of the two that follow is the same: four orders, in which each sample is the
reference equally often (ISO 10399, balanced reference, from memory).
"""

from collections.abc import Callable, Sequence
from itertools import chain, repeat

from perflour.tuples import NamedTuple
from perflour.typed import TypeVar

T = TypeVar("T")
TRIANGLE_ROWS = ((0, 0, 1), (0, 1, 0), (1, 0, 0), (1, 1, 0), (1, 0, 1), (0, 1, 1))
DUO_TRIO_ROWS = ((0, 0, 1), (0, 1, 0), (1, 1, 0), (1, 0, 1))
#: Of two samples one is served twice, under two codes.
THREE_SERVED = {"triangle": TRIANGLE_ROWS, "duo-trio": DUO_TRIO_ROWS}


class Served(NamedTuple):
    """What one taster gets, by code, first to last."""

    taster: str
    codes: tuple[str, ...]


class Servings(NamedTuple):
    """The codes of every sample and every taster's order; ``rows`` tasters make it balanced."""

    codes: tuple[tuple[str, ...], ...]
    served: tuple[Served, ...]
    rows: int


def williams_rows(samples: int) -> list[list[int]]:
    """The rows of Williams' design for two or more samples: as many for even, twice for odd."""
    first = [0, *(n // 2 + 1 if n % 2 == 0 else samples - n // 2 - 1 for n in range(samples - 1))]
    rows = [[(place + turn) % samples for place in first] for turn in range(samples)]
    return rows if samples % 2 == 0 else rows + [row[::-1] for row in rows]


def rows_of(ask: str, samples: int) -> list[list[int]]:
    """The orders of a balanced session by what is asked, samples by number."""
    three = THREE_SERVED.get(ask)
    return [list(row) for row in three] if three else williams_rows(samples)


def draw_servings(samples: int, tasters: Sequence[str], ask: str, seed: int) -> Servings:
    """Codes and orders for a session; the same seed draws the same again.

    In a triangle or duo-trio each of the two samples has two codes, as one taster gets it twice.
    """
    from random import Random  # here and below: a changelog reads servings and draws none

    # only random() is promised to stay the same in later versions of Python
    draw = Random(seed).random
    each = 2 if ask in THREE_SERVED else 1
    drawn = iter(_codes(samples * each, draw))
    codes = tuple(tuple(next(drawn) for _ in range(each)) for _ in range(samples))
    rows = rows_of(ask, samples)
    named = _shuffled(range(samples), draw)
    dealt = chain.from_iterable(_shuffled(rows, draw) for _ in repeat(None))
    served = {
        taster: tuple(_coded([named[place] for place in row], codes, draw))
        for taster, row in zip(_shuffled(tasters, draw), dealt, strict=False)
    }
    return Servings(codes, tuple(Served(t, served[t]) for t in tasters), len(rows))


def blind_codes(count: int, seed: int) -> tuple[str, ...]:
    """Codes for so many samples: those that a session of scores draws for as many from the same seed."""
    from random import Random

    return tuple(_codes(count, Random(seed).random))


def _coded(
    row: Sequence[int], codes: Sequence[Sequence[str]], draw: Callable[[], float]
) -> list[str]:
    """The row in codes, a sample that comes twice under both of its own."""
    left = {sample: _shuffled(codes[sample], draw) for sample in dict.fromkeys(row)}
    return [left[sample].pop() for sample in row]


def _codes(count: int, draw: Callable[[], float]) -> list[str]:
    """Three-digit codes of different digits, no two with the same first two: common practice, no source."""
    found: dict[str, str] = {}
    for code in _shuffled([f"{n}" for n in range(100, 1000)], draw):
        if len(set(code)) == 3:
            found.setdefault(code[:2], code)
    return list(found.values())[:count]


def _shuffled(items: Sequence[T], draw: Callable[[], float]) -> list[T]:
    return sorted(items, key=lambda _: draw())
