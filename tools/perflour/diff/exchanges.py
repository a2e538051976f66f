"""Lines of one kind that stand in for each other while their sum stays: told as one change, with what stays.

110 g of white and 100 g of brown sugar for 210 g of white: no baker cut the sugar. Flours are a blend and told as
such; leavening is told in gas.
"""

from collections import defaultdict
from collections.abc import Iterable, Sequence

from perflour.balance.balance import Balance
from perflour.balance.gas import GAS, is_powder
from perflour.balance.ratios import ratios
from perflour.diff.change import LineChange, LineSaid, TextChange
from perflour.diff.line_changes import Scene
from perflour.diff.matching import FAMILIES
from perflour.diff.placed_lines import PlacedLine
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple

# Sums nearer than this, relative, are one: what rounding to a scale and a spoon leaves. House choice.
NEARLY = 0.02
_FAMILIES = frozenset(("sugar", "fat", "liquid", "egg", "nut", "fruit", "chocolate", "salt"))
_EXCHANGED = frozenset(("amount", "added", "removed", "substituted"))

# As they are written, main name or alias.
_SODAS = frozenset(("baking soda", "soda", "bicarbonate of soda", "sodium bicarbonate", "bicarb"))
_SIDES = ("lines_before", "lines_after")

_Key = tuple[str, str]


class _Moved(NamedTuple):
    """The changes of one kind of ingredient below one root, with their lines on both sides."""

    changes: list[LineChange]
    old: list[PlacedLine]
    now: list[PlacedLine]


def with_exchanges(
    scene: Scene, changes: Sequence[LineChange | TextChange]
) -> list[LineChange | TextChange]:
    """Changes of lines, those that only exchange one ingredient for its like put together."""
    changes = _with_leavening(scene, changes)
    found = [
        one
        for key, moved in _by_family(scene, changes).items()
        if (one := _exchange(scene, key, moved))
    ]
    told = {id(change) for _, of in found for change in of}
    return [*(change for change, _ in found), *(c for c in changes if id(c) not in told)]


def _with_leavening(
    scene: Scene, changes: Sequence[LineChange | TextChange]
) -> list[LineChange | TextChange]:
    """Soda for powder, or powder for soda, with the acid that came or went along: one change, in gas."""
    exchanged = [c for c in changes if isinstance(c, LineChange) and c.kind in _EXCHANGED]
    lifting = [c for c in exchanged if _lifts(c)]
    names = [
        {fold(line.item) for change in lifting for line in getattr(change, side)} for side in _SIDES
    ]
    if not lifting or names[0] == names[1] or not all(names):
        return list(changes)
    told = [*lifting, *(c for c in exchanged if c not in lifting and _brings_acid(scene, c))]
    old, now = ([line for c in told for line in getattr(c, side)] for side in _SIDES)
    was, is_now = (_gas_percent(side.balance) for side in (scene.before, scene.after))
    # of several parts one by its name, so that the way back names the same
    was_in, is_in = (min(line.part for c in lifting for line in getattr(c, side)) for side in _SIDES)  # fmt: skip
    one = LineChange(
        "leavening",
        is_in,
        "leavening",
        was,
        is_now,
        None if was is None or is_now is None else is_now - was,
        " + ".join(f"{line.amount} {line.item}" for line in old),
        " + ".join(f"{line.amount} {line.item}" for line in now),
        None,
        None,
        fine=True,
        importance=max(change.importance for change in lifting),
        beyond_spread=True,
        part_before=was_in if was_in != is_in else "",
        lines_before=tuple(old),
        lines_after=tuple(now),
        of=scene.of(""),
    )
    return [one, *(c for c in changes if c not in told)]


def _lifts(change: LineChange) -> bool:
    return all(
        fold(line.item) in _SODAS or is_powder(fold(line.item))
        for line in (*change.lines_before, *change.lines_after)
    )


def _brings_acid(scene: Scene, change: LineChange) -> bool:
    """Whether an acid came or went with this."""
    lines = {entry.said: entry for side in (scene.before, scene.after) for entry in side.placed}
    said = (*change.lines_before, *change.lines_after)
    known = [lines[line].weighed.ingredient for line in said if line in lines]
    return change.kind != "amount" and any(i and i.neutralises for i in known)


def _gas_percent(balance: Balance) -> float | None:
    return ratios(balance)[GAS].percent if balance.basis_g > 0 else None


def _by_family(scene: Scene, changes: Iterable[LineChange | TextChange]) -> dict[_Key, _Moved]:
    exchanged = [c for c in changes if isinstance(c, LineChange) and c.kind in _EXCHANGED]
    found: dict[_Key, _Moved] = defaultdict(lambda: _Moved([], [], []))
    if not exchanged:
        return found
    told = {
        (line.part, line.place) for c in exchanged for line in (*c.lines_before, *c.lines_after)
    }
    sides = [
        {entry.said: entry for entry in side.placed if (entry.part, entry.place) in told}
        for side in (scene.before, scene.after)
    ]
    for change in exchanged:
        old, now = (
            [side[line] for line in lines if line in side]
            for side, lines in zip(sides, (change.lines_before, change.lines_after), strict=True)
        )
        keys = {_key(entry) for entry in (*old, *now)}
        if len(keys) == 1 and (key := keys.pop())[1] in _FAMILIES:
            moved = found[key]
            moved.changes.append(change)
            moved.old.extend(old)
            moved.now.extend(now)
    return found


def _key(entry: PlacedLine) -> _Key:
    return entry.root, FAMILIES.get(entry.group, entry.group)


def _exchange(scene: Scene, key: _Key, moved: _Moved) -> tuple[LineChange, list[LineChange]] | None:
    """The one change that several are, where what one lost the others gained."""
    kinds = {change.kind for change in moved.changes}
    if len(moved.changes) < 2 or not kinds & {"added", "removed"}:
        return None
    if any(entry.grams is None for entry in (*moved.old, *moved.now)):
        return None
    factor = scene.scale.of(moved.old, moved.now)
    was_g, is_g = (sum(e.grams or 0.0 for e in side) for side in (moved.old, moved.now))
    if abs(is_g - was_g * factor) > NEARLY * max(is_g, was_g * factor):
        return None
    whole = [
        [e for e in side.placed if _key(e) == key and not e.is_part]
        for side in (scene.before, scene.after)
    ]
    shares = [sum(e.share or 0.0 for e in side) for side in whole]
    first = moved.now[0] if moved.now else moved.old[0]
    return (
        LineChange(
            "exchanged",
            first.part,
            key[1],
            shares[0],
            shares[1],
            shares[1] - shares[0],
            _amounts(moved.old),
            _amounts(moved.now),
            sum(e.grams or 0.0 for e in whole[0]),
            sum(e.grams or 0.0 for e in whole[1]),
            fine=key[1] == "salt",
            importance=max(change.importance for change in moved.changes),
            spread_percent=None,
            beyond_spread=True,
            lines_before=_said(moved.old),
            lines_after=_said(moved.now),
            of=moved.changes[0].of,
        ),
        moved.changes,
    )


def _amounts(lines: Sequence[PlacedLine]) -> str:
    return " + ".join(f"{entry.text} {entry.item}" for entry in lines)


def _said(lines: Sequence[PlacedLine]) -> tuple[LineSaid, ...]:
    return tuple(entry.said for entry in lines)
