"""The lines of a balance with where they stand and what their percentages are of."""

from collections.abc import Container, Iterator, Mapping

from perflour.balance.balance import NOT_WHOLE, Balance, Beside, basis_word, whose
from perflour.balance.parts import PartBalance, Weighed
from perflour.balance.spread import LineKey
from perflour.diff.change import LineSaid
from perflour.formula.formula import canonical_amount
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount, Share
from perflour.tuples import NamedTuple, of_fields


class PlacedLine(NamedTuple):
    """A line with where it stands.

    ``part_key`` and ``name`` are folded, main names, and those of the other side where a part was
    renamed. ``root`` is the part on top that the line's part goes into ("" where there are several).
    ``share`` is the line's percentage of its root's basis, preferments counted in, and ``points``
    that of the base's basis; None without one. ``in_basis`` says whether it is part of its root's 100 %,
    ``is_beside`` whether it ends in a part beside the base. ``grams`` and ``is_part`` are those of
    ``weighed``, which a comparison asks for hundreds of times: docs/performance.md.
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
    in_basis: bool
    is_beside: bool
    grams: float | None
    is_part: bool

    @property
    def item(self) -> str:
        """The name as written."""
        return self.weighed.line.name

    @property
    def state(self) -> str:
        return fold(self.weighed.state) if self.weighed.state else ""

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
        return LineSaid(self.part, self.place, self.item, self.text, self.grams)

    @property
    def place(self) -> int:
        """Which line of its part it is, from 1 on."""
        return self.key[1] + 1

    @property
    def sort_key(self) -> tuple[object, ...]:
        """An order that does not hang on the order of the list."""
        amount = canonical_amount(self.weighed.line.amount)
        return (self.part_key, self.name, self.state, self.grams or 0.0, amount, self.item)


class Side(NamedTuple):
    """One side of a comparison: its lines, and the basis of each root by its folded name.

    ``bases`` holds roots with a basis of their own; every other line is counted against ``total_g``, the
    base's. ``of`` says what each of these is. ``portions`` is how much of each part ends in the product,
    ``in_base`` how much of it in the base.
    """

    balance: Balance
    placed: tuple[PlacedLine, ...]
    bases: Mapping[str, float]
    portions: Mapping[str, float]
    in_base: Mapping[str, float]
    of: Mapping[str, str]

    @property
    def total_g(self) -> float:
        return self.balance.basis_g

    def frame(self, root: str) -> str:
        """The root whose basis counts for lines below ``root``; "" for the total."""
        return root if root in self.bases else ""

    def is_beside(self, root: str) -> bool:
        return any(fold(one.part.part.name) == root for one in self.balance.beside)

    def basis_g(self, frame: str) -> float:
        return self.bases.get(frame, self.total_g)


def side_of(
    balance: Balance, side: str, renamed: Mapping[str, str], hundred: Mapping[str, str]
) -> Side:
    """The lines of a balance; ``renamed`` gives folded part names their name on the other side.

    ``hundred`` names the ingredient that is 100 % in parts beside the base without flour, by their root;
    empty where nothing is on both sides, and their mass is.
    """
    roots = {name: renamed.get(root, root) for name, root in _roots(balance).items()}
    beside = {renamed.get(n, n) for n in (fold(b.part.part.name) for b in balance.beside)}
    bases, of = _bases(balance, roots, hundred)
    found = tuple(
        line
        for part in balance.parts
        for line in _placed_lines(balance, side, part, roots, bases, renamed, beside, hundred)
    )
    keys = [renamed.get(name, name) for name in (fold(p.part.name) for p in balance.parts)]
    portions = {key: p.portion for key, p in zip(keys, balance.parts, strict=True)}
    in_base = {key: p.in_base for key, p in zip(keys, balance.parts, strict=True)}
    return Side(balance, found, bases, portions, in_base, of)


def hundreds(before: Balance, after: Balance, renamed: Mapping[str, str]) -> dict[str, str]:
    """The ingredient that is 100 % in each part beside the base where a side has no flour in it.

    One for both sides: of those that both have the one with the largest shares; "" where there is none.
    """
    old = {renamed.get(name, name): one for name, one in _beside(before).items()}
    now = _beside(after)
    found = {}
    for name in (*old, *(name for name in now if name not in old)):
        sides = [side[name] for side in (old, now) if name in side]
        if all(one.of_flour for one in sides):
            continue
        shares = [_shares(one) for one in sides]
        common = set.intersection(*map(set, shares))
        by_share = sorted(common, key=lambda item: (-sum(side[item] for side in shares), item))
        found[name] = by_share[0] if by_share else ""
    return found


def _shares(one: Beside) -> dict[str, float]:
    whole_g = sum(line.mass_g for line in one.total)
    return {line.name: line.mass_g / whole_g for line in one.total if whole_g}


def _beside(balance: Balance) -> dict[str, Beside]:
    return {fold(one.part.part.name): one for one in balance.beside}


def _bases(
    balance: Balance, roots: Mapping[str, str], hundred: Mapping[str, str]
) -> tuple[dict[str, float], dict[str, str]]:
    """What is 100 % below each root, and what that is called; "" is the base as a whole."""
    bases: dict[str, float] = {}
    names = {
        roots[fold(part.part.name)]: part.part.name
        for part in balance.parts
        if not part.used_by_parts
    }
    word = basis_word(balance.formula.basis)
    of = {"": balance.of}
    not_whole = _not_whole(balance, roots)
    for part in balance.parts:
        root = roots[fold(part.part.name)]
        if root and root not in hundred and part.basis_g * part.portion > 0:
            bases[root] = bases.get(root, 0.0) + part.basis_g * part.portion
            of[root] = whose(names[root], word) + NOT_WHOLE * (root in not_whole)
    for one in balance.beside:
        root = roots[fold(one.part.part.name)]
        if root not in hundred:
            continue
        item = hundred[root]
        named = [line.mass_g for line in one.total if not item or line.name == item]
        if sum(named) > 0:
            bases[root] = sum(named)
            of[root] = whose(names[root], item)
    return bases, of


def _not_whole(balance: Balance, roots: Mapping[str, str]) -> set[str]:
    """The roots that hold what may be flour and does not count."""
    lacking = {*balance.may_be_flour, *(w.name for w in balance.unweighed if w.in_basis)}
    if not lacking:
        return set()
    held = (p.part.name for p in balance.parts if any(w.name in lacking for w in p.lines))
    return {roots[fold(name)] for name in held}


def _placed_lines(
    balance: Balance,
    side: str,
    part: PartBalance,
    roots: Mapping[str, str],
    bases: Mapping[str, float],
    renamed: Mapping[str, str],
    beside: Container[str],
    hundred: Mapping[str, str],
) -> Iterator[PlacedLine]:
    own_key = fold(part.part.name)
    part_key, root = renamed.get(own_key, own_key), roots[own_key]
    basis_g = bases.get(root, balance.basis_g)
    is_beside = root in beside
    for at, weighed in enumerate(part.lines):
        is_part = weighed.line.is_part
        name = fold(weighed.line.name if is_part else weighed.name)
        grams = share = points = None
        if weighed.mass:
            grams = weighed.mass.grams
            if basis_g > 0:
                share = grams * part.portion / basis_g * 100
            if balance.basis_g > 0:
                points = grams * part.portion / balance.basis_g * 100
        name = renamed.get(name, name) if is_part else name
        in_basis = hundred[root] == weighed.name if root in hundred else weighed.in_basis
        fields = (side, part.part.name, part_key, root, (own_key, at), weighed, name, share, points, in_basis, is_beside, grams, is_part)  # fmt: skip
        yield of_fields(PlacedLine, fields)


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
