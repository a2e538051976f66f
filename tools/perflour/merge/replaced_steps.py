"""Steps that one side replaced by others, where the other side changed, removed or replaced them too.

Steps have their place: what a side put between two steps that it kept stands for what it took away there.
"""

from collections.abc import Sequence

from perflour.merge.chunks import JOINT
from perflour.merge.order import Slot, Trio
from perflour.merge.passages import Lines
from perflour.merge.ratios import Ratios
from perflour.merge.sameness import is_untouched
from perflour.merge.wording import PassageRead, changes, name_of, taken_by
from perflour.tuples import NamedTuple

Slots = Sequence[Slot[PassageRead]]


class Gap(NamedTuple):
    """A place between two kept steps that is open: behind slot ``first``, before slot ``end``."""

    first: int
    end: int
    about: str


def open_gaps(slots: Slots, ratios: Ratios) -> list[Gap]:
    """The places of a method where both sides did something else with the same steps."""
    found = [gap for side in ("ours", "theirs") for gap in _gaps(slots, side, ratios)]
    joined: list[Gap] = []
    for gap in sorted(found):
        if joined and gap.first < joined[-1].end:
            last = joined.pop()
            said = (*last.about.split(JOINT), *gap.about.split(JOINT))
            about = JOINT.join(dict.fromkeys(said))
            gap = Gap(last.first, max(last.end, gap.end), about)
        joined.append(gap)
    return joined


def lines_in(gap: Gap, slots: Slots, side: str) -> Lines:
    """The lines of the steps of a side in a gap, in order."""
    steps = [*getattr(slots[gap.first], side)]
    steps += (trio for slot in slots[gap.first + 1 : gap.end] for trio in _of(slot, side))
    return tuple(line for trio in steps for line in getattr(trio, side).value.passage.lines)


def _of(slot: Slot[PassageRead], side: str) -> list[Trio[PassageRead]]:
    stands = [slot.trio] if slot.trio and getattr(slot.trio, side) else []
    return [*stands, *getattr(slot, side)]


def _gaps(slots: Slots, side: str, ratios: Ratios) -> list[Gap]:
    other = "theirs" if side == "ours" else "ours"
    kept = [at for at, slot in enumerate(slots) if slot.trio is None or getattr(slot.trio, side)]
    gaps = []
    for first, end in zip(kept, [*kept[1:], len(slots)], strict=True):
        gone = [slot.trio for slot in slots[first + 1 : end] if slot.trio]
        touched = [trio for trio in gone if _is_touched(trio, other)]
        added = [trio for slot in slots[first:end] for trio in getattr(slot, side)]
        if added and touched:
            told = (_about(trio, slots[first:end], ratios) for trio in touched)
            gaps.append(Gap(first, end, JOINT.join(dict.fromkeys(told))))
    return gaps


def _is_touched(trio: Trio[PassageRead], side: str) -> bool:
    there = getattr(trio, side)
    if there is None or trio.base is None:
        return True
    return not is_untouched(trio.base.value.passage, there.value.passage)


def _about(trio: Trio[PassageRead], around: Slots, ratios: Ratios) -> str:
    """What both sides made of a step of the base, with all that it takes in percent."""
    did = (f"{side} {_did(trio, side, around, ratios)}" for side in ("ours", "theirs"))
    before = taken_by(trio, "base", ratios, ", before it took ")
    said = f"{name_of(trio.there.value)}: {', '.join(did)}{before}"
    return said.replace(" %", f" % of {ratios.basis}", 1)


def _did(trio: Trio[PassageRead], side: str, around: Slots, ratios: Ratios) -> str:
    if there := getattr(trio, side):
        changed = changes(trio.base.value, there.value) if trio.base else ""
        return f"changed it{changed}{taken_by(trio, side, ratios, ', taking ')}"
    instead = (
        str(new.there.value.data["do"]) + taken_by(new, side, ratios, " taking ")
        for slot in around
        for new in getattr(slot, side)
    )
    named = " and ".join(instead)
    return f"replaced it by {named}" if named else "removed it"
