"""Which lines of one side are which on the other.

Lines of one ingredient in one part go together; then lines of one ingredient anywhere (moved); then
an ingredient gone and one come of the same kind (substituted, or renamed where nobody knows it).
Where there is a choice it is an assignment: the pairs that cost least in all, by name, part, group,
state and nearness in mass.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from math import log

from perflour.balance.spread import LineKey
from perflour.diff.alike_names import ALIKE, Bound, alikeness, bound_for
from perflour.diff.assignment import MOST_COMPARED, assign, assign_near
from perflour.diff.part_matching import PartMatches
from perflour.diff.placed_lines import PlacedLine
from perflour.diff.residual import Residual, is_same_mass, residual, same, weight_g
from perflour.diff.standing import Standing
from perflour.formula.formula import canonical_amount
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount
from perflour.tuples import NamedTuple, of_fields
from perflour.typed import Literal

How = Literal["pair", "divided", "shared out", "substituted"]

# Ingredients that stand in for each other across catalogue groups: the ratios count them together.
FAMILIES = {"oil": "fat", "syrup": "sugar", "dairy": "liquid"}
# "other" is no kind of ingredient: gelatin is no substitute for crackers.
NO_KIND = ("", "other")
# No line that moved, and no substitute, weighs more than this many times as much as before.
MOST_APART = 5.0
# In another part only one of about the same mass stands in: within a quarter.
NEAR = 1.25
# What counts against a pair: another state, another part, a neighbouring group, twice the mass
# (log 2), a name that is not alike at all.
STATE_COST, PART_COST, GROUP_COST, MASS_COST, NAME_COST = 0.3, 1.0, 0.5, 1.0, 0.5


class Match(NamedTuple):
    """Lines that are the same lines on both sides, or stand for each other."""

    before: tuple[PlacedLine, ...]
    after: tuple[PlacedLine, ...]
    how: How = "pair"


class Matches(NamedTuple):
    """Every line of both sides, matched or lone; ``whole``: every two that may be one were held together."""

    found: tuple[Match, ...]
    gone: tuple[PlacedLine, ...]
    new: tuple[PlacedLine, ...]
    whole: bool = True


class Scale(NamedTuple):
    """What lines are held against: the batch factor, that of each root part, the scale's step.

    ``known`` is filled with what two lines moved by, which is asked for more than once.
    """

    factor: float
    root_factors: Mapping[str, float]
    resolution_g: float
    known: dict[tuple[LineKey, LineKey], Residual]

    def of(self, before: Sequence[PlacedLine], after: Sequence[PlacedLine]) -> float:
        """The factor of lines: of their root part where they all stay in it."""
        if not self.root_factors:  # as in most comparisons
            return self.factor
        root: str | None = None
        for side in (before, after):
            for entry in side:
                if root is None:
                    root = entry.root
                elif entry.root != root:
                    return self.factor
        return self.root_factors.get(root or "", self.factor)

    def residual(self, before: Sequence[PlacedLine], after: Sequence[PlacedLine]) -> Residual:
        if len(before) != 1 or len(after) != 1:
            return residual(before, after, self.of(before, after), self.resolution_g)
        pair = before[0].key, after[0].key
        if pair not in self.known:
            self.known[pair] = residual(before, after, self.of(before, after), self.resolution_g)
        return self.known[pair]


def match_lines(before: Standing, after: Standing, scale: Scale, parts: PartMatches) -> Matches:
    """The lines of two sides, matched. What a topping took along, another topping does not bring back."""
    found, gone, new = _in_one_part(before.groups, after.groups, scale)
    gone, taken = _apart_from(gone, {fold(part.part.name) for part in parts.gone})
    new, brought = _apart_from(new, {fold(part.part.name) for part in parts.new})
    moved, gone, new = _in_other_parts(gone, new, scale)
    found += moved
    found, gone, new = _shared_out(found, gone, new, scale)
    (stand_ins, gone, new), whole = _substituted(gone, new, scale)
    lone = (*gone, *taken), (*new, *brought)
    return Matches(tuple(found + stand_ins), *lone, whole)


def _apart_from(
    lone: list[PlacedLine], roots: set[str]
) -> tuple[list[PlacedLine], list[PlacedLine]]:
    """Lines to be looked for elsewhere, and those of parts beside the base that came or went as a whole."""
    sorts: tuple[list[PlacedLine], list[PlacedLine]] = ([], [])
    for entry in lone:
        sorts[entry.is_beside and entry.root in roots].append(entry)
    return sorts


_Found = tuple[list[Match], list[PlacedLine], list[PlacedLine]]


_Groups = Mapping[tuple[str, str, bool], list[PlacedLine]]


def _in_one_part(before: _Groups, after: _Groups, scale: Scale) -> _Found:
    found: list[Match] = []
    gone: list[PlacedLine] = []
    new: list[PlacedLine] = []
    for key in dict.fromkeys((*before, *after)):
        old, now = before.get(key, []), after.get(key, [])
        if len(old) == len(now) == 1:
            found.append(of_fields(Match, ((old[0],), (now[0],), "pair")))
            continue
        alike, old, now = _alike(old, now, scale)
        found += alike
        if old and now:
            found += _pairs(old, now, scale) if len(old) == len(now) else [_divided(old, now)]
        else:
            gone += old
            new += now
    return found, gone, new


def _alike(old: list[PlacedLine], now: list[PlacedLine], scale: Scale) -> _Found:
    """Pairs of lines that differ in nothing that counts, and the rest."""
    if len(old) * len(now) > MOST_COMPARED:
        return _alike_of_many(old, now, scale)
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


def _alike_of_many(old: list[PlacedLine], now: list[PlacedLine], scale: Scale) -> _Found:
    """The same by what their masses read like, where they are too many to hold each against each."""

    def reads(entry: PlacedLine, factor: float) -> tuple[object, ...]:
        mass = f"{entry.grams * factor:.4g}" if entry.grams is not None else ""
        return entry.state, entry.units, mass or canonical_amount(entry.weighed.line.amount)

    old, now = (sorted(side, key=lambda e: e.sort_key) for side in (old, now))
    waiting: dict[tuple[object, ...], list[PlacedLine]] = defaultdict(list)
    for entry in reversed(now):
        waiting[reads(entry, 1.0)].append(entry)
    factor = scale.of(old[:1], now[:1])
    found: list[Match] = []
    left: list[PlacedLine] = []
    for entry in old:
        if twins := waiting[reads(entry, factor)]:
            found.append(Match((entry,), (twins.pop(),)))
        else:
            left.append(entry)
    rest = [entry for entries in waiting.values() for entry in entries]
    return found, left, sorted(rest, key=lambda e: e.sort_key)


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
    if len(old) * len(now) > MOST_COMPARED:  # in order of state and mass
        return [Match((a,), (b,)) for a, b in zip(old, now, strict=True)]
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
    was_g, is_g = weight_g(old) * scale.of(old, now), weight_g(now)
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
    lone = _by_item(gone), _by_item(new)
    moved = {
        name: matches
        for name, matches in _moved_by_name(found, scale).items()
        if len(matches) + sum(len(side.get(name, ())) for side in lone) > 1
    }
    shared: dict[str, Match] = {}
    for name, matches in moved.items():
        old = [e for m in matches for e in m.before] + lone[0].get(name, [])
        now = [e for m in matches for e in m.after] + lone[1].get(name, [])
        if any(e.grams is None for e in (*old, *now)) or scale.residual(old, now).beyond:
            continue
        old, now = (sorted(side, key=lambda e: e.sort_key) for side in (old, now))
        shared[name] = Match(tuple(old), tuple(now), "shared out")
    gone, new = ([e for e in side if e.name not in shared] for side in (gone, new))
    apart = {id(m) for name in shared for m in moved[name]}
    return [*(m for m in found if id(m) not in apart), *shared.values()], gone, new


def _by_item(placed: Iterable[PlacedLine]) -> dict[str, list[PlacedLine]]:
    names: dict[str, list[PlacedLine]] = defaultdict(list)
    for entry in placed:
        names[entry.name].append(entry)
    return names


def _moved_by_name(found: list[Match], scale: Scale) -> dict[str, list[Match]]:
    """The matches of an ingredient whose mass is really another, by name."""
    moved: dict[str, list[Match]] = defaultdict(list)
    for match in found:
        # most did not move at all, which is sooner seen than by how much
        factor = scale.of(match.before, match.after)
        if factor == 1.0 and match.how == "pair" and match.before[0].grams == match.after[0].grams:
            continue
        if is_same_mass(match.before, match.after, factor):
            continue
        lines = (*match.before, *match.after)
        if any(e.is_part or e.grams is None for e in lines):
            continue
        if scale.residual(match.before, match.after).beyond:
            moved[lines[0].name].append(match)
    return moved


def _substituted(
    gone: list[PlacedLine], new: list[PlacedLine], scale: Scale
) -> tuple[_Found, bool]:
    """An ingredient gone and one come that stands for it.

    One of the same name did not take its place, it moved: where an ingredient has several lines, one
    may have moved though all of them together are too far apart.
    """

    may_be_alike = bound_for(len(gone) * len(new))

    def cost(a: PlacedLine, b: PlacedLine) -> float | None:
        return _stand_in_cost(a, b, scale, may_be_alike)

    gone, new = (sorted(side, key=lambda e: e.sort_key) for side in (gone, new))
    pairs, whole = assign_near(gone, new, cost, _family, lambda e: (e.name, e.sort_key))
    taken = {a for a, _ in pairs}, {b for _, b in pairs}
    found = [Match((gone[a],), (new[b],), _how(gone[a], new[b])) for a, b in pairs]
    gone, new = (
        [entry for at, entry in enumerate(side) if at not in of]
        for side, of in zip((gone, new), taken, strict=True)
    )
    # of too many, one that nobody knows was not held against one that is known
    mixed = len({_family(e) == "" for e in (*gone, *new)}) > 1
    whole = whole and not (mixed and len(gone) * len(new) > MOST_COMPARED)
    return (found, gone, new), whole or not (gone and new)


def _family(entry: PlacedLine) -> str:
    """The kind of ingredient; one that nobody knows is of a kind of its own."""
    return "" if entry.group in NO_KIND else FAMILIES.get(entry.group, entry.group)


def _how(a: PlacedLine, b: PlacedLine) -> How:
    return "pair" if a.name == b.name else "substituted"


def _stand_in_cost(a: PlacedLine, b: PlacedLine, scale: Scale, may_be_alike: Bound) -> float | None:
    """What speaks against the one standing for the other; None where it cannot. What is soonest seen comes first."""
    if a.is_part or b.is_part:
        return None
    nobody_knows = a.group in NO_KIND or b.group in NO_KIND
    first, second = (a.name, b.name) if a.name <= b.name else (b.name, a.name)
    if not (may_be_alike(first, second) if nobody_knows else _family(a) == _family(b)):
        return None
    in_part = a.part_key == b.part_key
    apart = _apart(a, b, scale)
    if apart > log(MOST_APART if in_part else NEAR) / log(2):
        return None
    unlike = 1 - alikeness(first, second)
    if nobody_knows and unlike > 1 - ALIKE:
        return None
    return (
        GROUP_COST * (not nobody_knows and a.group != b.group)
        + apart * MASS_COST
        + unlike * NAME_COST
        + PART_COST * (not in_part)
        + STATE_COST * (a.state != b.state)
    )
