"""How many things differ between two formulas: what a baker did, each thing once.

What follows of itself is no thing: totals, ratios, the size of the batch and its yield, what another line took along, a
step that names what came or went. Nor are words (names, notes, title), or what the measuring explains.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from perflour.diff.change import (
    BlendChange,
    Change,
    LineChange,
    MassChange,
    PartChange,
    Scaling,
    TextChange,
    is_doubted,
)
from perflour.diff.difference import Difference
from perflour.evidence.flour_things import FlourMove, flour_exchange, flour_moves
from perflour.evidence.step_things import Touched, step_things
from perflour.evidence.thing import Sort, Thing
from perflour.kitchen.names import fold

__all__ = ["SORTS", "Thing", "things"]

_Sorted = Sort | Literal["", "flour", "step"]
#: By kind of change the thing that it is; "" is none, "flour" and "step" are looked at together.
SORTS: Mapping[str, _Sorted] = {
    "batch-scaled": "", "part-scaled": "amount", "basis-named": "", "basis-short": "", "basis-unknown": "not compared",
    "basis": "flour", "blend": "flour",
    "amount": "amount", "re-measured": "amount", "amount-as-written": "amount", "mass-only": "amount",
    "follows-basis": "", "added": "added", "removed": "removed", "substituted": "exchange", "leavening": "exchange",
    "exchanged": "exchange", "moved": "moved", "shared-out": "moved", "split": "amount", "merged": "amount",
    "renamed": "", "state": "state", "note": "", "lines-not-compared": "not compared",
    "part-added": "part", "part-removed": "part", "preferment": "preferment", "part-renamed": "", "part-kind": "",
    "part-share": "part", "ratio": "", "ratio-unknown": "", "part-beside": "", "window": "",
    "step-added": "step", "step-removed": "step", "step-moved": "step", "step-split": "step", "steps-joined": "step",
    "steps-not-compared": "not compared", "step-time": "step", "step-temperature": "step", "step-speed": "step",
    "step-sign": "step", "step-uses": "step", "step-reworded": "step", "bake": "step",
    "yield": "", "mass-per-piece": "", "piece-unknown": "", "yield-off": "", "header": "",
}  # fmt: skip
# One line that became several of the same mass: nothing else is in the bowl.
_DIVIDED = ("split", "merged")


def things(difference: Difference) -> tuple[Thing, ...]:
    """What differs between the two sides of a difference, in the order in which it is told.

    None where a side is missing: a formula that came or went is no change of one.
    """
    if difference.before is None or difference.after is None:
        return ()
    changes = [c for c in difference.changes if not is_doubted(c) and not _is_only_divided(c)]
    told = [c for c in changes if SORTS[c.kind] not in ("", "flour", "step")]
    flour = flour_moves(difference, [c for c in changes if isinstance(c, MassChange | BlendChange)])
    absorbed, parts = _parts(told)
    if one := flour_exchange(difference, [c for c in told if id(c) not in absorbed], flour):
        flour, absorbed = (one[0],), absorbed | one[1]
    made = [
        *_flour_things(flour),
        *parts,
        *_line_things([c for c in told if id(c) not in absorbed], flour),
    ]
    steps = [c for c in changes if SORTS[c.kind] == "step"]
    return (*made, *step_things(difference, steps, _touched(told, flour)))


def _is_only_divided(change: Change) -> bool:
    return change.kind in _DIVIDED and getattr(change, "beyond_spread", None) is None


def _flour_things(moves: Sequence[FlourMove]) -> Iterator[Thing]:
    for move in moves:
        yield Thing(move.sort, move.name, move.name_before, before=move.before_g, after=move.after_g, unit="g")  # fmt: skip


def _parts(told: Sequence[Change]) -> tuple[set[int], list[Thing]]:
    """Parts that came, went, or take over more: each one thing with the lines that it takes along.

    A preferment that takes more of the flour and is wetter too is two.
    """
    absorbed: set[int] = set()
    made: list[Thing] = []
    preferments = [c for c in told if isinstance(c, PartChange) and c.kind == "preferment"]
    lone = [c for c in told if isinstance(c, PartChange) and c.kind != "preferment"]
    moving = [c for c in told if SORTS[c.kind] == "moved"]
    for change in preferments:
        names = _names(change)
        absorbed.add(id(change))
        taken = [c for c in moving if names & _places(c)]
        whole = [c for c in lone if names & _names(c)]
        absorbed.update(map(id, (*taken, *whole)))
        if not taken and not whole:
            continue  # what moved its figures is told by itself
        figures = {shift.name for shift in change.shifts}
        number = 2 if not whole and {"prefermented flour", "hydration"} <= figures else 1
        made += [Thing("preferment", change.subject, change.subject_before)] * number
    for change in lone:
        if id(change) in absorbed:
            continue
        absorbed.add(id(change))
        absorbed.update(id(c) for c in moving if _names(change) & _places(c))
        came = change.kind == "part-added"
        made.append(Thing("part", change.subject, field="came" if came else "went"))
    return absorbed, made


def _names(change: PartChange) -> set[str]:
    return {fold(name) for name in (change.subject, change.subject_before) if name}


def _places(change: Change) -> set[str]:
    """The parts that a line moved from and to."""
    if isinstance(change, LineChange):
        return {fold(shift.name) for shift in change.by_part} | {
            fold(line.part) for line in (*change.lines_before, *change.lines_after)
        }
    assert isinstance(change, TextChange)
    return {fold(name) for name in (change.part, change.text_before, change.text_after) if name}


def _line_things(told: Sequence[Change], flour: Sequence[FlourMove]) -> Iterator[Thing]:
    """Each ingredient once in each part, whatever many lines of it moved."""
    of_flour = {line for move in flour for line in move.lines}
    seen: set[tuple[str, str, str]] = set()
    for change in told:
        sort = SORTS[change.kind]
        if sort == "" or sort == "flour" or sort == "step":
            continue
        if sort == "amount" and isinstance(change, LineChange):
            lines = {*change.lines_before, *change.lines_after}
            if lines and lines <= of_flour:
                continue
        key = (sort, fold(change.subject), fold(getattr(change, "part", "")))
        if key not in seen:
            seen.add(key)
            yield _thing(sort, change)


def _thing(sort: Sort, change: Change) -> Thing:
    before = getattr(change, "subject_before", "")
    part = getattr(change, "part", "")
    match change:
        case LineChange() if sort == "exchange" and change.kind != "substituted":
            names = [
                [line.item for line in lines] for lines in (change.lines_before, change.lines_after)
            ]
            gone = [name for name in names[0] if name not in names[1]] or names[0]
            come = [name for name in names[1] if name not in names[0]] or names[1]
            return Thing(sort, ", ".join(come), ", ".join(gone), part, change.subject)
        case LineChange():
            return Thing(sort, change.subject, before, part, "", change.before_percent, change.after_percent, "%")  # fmt: skip
        case Scaling():
            return Thing(sort, change.subject, before, change.subject, "part", change.before_g, change.after_g, "g")  # fmt: skip
    return Thing(sort, change.subject, before, part)


def _touched(told: Sequence[Change], flour: Sequence[FlourMove]) -> Touched:
    """The names that came, went or stand elsewhere: a step that names them follows."""
    names: set[str] = set()
    states: set[str] = set()
    has_parts = False
    for change in told:
        sort = SORTS[change.kind]
        if sort == "state" or _is_drained_on_one_side(change):
            states.add(fold(change.subject))
        elif sort in ("added", "removed", "exchange", "moved", "part", "preferment"):
            lines = (*getattr(change, "lines_before", ()), *getattr(change, "lines_after", ()))
            names |= {fold(line.item) for line in lines}
            names |= {fold(name) for name in (change.subject, getattr(change, "subject_before", ""), getattr(change, "part", "") if sort == "moved" else "") if name}  # fmt: skip
            has_parts = has_parts or change.kind in ("part-added", "part-removed")
    names |= {fold(line.item) for move in flour if move.came_or_went for line in move.lines}
    return Touched(frozenset(names), frozenset(states), has_parts)


def _is_drained_on_one_side(change: Change) -> bool:
    """Whether a can goes in with what it was drained of before, or the other way round."""
    if not isinstance(change, LineChange):
        return False
    sides = (change.lines_before, change.lines_after)
    return len({any("drained" in line.amount for line in lines) for lines in sides if lines}) == 2
