"""Formulas that are the same, and pairs that differ in one thing only.

Cheap figures come first, so that only pairs that may be near are held together line by line.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from statistics import median
from typing import Literal, NamedTuple

from perflour.compare.collect import Compared
from perflour.compare.table import labels
from perflour.diff.difference import Difference, difference_between
from perflour.diff.matching import FAMILIES
from perflour.evidence.thing import Thing
from perflour.evidence.things import things
from perflour.kitchen.house import House
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount

# How two formulas are the same: in all that counts, in another batch size, or measured otherwise within the spread of
# measuring. The last that is true of a pair of a group is that of the group.
Sameness = Literal["equal", "scaled", "re-measured"]
_RANKS: tuple[Sameness, ...] = ("equal", "scaled", "re-measured")
# Two masses of an ingredient, times the batch factor, are near within this: cups on cards that print both are a quarter
# off at most (diff.residual.FURTHEST_OFF), and so is the factor.
NEAR = 1.6
# One exchange moves so many ingredients at most: one for three others, as in a blend, and what it takes along.
MOST_MOVED = 5
# Masses measured alike and nearer than one of these are one: rounding, how level a cup is.
ON_SCALES = frozenset(("mass",))
ALIKE_ON_SCALES, ALIKE, ALIKE_G = 0.03, 0.08, 1.0
# So many verbs on either side that the other has not are two things at least: one thing may change the verb of one.
VERBS_APART = 2


@dataclass(frozen=True)
class Same:
    """A group of formulas that are the same by ratios and method, and the least alike way of its pairs."""

    labels: tuple[str, ...]
    way: Sameness


@dataclass(frozen=True)
class OneThing:
    """Two formulas that differ in one thing only: what turns the first into the second."""

    first: str
    second: str
    thing: Thing


@dataclass(frozen=True)
class Twins:
    """Groups of the same, and pairs one thing apart, by label. ``compared`` of ``pairs`` were held line by line."""

    groups: tuple[Same, ...]
    one_thing: tuple[OneThing, ...]
    pairs: int
    compared: int


class _Sum(NamedTuple):
    """What there is of an ingredient: its mass in g, the kinds of its units, its family of the catalogue."""

    grams: float
    kinds: frozenset[str]
    family: str


_Key = tuple[str, str]


class _Sketch(NamedTuple):
    """The ingredients by part and name; over all parts, the part being ""; how often each verb is in the method."""

    by_part: Mapping[_Key, _Sum]
    over_all: Mapping[_Key, _Sum]
    verbs: Counter[str]


def twins(formulas: Sequence[Compared], house: House | None = None) -> Twins:
    """Which formulas are the same, and which differ in one thing; any number, in any order."""
    names = labels(formulas)
    order = sorted(range(len(formulas)), key=lambda at: names[at])
    sketches = [_sketch(one) for one in formulas]
    same: list[tuple[int, int, Sameness]] = []
    one_thing: list[OneThing] = []
    compared = 0
    for first, second in combinations(order, 2):
        if not _may_be_near(sketches[first], sketches[second]):
            continue
        compared += 1
        difference = difference_between(formulas[first].balance, formulas[second].balance, "", house)  # fmt: skip
        found = things(difference)
        if not found:
            same.append((first, second, _sameness(difference)))
        elif len(found) == 1 and found[0].sort != "not compared":
            one_thing.append(OneThing(names[first], names[second], found[0]))
    pairs = len(order) * (len(order) - 1) // 2
    return Twins(tuple(_groups(same, names)), tuple(one_thing), pairs, compared)


def _sketch(one: Compared) -> _Sketch:
    by_part: dict[_Key, _Sum] = {}
    over_all: dict[_Key, _Sum] = {}
    for part in one.balance.parts:
        for weighed in part.lines:
            if weighed.line.is_part:
                continue
            amount = weighed.line.amount.value
            kinds = amount.kinds if isinstance(amount, Amount) else frozenset()
            family = FAMILIES.get(weighed.group, weighed.group) or weighed.name
            for sums, place in ((by_part, fold(part.part.name)), (over_all, "")):
                key = place, fold(weighed.name)
                was = sums.get(key, _Sum(0.0, kinds, family))
                sums[key] = _Sum(was.grams + weighed.grams, was.kinds | kinds, family)
    return _Sketch(by_part, over_all, Counter(fold(s.do) for s in one.balance.formula.method))


def _may_be_near(one: _Sketch, other: _Sketch) -> bool:
    """Whether two formulas may be one thing apart: generous, it only spares work.

    A part that was scaled moves all that is in it by one factor; a preferment that takes more moves nothing in all.
    """
    if not one.over_all.keys() & other.over_all.keys():
        return False
    verbs = (one.verbs - other.verbs).total(), (other.verbs - one.verbs).total()
    if min(verbs) >= VERBS_APART or _far(one.over_all, other.over_all) > MOST_MOVED:
        return False
    by_part = _moved(one.by_part, other.by_part)
    return by_part < 2 or _moved(one.over_all, other.over_all) < 2


def _far(one: Mapping[_Key, _Sum], other: Mapping[_Key, _Sum]) -> int:
    """How many ingredients are far from what they were, or lone; of those of one side alone a part may bring many."""
    factors = _factors(one, other)
    middle = median(factors.values()) if factors else 1.0
    lone = min(len(one.keys() - other.keys()), len(other.keys() - one.keys()))
    return lone + sum(not 1 / NEAR <= factor / middle <= NEAR for factor in factors.values())


def _moved(one: Mapping[_Key, _Sum], other: Mapping[_Key, _Sum]) -> int:
    """In how many families ingredients moved that are measured alike on both sides; 1 where all moved alike.

    Moved are those that are not as many times what they were as most are.
    """
    factors = {
        key: factor
        for key, factor in _factors(one, other).items()
        if one[key].kinds == other[key].kinds and len(one[key].kinds) == 1
    }
    stayed: set[_Key] = set()
    for usual in factors.values():
        near = {
            key
            for key, factor in factors.items()
            if abs(factor / usual - 1)
            <= (ALIKE_ON_SCALES if one[key].kinds == ON_SCALES else ALIKE)
            or abs(other[key].grams - one[key].grams * usual) <= ALIKE_G
        }
        stayed = max(stayed, near, key=len)
    moved = {key: factor for key, factor in factors.items() if key not in stayed}
    if moved and max(moved.values()) / min(moved.values()) - 1 <= ALIKE_ON_SCALES:
        return 1
    return len({one[key].family for key in moved})


def _factors(one: Mapping[_Key, _Sum], other: Mapping[_Key, _Sum]) -> dict[_Key, float]:
    """By how much each ingredient is more, of those that have a mass on both sides."""
    return {
        key: other[key].grams / one[key].grams
        for key in one.keys() & other.keys()
        if one[key].grams and other[key].grams
    }


def _sameness(difference: Difference) -> Sameness:
    """How two formulas without a thing between them are the same."""
    kinds = {change.kind for change in difference.changes}
    measured = any(c.kind == "re-measured" or getattr(c, "beyond_spread", None) is False for c in difference.changes)  # fmt: skip
    if measured:
        return "re-measured"
    return "scaled" if "batch-scaled" in kinds else "equal"


def _groups(same: Sequence[tuple[int, int, Sameness]], names: Sequence[str]) -> Iterator[Same]:
    """Formulas that hang together by pairs that are the same."""
    belongs = {at: at for pair in same for at in pair[:2]}

    def root(at: int) -> int:
        while belongs[at] != at:
            at = belongs[at]
        return at

    for first, second, _ in same:
        belongs[root(second)] = root(first)
    groups: dict[int, list[int]] = {}
    for at in belongs:
        groups.setdefault(root(at), []).append(at)
    found = []
    for members in groups.values():
        ways = [way for a, b, way in same if a in members and b in members]
        found.append(Same(tuple(sorted(names[at] for at in members)), max(ways, key=_RANKS.index)))
    yield from sorted(found, key=lambda group: group.labels)
