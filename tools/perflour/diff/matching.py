"""Which lines of one side are which on the other.

Lines of one ingredient in one part go together; then lines of one ingredient anywhere (moved); then
an ingredient gone and one come of the same kind (substituted, or renamed where nobody knows it).
Where there is a choice it is an assignment: the pairs that cost least in all, by name, part, group,
state and nearness in mass.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from difflib import SequenceMatcher
from math import log
from typing import Literal, NamedTuple

from perflour.diff.assignment import assign
from perflour.diff.placed_lines import PlacedLine, Side
from perflour.diff.residual import Residual, residual, same
from perflour.formula.formula import canonical_amount
from perflour.kitchen.quantity import Amount

How = Literal["pair", "divided", "shared out", "substituted"]

# Ingredients that stand in for each other across catalogue groups: the ratios count them together.
FAMILIES = {"oil": "fat", "syrup": "sugar", "dairy": "liquid"}
# "other" is no kind of ingredient: gelatin is no substitute for crackers.
NO_KIND = ("", "other")
# No line that moved, and no substitute, weighs more than this many times as much as before.
MOST_APART = 5.0
# In another part only one of about the same mass stands in: within a quarter.
NEAR = 1.25
# Two names that no catalogue knows are one name respelled when they are this alike.
ALIKE = 0.75
# More pairs than of 60 lines gone and 60 new are not looked at one by one.
MOST_PAIRS = 3_600
# What counts against a pair: another state, another part, a neighbouring group, twice the mass
# (log 2), a name that is not alike at all.
STATE_COST, PART_COST, GROUP_COST, MASS_COST, NAME_COST = 0.3, 1.0, 0.5, 1.0, 0.5


class Match(NamedTuple):
    """Lines that are the same lines on both sides, or stand for each other."""

    before: tuple[PlacedLine, ...]
    after: tuple[PlacedLine, ...]
    how: How = "pair"


class Matches(NamedTuple):
    """Every line of both sides, matched or lone."""

    found: tuple[Match, ...]
    gone: tuple[PlacedLine, ...]
    new: tuple[PlacedLine, ...]


class Scale(NamedTuple):
    """What lines are held against: the batch factor, that of each root part, the scale's step."""

    factor: float
    root_factors: Mapping[str, float]
    resolution_g: float

    def of(self, before: Sequence[PlacedLine], after: Sequence[PlacedLine]) -> float:
        """The factor of lines: of their root part where they all stay in it."""
        roots = {entry.root for entry in (*before, *after)}
        return self.root_factors.get(roots.pop(), self.factor) if len(roots) == 1 else self.factor

    def residual(self, before: Sequence[PlacedLine], after: Sequence[PlacedLine]) -> Residual:
        return residual(before, after, self.of(before, after), self.resolution_g)


def match_lines(before: Side, after: Side, scale: Scale) -> Matches:
    """The lines of two sides, matched."""
    found, gone, new = _in_one_part(before.placed, after.placed, scale)
    moved, gone, new = _in_other_parts(gone, new, scale)
    found += moved
    found, gone, new = _shared_out(found, gone, new, scale)
    stand_ins, gone, new = _substituted(gone, new, scale)
    return Matches(tuple(found + stand_ins), tuple(gone), tuple(new))


_Found = tuple[list[Match], list[PlacedLine], list[PlacedLine]]


def _in_one_part(before: Iterable[PlacedLine], after: Iterable[PlacedLine], scale: Scale) -> _Found:
    found: list[Match] = []
    gone: list[PlacedLine] = []
    new: list[PlacedLine] = []
    sides = _grouped(before), _grouped(after)
    for key in dict.fromkeys((*sides[0], *sides[1])):
        old, now = sides[0].get(key, []), sides[1].get(key, [])
        if len(old) == len(now) == 1:
            found.append(Match((old[0],), (now[0],)))
            continue
        alike, old, now = _alike(old, now, scale)
        found += alike
        if old and now:
            found += _pairs(old, now, scale) if len(old) == len(now) else [_divided(old, now)]
        else:
            gone += old
            new += now
    return found, gone, new


def _grouped(placed: Iterable[PlacedLine]) -> dict[tuple[str, str, bool], list[PlacedLine]]:
    groups: dict[tuple[str, str, bool], list[PlacedLine]] = defaultdict(list)
    for entry in placed:
        groups[(entry.part_key, entry.name, entry.is_part)].append(entry)
    return groups


