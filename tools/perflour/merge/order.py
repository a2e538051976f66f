"""Which item of one list is which of another, and one order for all of them.

Items of the two sides are found in the base first by all they say, then by name, then (steps) by
likeness; what a side has beyond that it added. An order that one side changed is taken over; what both
added stands where each put it.
"""

from bisect import bisect
from collections.abc import Callable, Hashable, Sequence
from typing import Generic, NamedTuple, TypeVar

# From this likeness on a changed item is taken for the same one: half of what makes a step.
ALIKE = 0.5
# Beyond this many comparisons changed items are taken for new ones: nobody rewrites a thousand steps.
MOST_COMPARED = 250_000
T = TypeVar("T")


class Item(NamedTuple, Generic[T]):
    """What a list holds: its name in the list, and all it says, to be compared."""

    value: T
    name: Hashable
    said: Hashable


class Trio(NamedTuple, Generic[T]):
    """One item as the base and the two sides have it, None where it is not."""

    base: Item[T] | None
    ours: Item[T] | None
    theirs: Item[T] | None

    @property
    def there(self) -> Item[T]:
        """The item as the first side has it that has it."""
        found = self.ours or self.theirs or self.base
        assert found is not None
        return found


class Slot(NamedTuple, Generic[T]):
    """A place in the merged list: a trio that stands, then what each side put there."""

    trio: Trio[T] | None
    ours: tuple[Trio[T], ...]
    theirs: tuple[Trio[T], ...]
    certain: bool


class Arranged(NamedTuple, Generic[T]):
    """The merged list. ``clash``: both sides put what they share in another order, and not the same."""

    slots: tuple[Slot[T], ...]
    clash: bool

    @property
    def both_replaced(self) -> bool:
        """Whether both sides removed one item and each added another: one thing, replaced in two ways."""
        trios = (slot.trio for slot in self.slots)
        removed = any(trio and not trio.ours and not trio.theirs for trio in trios)
        return removed and all(
            any(getattr(slot, side) for slot in self.slots) for side in ("ours", "theirs")
        )


# How alike two items are, from 0 to 1.
Likeness = Callable[[Item[T], Item[T]], float]


def arranged(
    base: Sequence[Item[T]],
    ours: Sequence[Item[T]],
    theirs: Sequence[Item[T]],
    *,
    likeness: Likeness[T] | None = None,
    in_order: bool = False,
) -> Arranged[T]:
    """One order for the items of three lists; ``in_order`` where the order says something: steps."""
    count = len(base)
    of_ours, of_theirs = (matched(base, side, likeness, in_order) for side in (ours, theirs))
    ids_ours = [count + at if of is None else of for at, of in enumerate(of_ours)]
    shared = _added_by_both(ours, of_ours, theirs, of_theirs, in_order)
    ids_theirs = [
        (shared.get(at, len(ours) + at) + count) if of is None else of
        for at, of in enumerate(of_theirs)
    ]
    sides = [dict(enumerate(base)), dict(zip(ids_ours, ours, strict=True))]
    sides.append(dict(zip(ids_theirs, theirs, strict=True)))
    trios = {at: Trio(*(side.get(at) for side in sides)) for side in sides for at in side}
    order, clash = _standing(range(count), ids_ours, ids_theirs)
    runs = [_Runs(order, ids) for ids in (ids_ours, ids_theirs)]
    slots = []
    for at in (None, *order):
        added = [tuple(trios[new] for new in side.after.get(at, ())) for side in runs]
        certain = not all(added) and all(side.fits(at) for side in runs)
        slots.append(Slot(None if at is None else trios[at], added[0], added[1], certain))
    return Arranged(tuple(slots), clash)


def matched(
    base: Sequence[Item[T]],
    side: Sequence[Item[T]],
    likeness: Likeness[T] | None = None,
    in_order: bool = False,
) -> list[int | None]:
    """For every item of a side the number of the same item in the base, None for a new one."""
    anchors = _unmoved(base, side) if in_order else []
    found = {b: a for a, b in anchors}
    _match_equal(base, side, found, lambda item: (item.name, item.said))
    if in_order and likeness:
        _match_alike(base, side, found, likeness, anchors)
    _match_equal(base, side, found, lambda item: item.name)
    if likeness and not in_order:
        _match_alike(base, side, found, likeness, [])
    return [found.get(at) for at in range(len(side))]


def _match_equal(
    base: Sequence[Item[T]],
    side: Sequence[Item[T]],
    found: dict[int, int],
    key: Callable[[Item[T]], Hashable],
) -> None:
    """Match what is left and equal, in order."""
    waiting: dict[Hashable, list[int]] = {}
    taken = set(found.values())
    for at, item in enumerate(base):
        if at not in taken:
            waiting.setdefault(key(item), []).append(at)
    for at, item in enumerate(side):
        if at not in found and waiting.get(key(item)):
            found[at] = waiting[key(item)].pop(0)


