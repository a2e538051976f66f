"""The lines of a balance with where they stand and what their percentages are of."""

from collections.abc import Mapping
from typing import NamedTuple

from perflour.balance.balance import Balance, Weighed
from perflour.balance.spread import LineKey
from perflour.diff.change import LineSaid
from perflour.formula.formula import canonical_amount
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount, Share


class PlacedLine(NamedTuple):
    """A line with where it stands.

    ``part_key`` and ``name`` are folded, main names, and those of the other side where a part was
    renamed. ``root`` is the part on top that the line's part goes into ("" where there are several).
    ``share`` is the line's percentage of its root's basis, preferments counted in, and ``points``
    that of the basis of the whole formula; None without one.
    """

    side: str
    part: str
    part_key: str
    root: str
    key: LineKey
    weighed: Weighed
    name: str
    share: float | None
    points: float | None

    @property
    def item(self) -> str:
        """The name as written."""
        return self.weighed.line.name

    @property
    def is_part(self) -> bool:
        return self.weighed.line.is_part

    @property
    def grams(self) -> float | None:
        return self.weighed.mass.grams if self.weighed.mass else None

    @property
    def state(self) -> str:
        return fold(self.weighed.state)

    @property
    def group(self) -> str:
        return self.weighed.ingredient.group if self.weighed.ingredient else ""

    @property
    def text(self) -> str:
        return self.weighed.line.amount.text

    @property
    def units(self) -> frozenset[str]:
        """The units it is measured in; ``share`` for a share of a part."""
        value = self.weighed.line.amount.value
        if isinstance(value, Share):
            return frozenset(("share",))
        if not isinstance(value, Amount):
            return frozenset()
        return frozenset(term.unit.name for term in value.terms)

    @property
    def said(self) -> LineSaid:
        return LineSaid(self.part, self.key[1] + 1, self.item, self.text, self.grams)

    @property
    def sort_key(self) -> tuple[object, ...]:
        """An order that does not hang on the order of the list."""
        amount = canonical_amount(self.weighed.line.amount)
        return (self.part_key, self.name, self.state, self.grams or 0.0, amount, self.item)


class Side(NamedTuple):
    """One side of a comparison: its lines, and the basis of each root by its folded name.

    ``bases`` holds roots with a basis of their own; every other line is counted against ``total_g``.
    """

    balance: Balance
    placed: tuple[PlacedLine, ...]
    bases: Mapping[str, float]
    portions: Mapping[str, float]

    @property
    def total_g(self) -> float:
        return self.balance.basis_g

    def frame(self, root: str) -> str:
        """The root whose basis counts for lines below ``root``; "" for the total."""
        return root if root in self.bases else ""

    def basis_g(self, frame: str) -> float:
        return self.bases.get(frame, self.total_g)


def side_of(balance: Balance, side: str, renamed: Mapping[str, str]) -> Side:
    """The lines of a balance; ``renamed`` gives folded part names their name on the other side."""
    roots = _roots(balance)
    bases: dict[str, float] = {}
    for part in balance.parts:
        root = roots[fold(part.part.name)]
        if root and part.basis_g * part.portion > 0:
            root = renamed.get(root, root)
            bases[root] = bases.get(root, 0.0) + part.basis_g * part.portion
    found = tuple(
        _placed_line(balance, side, part_at, at, roots, bases, renamed)
        for part_at, part in enumerate(balance.parts)
        for at in range(len(part.lines))
    )
    portions = {fold(part.part.name): part.portion for part in balance.parts}
    return Side(balance, found, bases, {renamed.get(name, name): p for name, p in portions.items()})


def _placed_line(
    balance: Balance,
    side: str,
    part_at: int,
    at: int,
    roots: Mapping[str, str],
    bases: Mapping[str, float],
    renamed: Mapping[str, str],
) -> PlacedLine:
    part = balance.parts[part_at]
    weighed = part.lines[at]
    own_key = fold(part.part.name)
    root = renamed.get(roots[own_key], roots[own_key])
    name = fold(weighed.line.name if weighed.line.is_part else weighed.name)
    share = points = None
    if weighed.mass and balance.basis_g > 0:
        grams = weighed.mass.grams * part.portion
        share = grams / bases.get(root, balance.basis_g) * 100
        points = grams / balance.basis_g * 100
    return PlacedLine(
        side,
        part.part.name,
        renamed.get(own_key, own_key),
        root,
        (own_key, at),
        weighed,
        renamed.get(name, name) if weighed.line.is_part else name,
        share,
        points,
    )


def _roots(balance: Balance) -> dict[str, str]:
    """For each part the one part on top that it ends in; "" where it ends in several or in a loop."""
    users: dict[str, set[str]] = {fold(part.part.name): set() for part in balance.parts}
    for part in balance.parts:
        for weighed in part.lines:
            inner = fold(weighed.line.name)
            if weighed.line.is_part and inner in users:
                users[inner].add(fold(part.part.name))
    return {name: _root(name, users) for name in users}


def _root(name: str, users: Mapping[str, set[str]]) -> str:
    seen, waiting, tops = {name}, [name], set()
    while waiting:
        at = waiting.pop()
        if not users[at]:
            tops.add(at)
        for user in users[at] - seen:
            seen.add(user)
            waiting.append(user)
    return tops.pop() if len(tops) == 1 else ""
