"""Which flours somebody weighed otherwise: what a change of the flour and of its blend come from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from math import hypot
from typing import Literal, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.parts import Weighed
from perflour.diff.change import BlendChange, Change, LineChange, LineSaid, MassChange, Scaling
from perflour.diff.common_basis import NEARLY as NEARLY_THE_FLOUR
from perflour.diff.difference import Difference
from perflour.diff.exchanges import NEARLY
from perflour.diff.residual import LEFT_BEHIND, LEVELLED, SPREADS_THAT_COUNT
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount

# Half a step of a scale that shows grams, as one standard spread: half a gram over the root of 3.
STEP_SPREAD_G = 0.5 / 3**0.5


# Groups of the catalogue that stand in for each other in a blend.
_LIKE_FLOUR = frozenset(("flour", "starch"))


class FlourMove(NamedTuple):
    """One flour that was weighed otherwise, or one exchanged for another of the same mass; masses in g."""

    sort: Literal["amount", "added", "removed", "exchange"]
    name: str
    name_before: str
    before_g: float
    after_g: float
    lines: tuple[LineSaid, ...]

    @property
    def came_or_went(self) -> bool:
        return self.sort != "amount"


class _Flour(NamedTuple):
    """The lines of one flour that moved, its mass before times the batch factor."""

    name: str
    before_g: float
    after_g: float
    spread_g: float
    lines: tuple[LineSaid, ...]

    @property
    def moved_g(self) -> float:
        return self.after_g - self.before_g


_Lines = Mapping[tuple[str, int], Weighed]


def flour_moves(
    difference: Difference, changes: Sequence[MassChange | BlendChange]
) -> tuple[FlourMove, ...]:
    """The flours that changes of the flour and its blend tell of."""
    of_flour = [c for c in changes if c.kind in ("basis", "blend")]
    if not of_flour or difference.before is None or difference.after is None:
        return ()
    sides = _lines(difference.before), _lines(difference.after)
    before = tuple(dict.fromkeys(line for c in of_flour for line in c.lines_before))
    after = tuple(dict.fromkeys(line for c in of_flour for line in c.lines_after))
    factors = {fold(c.subject): c.factor for c in difference.changes if isinstance(c, Scaling)}
    moved = [f for f in _flours(before, after, sides, factors) if abs(f.moved_g) > SPREADS_THAT_COUNT * f.spread_g]  # fmt: skip
    return _moves(moved)


def flour_exchange(
    difference: Difference, told: Sequence[Change], moves: Sequence[FlourMove]
) -> tuple[FlourMove, frozenset[int]] | None:
    """Flours and starches that together took the place of others of the same mass: one exchange, and the changes of
    lines that tell of it; None where it is not so."""
    assert difference.before and difference.after
    sides = _lines(difference.before), _lines(difference.after)
    changes = [c for c in told if isinstance(c, LineChange) and _is_like_flour(c, sides)]
    if not changes or len(changes) + len(moves) < 2:
        return None
    factor = next((c.factor for c in difference.changes if isinstance(c, Scaling) and not c.subject), 1.0)  # fmt: skip
    lost: dict[str, float] = {}
    gained: dict[str, float] = {}
    for change in changes:
        for line in change.lines_before:
            lost[line.item] = lost.get(line.item, 0.0) + (line.grams or 0.0) * factor
        for line in change.lines_after:
            gained[line.item] = gained.get(line.item, 0.0) + (line.grams or 0.0)
    for move in moves:
        lost[move.name_before or move.name] = move.before_g
        gained[move.name] = move.after_g
    moved = {name: gained.get(name, 0.0) - lost.get(name, 0.0) for name in {**lost, **gained}}
    gain, loss = max(moved, key=lambda name: moved[name]), min(moved, key=lambda name: moved[name])
    sum_g = max(sum(lost.values()), sum(gained.values()))
    if moved[gain] <= 0 or moved[loss] >= 0 or abs(sum(moved.values())) > NEARLY_THE_FLOUR * sum_g:
        return None
    lines = tuple(line for c in changes for line in (*c.lines_before, *c.lines_after))
    lines += tuple(line for move in moves for line in move.lines)
    one = FlourMove("exchange", gain, loss, lost[loss], gained[gain], lines)
    return one, frozenset(map(id, changes))


def _is_like_flour(change: LineChange, sides: tuple[_Lines, _Lines]) -> bool:
    if change.kind not in ("substituted", "added", "removed", "amount"):
        return False
    groups = {
        weighed.group
        for side, lines in zip(sides, (change.lines_before, change.lines_after), strict=True)
        for line in lines
        if (weighed := side.get((fold(line.part), line.place)))
    }
    return bool(groups) and groups <= _LIKE_FLOUR


def _lines(balance: Balance) -> _Lines:
    return {
        (fold(part.part.name), at): weighed
        for part in balance.parts
        for at, weighed in enumerate(part.lines, start=1)
    }


def _flours(
    before: Sequence[LineSaid],
    after: Sequence[LineSaid],
    sides: tuple[_Lines, _Lines],
    factors: Mapping[str, float],
) -> list[_Flour]:
    """By the flour's main name."""
    found: dict[str, list[list[LineSaid]]] = {}
    for at, said in enumerate((before, after)):
        for line in said:
            weighed = sides[at].get((fold(line.part), line.place))
            name = weighed.name if weighed else line.item
            found.setdefault(name, [[], []])[at].append(line)
    flours = []
    for name, (old, now) in found.items():
        factor = [factors.get(fold(line.part), factors.get("", 1.0)) for line in old]
        was_g = sum((line.grams or 0.0) * f for line, f in zip(old, factor, strict=True))
        spread_g = hypot(
            *(_spread_g(line, sides[0]) * f for line, f in zip(old, factor, strict=True)),
            *(_spread_g(line, sides[1]) for line in now),
        )
        now_g = sum(line.grams or 0.0 for line in now)
        flours.append(_Flour(name, was_g, now_g, spread_g, (*old, *now)))
    return flours


def _spread_g(line: LineSaid, side: _Lines) -> float:
    """What one reading of a line differs by from the next."""
    weighed = side.get((fold(line.part), line.place))
    amount = weighed.line.amount.value if weighed else None
    if isinstance(amount, Amount) and "volume" in amount.kinds:
        return LEVELLED * (line.grams or 0.0)
    return hypot(STEP_SPREAD_G, LEFT_BEHIND * (line.grams or 0.0))


def _moves(moved: Sequence[_Flour]) -> tuple[FlourMove, ...]:
    """One exchange where what some lost the others gained, else each by itself."""
    gained = [flour for flour in moved if flour.moved_g > 0]
    lost = [flour for flour in moved if flour.moved_g < 0]
    sum_g = max(sum(f.before_g for f in moved), sum(f.after_g for f in moved))
    if gained and lost and abs(sum(f.moved_g for f in moved)) <= NEARLY * sum_g:
        gain, loss = max(gained, key=lambda f: f.moved_g), min(lost, key=lambda f: f.moved_g)
        lines = tuple(line for flour in moved for line in flour.lines)
        return (FlourMove("exchange", gain.name, loss.name, loss.before_g, gain.after_g, lines),)
    return tuple(
        FlourMove(
            "added" if not f.before_g else "removed" if not f.after_g else "amount",
            f.name, "", f.before_g, f.after_g, f.lines,
        )
        for f in moved
    )  # fmt: skip