def _alike(old: list[PlacedLine], now: list[PlacedLine], scale: Scale) -> _Found:
    """Pairs of lines that differ in nothing that counts, and the rest."""
    found: list[Match] = []
    rest = sorted(now, key=lambda e: e.sort_key)
    left: list[PlacedLine] = []
    for entry in sorted(old, key=lambda e: e.sort_key):
        twin = next((other for other in rest if _is_twin(entry, other, scale)), None)
        if twin is None:
            left.append(entry)
        else:
            rest.remove(twin)
            found.append(Match((entry,), (twin,)))
    return found, left, rest


def _is_twin(entry: PlacedLine, other: PlacedLine, scale: Scale) -> bool:
    if entry.state != other.state:
        return False
    if entry.grams is None or other.grams is None:
        return is_multiple(entry, other, scale.of([entry], [other]))
    return entry.units == other.units and same(
        entry.grams * scale.of([entry], [other]), other.grams
    )


def _pairs(old: list[PlacedLine], now: list[PlacedLine], scale: Scale) -> list[Match]:
    """Lines of one ingredient paired by state and mass."""

    def cost(a: PlacedLine, b: PlacedLine) -> float:
        return _apart(a, b, scale) * MASS_COST + STATE_COST * (a.state != b.state)

    old, now = (sorted(side, key=lambda e: e.sort_key) for side in (old, now))
    return [Match((old[a],), (now[b],)) for a, b in assign(old, now, cost)]


def _divided(old: list[PlacedLine], now: list[PlacedLine]) -> Match:
    old, now = (sorted(side, key=lambda e: e.sort_key) for side in (old, now))
    return Match(tuple(old), tuple(now), "divided")


def _apart(a: PlacedLine, b: PlacedLine, scale: Scale) -> float:
    """How far two masses are apart, as the logarithm to 2 of their ratio."""
    if not a.grams or not b.grams:
        return 0.0 if is_multiple(a, b, scale.of([a], [b])) else 1.0
    return abs(log(b.grams / (a.grams * scale.of([a], [b]))) / log(2))


def is_multiple(a: PlacedLine, b: PlacedLine, factor: float) -> bool:
    """Whether one amount is the other times the factor, as written."""
    old, now = a.weighed.line.amount.value, b.weighed.line.amount.value
    if not isinstance(old, Amount) or not isinstance(now, Amount):
        return canonical_amount(a.weighed.line.amount) == canonical_amount(b.weighed.line.amount)
    if (old.content, old.drained) != (now.content, now.drained):
        return False
    if [t.unit.name for t in old.terms] != [t.unit.name for t in now.terms]:
        return False
    return all(
        same(float(s.low) * factor, float(t.low)) and same(float(s.high) * factor, float(t.high))
        for s, t in zip(old.terms, now.terms, strict=True)
    )


def _in_other_parts(gone: list[PlacedLine], new: list[PlacedLine], scale: Scale) -> _Found:
    """Lines of one ingredient that left one part and came into another."""
    found: list[Match] = []
    rest: tuple[list[PlacedLine], list[PlacedLine]] = ([], [])
    sides = _by_name(gone), _by_name(new)
    for key in dict.fromkeys((*sides[0], *sides[1])):
        old, now = sides[0].get(key, []), sides[1].get(key, [])
        if not old or not now or _too_far_apart(old, now, scale):
            rest[0].extend(old)
            rest[1].extend(now)
        elif len(old) == len(now):
            found += _pairs(old, now, scale)
        else:
            found.append(_divided(old, now))
    return found, *rest


def _too_far_apart(old: list[PlacedLine], now: list[PlacedLine], scale: Scale) -> bool:
    """Whether the masses say that these are lines of their own."""
    was_g, is_g = (sum(e.grams or 0.0 for e in placed) for placed in (old, now))
    was_g *= scale.of(old, now)
    return bool(was_g and is_g) and abs(log(is_g / was_g)) > log(MOST_APART)


def _by_name(placed: Iterable[PlacedLine]) -> dict[tuple[str, bool], list[PlacedLine]]:
    names: dict[tuple[str, bool], list[PlacedLine]] = defaultdict(list)
    for entry in placed:
        names[(entry.name, entry.is_part)].append(entry)
    return names


