"""How alike two names are.

Of many pairs of names few are alike, so a bound is asked first: names with too few letters in common in one
order cannot be. It never turns away a pair that the likeness itself would let pass, and is found so much
faster that two formulas with nothing in common cost about what reading them does.
"""

from collections import Counter
from collections.abc import Callable
from math import ceil

# Two names that no catalogue knows are one name respelled when they are this alike.
ALIKE = 0.75
# From so many pairs on it pays to load the library that counts letters in common faster.
MANY = 2_000

#: Whether two names may be alike at all.
Bound = Callable[[str, str], bool]


def alikeness(first: str, second: str) -> float:
    """How alike two names are, from 0 to 1; give them in one order, for ties.

    Twice the letters in common, over all letters: the longest piece that both have, the first such, then
    the same on its left and on its right. As difflib's SequenceMatcher without its heuristics, which takes
    three times as long.
    """
    common = 0
    apart = [(first, second)]
    while apart:
        one, other = apart.pop()
        at, size = _longest_piece(one, other)
        if size:
            there = other.find(one[at : at + size])
            common += size
            apart.append((one[:at], other[:there]))
            apart.append((one[at + size :], other[there + size :]))
    letters = len(first) + len(second)
    return 2.0 * common / letters if letters else 1.0


def _longest_piece(one: str, other: str) -> tuple[int, int]:
    """Where the longest piece of one text that stands in another begins, the first such, and its length."""
    at = size = 0
    for start in range(len(one)):
        while start + size < len(one) and one[start : start + size + 1] in other:
            at, size = start, size + 1
        if start + size >= len(one):
            break
    return at, size


def bound_for(pairs: int) -> Bound:
    """The bound that is soonest done for so many pairs of names."""
    if pairs < MANY:
        return may_be_alike
    from rapidfuzz.distance import LCSseq  # only where there are many

    def by_order(first: str, second: str) -> bool:
        least = ceil(ALIKE * (len(first) + len(second)) / 2)
        return LCSseq.similarity(first, second, score_cutoff=least) >= least

    return by_order


def may_be_alike(first: str, second: str) -> bool:
    """The bound by the letters that two names have in common, in whatever order."""
    if not 2 * min(len(first), len(second)) >= ALIKE * (len(first) + len(second)):
        return False
    common = sum((Counter(first) & Counter(second)).values())
    return 2 * common >= ALIKE * (len(first) + len(second))