def _unmoved(before: Sequence[Item[T]], after: Sequence[Item[T]]) -> list[tuple[int, int]]:
    """The longest run of equal items that stand in one order in both lists."""
    said = [item.said for item in before], [item.said for item in after]
    if said[0] == said[1]:
        return [(at, at) for at in range(len(before))]
    from difflib import SequenceMatcher  # only where the order of steps may say something

    blocks = SequenceMatcher(None, said[0], said[1], autojunk=False).get_matching_blocks()
    return [(a + n, b + n) for a, b, size in blocks for n in range(size)]


def _match_alike(
    base: Sequence[Item[T]],
    side: Sequence[Item[T]],
    found: dict[int, int],
    likeness: Likeness[T],
    anchors: list[tuple[int, int]],
) -> None:
    """Match what is left between the same anchors and alike, the likest first; nothing crosses."""
    taken = set(found.values())
    left = [at for at in range(len(base)) if at not in taken]
    new = [at for at in range(len(side)) if at not in found]
    if len(left) * len(new) > MOST_COMPARED:
        return
    in_base, in_side = ([anchor[of] for anchor in anchors] for of in (0, 1))
    candidates = sorted(
        (-likeness(base[a], side[b]), abs(a - b), a, b)
        for a in left
        for b in new
        if bisect(in_base, a) == bisect(in_side, b)
    )
    pairs: list[tuple[int, int]] = []
    for unlikeness, _, a, b in candidates:
        if -unlikeness >= ALIKE and all((a - c) * (b - d) > 0 for c, d in pairs):
            pairs.append((a, b))
            found[b] = a


def _added_by_both(
    ours: Sequence[Item[T]],
    of_ours: list[int | None],
    theirs: Sequence[Item[T]],
    of_theirs: list[int | None],
    in_order: bool,
) -> dict[int, int]:
    """For what theirs added its number in ours, where ours added the same (steps: in the same place)."""
    added = _gaps(of_ours, in_order), _gaps(of_theirs, in_order)
    shared: dict[int, int] = {}
    for gap, new in added[1].items():
        mine = added[0].get(gap, [])
        items = [ours[at] for at in mine], [theirs[at] for at in new]
        if in_order:
            shared |= {new[b]: mine[a] for a, b in _alike_either_way(*items)}
        else:
            pairs = enumerate(matched(*items))
            shared |= {new[b]: mine[a] for b, a in pairs if a is not None}
    return shared


def _alike_either_way(ours: Sequence[Item[T]], theirs: Sequence[Item[T]]) -> list[tuple[int, int]]:
    """Equal items of two lists in one order; the same ones if the lists are swapped."""
    if repr([item.said for item in ours]) <= repr([item.said for item in theirs]):
        return _unmoved(ours, theirs)
    return [(a, b) for b, a in _unmoved(theirs, ours)]


def _gaps(of: list[int | None], in_order: bool) -> dict[int | None, list[int]]:
    """The new items of a side by the item of the base they follow; all together without an order."""
    found: dict[int | None, list[int]] = {}
    before: int | None = None
    for at, known in enumerate(of):
        if known is None:
            found.setdefault(before, []).append(at)
        elif in_order:
            before = known
    return found


def _standing(base: Sequence[int], ours: list[int], theirs: list[int]) -> tuple[list[int], bool]:
    """What the base or both sides have, in one order; whether the sides contradict each other."""
    everywhere = set(base) & set(ours) & set(theirs)
    was, our_order, their_order = (
        [at for at in side if at in everywhere] for side in (base, ours, theirs)
    )
    leader = theirs if our_order == was else ours
    standing = set(base) | (set(ours) & set(theirs))
    order = [at for at in leader if at in standing]
    removed = set(base) - set(leader)
    before: int | None = None
    for at in base:  # what the leader removed too, so that its neighbours are known
        if at in removed:
            order.insert(order.index(before) + 1 if before is not None else 0, at)
        before = at
    return order, was not in (our_order, their_order) and our_order != their_order


class _Runs:
    """What one side added, by the standing item it follows."""

    def __init__(self, order: list[int], side: list[int]) -> None:
        standing = set(order)
        kept = [at for at in side if at in standing]
        self.follows = dict(zip([None, *kept], [*kept, None], strict=True))
        present = set(kept)
        there = [at for at in order if at in present]
        self.follows_merged = dict(zip([None, *there], [*there, None], strict=True))
        self.after: dict[int | None, list[int]] = {}
        before: int | None = None
        for at in side:
            if at in standing:
                before = at
            else:
                self.after.setdefault(before, []).append(at)

    def fits(self, at: int | None) -> bool:
        """Whether what was added after an item still stands between the two it was put between."""
        return at not in self.after or self.follows[at] == self.follows_merged[at]