def _shared_out(
    found: list[Match], gone: list[PlacedLine], new: list[PlacedLine], scale: Scale
) -> _Found:
    """Lines of one ingredient that only shared out anew what they hold in all, put together."""
    moved = {
        name: matches
        for name, matches in _moved_by_name(found, scale).items()
        if len(matches) + sum(e.name == name for e in (*gone, *new)) > 1
    }
    for name, matches in moved.items():
        old = [e for m in matches for e in m.before] + [e for e in gone if e.name == name]
        now = [e for m in matches for e in m.after] + [e for e in new if e.name == name]
        if any(e.grams is None for e in (*old, *now)) or scale.residual(old, now).beyond:
            continue
        old, now = (sorted(side, key=lambda e: e.sort_key) for side in (old, now))
        found = [m for m in found if m not in matches]
        found.append(Match(tuple(old), tuple(now), "shared out"))
        gone = [e for e in gone if e.name != name]
        new = [e for e in new if e.name != name]
    return found, gone, new


def _moved_by_name(found: list[Match], scale: Scale) -> dict[str, list[Match]]:
    """The matches of an ingredient whose mass is really another, by name."""
    moved: dict[str, list[Match]] = defaultdict(list)
    for match in found:
        lines = (*match.before, *match.after)
        if any(e.is_part or e.grams is None for e in lines):
            continue
        if scale.residual(match.before, match.after).beyond:
            moved[lines[0].name].append(match)
    return moved


def _substituted(gone: list[PlacedLine], new: list[PlacedLine], scale: Scale) -> _Found:
    """An ingredient gone and one come that stands for it.

    One of the same name did not take its place, it moved: where an ingredient has several lines, one
    may have moved though all of them together are too far apart.
    """

    def cost(a: PlacedLine, b: PlacedLine) -> float | None:
        return _stand_in_cost(a, b, scale)

    gone, new = (sorted(side, key=lambda e: e.sort_key) for side in (gone, new))
    if len(gone) * len(new) > MOST_PAIRS:  # nothing stands in for anything among so many
        pairs = _of_one_name(gone, new, cost)
    else:
        pairs = assign(gone, new, cost)
    taken = {a for a, _ in pairs}, {b for _, b in pairs}
    return (
        [Match((gone[a],), (new[b],), _how(gone[a], new[b])) for a, b in pairs],
        [entry for at, entry in enumerate(gone) if at not in taken[0]],
        [entry for at, entry in enumerate(new) if at not in taken[1]],
    )


def _of_one_name(
    gone: list[PlacedLine],
    new: list[PlacedLine],
    cost: Callable[[PlacedLine, PlacedLine], float | None],
) -> list[tuple[int, int]]:
    """Places of lines of one name, the first with the first, where they can be the same line."""
    there: dict[str, list[int]] = defaultdict(list)
    for at, entry in enumerate(new):
        there[entry.name].append(at)
    pairs = []
    for at, entry in enumerate(gone):
        found = there[entry.name]
        if found and cost(entry, new[found[0]]) is not None:
            pairs.append((at, found.pop(0)))
    return pairs


def _how(a: PlacedLine, b: PlacedLine) -> How:
    return "pair" if a.name == b.name else "substituted"


def _stand_in_cost(a: PlacedLine, b: PlacedLine, scale: Scale) -> float | None:
    """What speaks against the one standing for the other; None where it cannot."""
    if a.is_part or b.is_part:
        return None
    nobody_knows = a.group in NO_KIND or b.group in NO_KIND
    if not nobody_knows and FAMILIES.get(a.group, a.group) != FAMILIES.get(b.group, b.group):
        return None
    in_part = a.part_key == b.part_key
    apart = _apart(a, b, scale)
    if apart > log(MOST_APART if in_part else NEAR) / log(2):
        return None
    unlike = 1 - _alikeness(*sorted((a.name, b.name)))
    if nobody_knows and unlike > 1 - ALIKE:
        return None
    return (
        GROUP_COST * (not nobody_knows and a.group != b.group)
        + apart * MASS_COST
        + unlike * NAME_COST
        + PART_COST * (not in_part)
        + STATE_COST * (a.state != b.state)
    )


def _alikeness(first: str, second: str) -> float:
    """How alike two names are, from 0 to 1; give them in one order, for ties."""
    return SequenceMatcher(None, first, second, autojunk=False).ratio()
