"""Two balances to changes: what really moved between them, in ratios."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, replace
from statistics import median

from perflour.balance import Balance, Weighed
from perflour.change import Change
from perflour.formula import amount_said, fold
from perflour.method_difference import header_changes, method_changes
from perflour.ratios import FINE_RATIOS, is_fine, ratios
from perflour.result import Result
from perflour.spread import LineKey, Measures, Uncertain, spread_of, uncertain, value_of

# A difference counts as news beyond two standard spreads of it (about 95 % of honest measuring).
SPREADS_THAT_COUNT = 2.0
# Percentages nearer than this, relative to their size, are the same: rounding in the kitchen.
SAME_RELATIVE = 0.002
SAME_POINTS = 0.005
# The whole batch counts as scaled when this share of its lines moved by one factor.
SCALED_SHARE = 0.6
SCALED_TOLERANCE = 0.01
# Pieces nearer than this in mass are the same to the hand that scales them.
PIECE_TOLERANCE = 0.01


@dataclass(frozen=True)
class Difference:
    """All changes of one formula between two revisions.

    ``before`` or ``after`` is None where the formula was not there; ``unreadable`` says why one
    side could not be weighed at all. ``basis_items`` name what 100 % is.
    """

    id: str
    title: str
    path: str
    before: Balance | None
    after: Balance | None
    changes: tuple[Change, ...]
    basis_items: tuple[str, ...] = ()
    unreadable: tuple[Result, ...] = ()

    @property
    def is_empty(self) -> bool:
        return not self.changes and not self.unreadable and bool(self.before) == bool(self.after)


def compare(before: Balance, after: Balance, path: str = "") -> Difference:
    """What changed from one balance to another, ingredients first, then ratios, method, yield."""
    comparison = _Comparison(before, after)
    changes = (
        *comparison.batch_changes(),
        *comparison.line_changes(),
        *comparison.ratio_changes(),
        *method_changes(before.formula, after.formula),
        *_yield_changes(before, after),
        *header_changes(before.formula, after.formula),
    )
    formula = after.formula
    basis = tuple(line.name for line in after.total if line.in_basis)
    return Difference(formula.id, formula.title, path, before, after, changes, basis)


def added_or_removed(before: Balance | None, after: Balance | None, path: str) -> Difference:
    """A formula that is only on one side."""
    there = after or before
    assert there is not None
    return Difference(there.formula.id, there.formula.title, path, before, after, ())


@dataclass(frozen=True)
class _Entry:
    """A line with where it stands."""

    part: str
    key: LineKey
    weighed: Weighed

    @property
    def name(self) -> str:
        return fold(self.weighed.name)

    @property
    def grams(self) -> float | None:
        return self.weighed.mass.grams if self.weighed.mass else None


class _Comparison:
    """Two balances with shared measuring variables, their lines matched once."""

    def __init__(self, before: Balance, after: Balance) -> None:
        self.before, self.after = before, after
        measures = Measures()
        self.numbers = (uncertain(before, measures, "before"), uncertain(after, measures, "after"))
        self.pairs, self.gone, self.new = _match(_entries(before), _entries(after))
        self.factor = self._batch_factor()

    def _batch_factor(self) -> float:
        """The factor that most lines were multiplied by; 1 when they were not."""
        factors = [
            b.weighed.grams / a.weighed.grams
            for a, b in self.pairs
            if a.weighed.grams and b.weighed.grams
        ]
        if len(factors) < 2:
            return 1.0
        middle = median(factors)
        near = sum(abs(f / middle - 1) <= SCALED_TOLERANCE for f in factors)
        scaled = near >= SCALED_SHARE * len(factors) and abs(middle - 1) > SCALED_TOLERANCE
        return middle if scaled else 1.0

    def batch_changes(self) -> Iterator[Change]:
        before, after = self.before.basis_g, self.after.basis_g
        if self.factor != 1.0:
            moved = any(True for _ in self._ratio_moves()) or self.gone or self.new
            yield Change(
                "batch-scaled",
                "",
                "",
                self.before.batch_g,
                self.after.batch_g,
                self.factor,
                text_after="" if moved else "ratios unchanged",
            )
        elif before and after and not _same(before, after):
            yield Change(
                "basis",
                "",
                "",
                before,
                after,
                after - before,
                beyond_spread=self._beyond("basis_g"),
            )

    def _beyond(self, figure: str) -> bool:
        moved = getattr(self.numbers[1], figure) - getattr(self.numbers[0], figure)
        return abs(value_of(moved)) > SPREADS_THAT_COUNT * spread_of(moved)

    def line_changes(self) -> Iterator[Change]:
        """Changes of single lines, the largest move in ratio first."""
        found = [
            *self._ratio_moves(),
            *self._words_changed(),
            *(self._lone("removed", e, self.numbers[0], before=True) for e in self.gone),
            *(self._lone("added", e, self.numbers[1], before=False) for e in self.new),
        ]
        yield from sorted(found, key=lambda c: -abs(c.delta or 0.0))

    def _ratio_moves(self) -> Iterator[Change]:
        for a, b in self.pairs:
            before, after = a.weighed.percent, b.weighed.percent
            if before is None or after is None:
                yield from self._unpercented(a, b)
                continue
            if _same(before, after):
                continue
            moved = self.numbers[1].percents[b.key] - self.numbers[0].percents[a.key]
            spread = spread_of(moved)
            beyond = abs(after - before) > SPREADS_THAT_COUNT * spread
            kind = "re-measured" if not beyond and _measured_otherwise(a, b) else "amount"
            yield _pair_change(kind, a, b, spread, beyond)

    def _unpercented(self, a: _Entry, b: _Entry) -> Iterator[Change]:
        """Lines with no percentage on one side: the amounts as written say what can be said."""
        if amount_said(a.weighed.line.amount) != amount_said(b.weighed.line.amount):
            yield _pair_change("amount-as-written", a, b)

    def _words_changed(self) -> Iterator[Change]:
        """Moves, renames and new states, and amounts measured another way to the same ratio."""
        for a, b in self.pairs:
            old, new = a.weighed.line, b.weighed.line
            otherwise = _measured_otherwise(a, b)
            if fold(a.part) != fold(b.part):
                yield Change("moved", b.part, new.name, text_before=a.part, text_after=b.part)
            if fold(old.name) != fold(new.name):
                yield Change("renamed", b.part, new.name, text_before=old.name, text_after=new.name)
            # "packed" goes with the cup: weighed instead, there is nothing to pack
            if fold(old.state) != fold(new.state) and (new.state or not otherwise):
                yield Change("state", b.part, new.name, text_before=old.state, text_after=new.state)
            before, after = a.weighed.percent, b.weighed.percent
            if otherwise and before is not None and after is not None and _same(before, after):
                yield _pair_change("re-measured", a, b)

    def _lone(self, kind: str, entry: _Entry, numbers: Uncertain, before: bool) -> Change:
        """A line that is only on one side."""
        percent = entry.weighed.percent
        spread = spread_of(numbers.percents[entry.key]) if percent is not None else None
        change = Change(
            kind,
            entry.part,
            entry.weighed.line.name,
            spread=spread,
            beyond_spread=True,
            fine=is_fine(entry.weighed.ingredient),
        )
        text, grams = entry.weighed.line.amount.text, entry.grams
        if before:
            lost = None if percent is None else -percent
            return replace(change, before=percent, delta=lost, text_before=text, grams_before=grams)
        return replace(change, after=percent, delta=percent, text_after=text, grams_after=grams)

    def ratio_changes(self) -> Iterator[Change]:
        before, after = ratios(self.before), ratios(self.after)
        for name in after:
            if name not in before or _same(before[name].percent, after[name].percent):
                continue
            moved = self.numbers[1].ratios[name] - self.numbers[0].ratios[name]
            delta = after[name].percent - before[name].percent
            spread = spread_of(moved)
            beyond = abs(delta) > SPREADS_THAT_COUNT * spread
            yield Change(
                "ratio",
                "",
                name,
                before[name].percent,
                after[name].percent,
                delta,
                spread,
                beyond,
                fine=name in FINE_RATIOS,
            )


def _entries(balance: Balance) -> list[_Entry]:
    return [
        _Entry(part.part.name, (fold(part.part.name), at), weighed)
        for part in balance.parts
        for at, weighed in enumerate(part.lines)
    ]


def _match(
    before: list[_Entry], after: list[_Entry]
) -> tuple[list[tuple[_Entry, _Entry]], list[_Entry], list[_Entry]]:
    """Pairs of lines of one ingredient: in the same part first, then anywhere, each in order."""
    pairs: list[tuple[_Entry, _Entry]] = []
    for same_part in (True, False):
        waiting: dict[tuple[str, ...], list[_Entry]] = defaultdict(list)
        for entry in before:
            waiting[_key(entry, same_part)].append(entry)
        left: list[_Entry] = []
        for entry in after:
            candidates = waiting[_key(entry, same_part)]
            if candidates:
                pairs.append((candidates.pop(0), entry))
            else:
                left.append(entry)
        before = [entry for group in waiting.values() for entry in group]
        after = left
    return pairs, before, after


def _key(entry: _Entry, with_part: bool) -> tuple[str, ...]:
    return (fold(entry.part), entry.name) if with_part else (entry.name,)


def _pair_change(
    kind: str, a: _Entry, b: _Entry, spread: float | None = None, beyond: bool | None = None
) -> Change:
    """A change of one matched line, with its amounts, masses and percentages."""
    before, after = a.weighed.percent, b.weighed.percent
    return Change(
        kind=kind,
        part=b.part,
        subject=b.weighed.line.name,
        before=before,
        after=after,
        delta=None if before is None or after is None else after - before,
        spread=spread,
        beyond_spread=beyond,
        text_before=a.weighed.line.amount.text,
        text_after=b.weighed.line.amount.text,
        grams_before=a.grams,
        grams_after=b.grams,
        fine=is_fine(b.weighed.ingredient),
    )


def _same(before: float, after: float) -> bool:
    size = max(abs(before), abs(after))
    return abs(after - before) <= max(SAME_POINTS * min(1.0, size), SAME_RELATIVE * size)


def _measured_otherwise(a: _Entry, b: _Entry) -> bool:
    """Whether the two lines were measured in different ways: a cup before, grams now."""
    kinds = [getattr(e.weighed.line.amount.value, "kinds", None) for e in (a, b)]
    return kinds[0] != kinds[1]


def _yield_changes(before: Balance, after: Balance) -> Iterator[Change]:
    old, new = before.formula.yields, after.formula.yields
    said = [
        f"{y.pieces} x {y.piece}" + (f" of {y.scaling_weight.text}" if y.scaling_weight else "")
        if y
        else ""
        for y in (old, new)
    ]
    if said[0] != said[1]:
        yield Change("yield", "", "yield", text_before=said[0], text_after=said[1])
    each = before.mass_per_piece_g, after.mass_per_piece_g
    if each[0] and each[1] and abs(each[1] / each[0] - 1) > PIECE_TOLERANCE:
        yield Change("mass-per-piece", "", "mass per piece", each[0], each[1], each[1] - each[0])
