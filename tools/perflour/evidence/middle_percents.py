"""What a middle of formulas is made of: each ingredient in percent of the basis, and what is left out.

An ingredient that fewer than half of the formulas have is left out. Things of one kind stand in for each other (sugars and
syrups, fats and oils, milk and water): what is left out of a kind is made up by the others of it, so that each kind
as a whole has its own median or mean. Flours together are 100 %.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from statistics import median, quantiles
from typing import Literal, NamedTuple

from perflour.balance.balance import Balance
from perflour.balance.gas import gas_lines
from perflour.balance.ratios import INSTANT_EQUIVALENT
from perflour.compare.table import KINDS, ingredient_kind
from perflour.kitchen.names import fold

# Less than this share of the formulas, or of their weights, do not make an ingredient one of the middle.
LEAST_SHARE = 0.5
#: What stands for 100 %.
BASIS = "basis"
# Kinds whose things stand in for each other, gram for gram; yeast as instant, leavening by its gas.
_TOGETHER = frozenset(
    (BASIS, "sugar and syrup", "fat and oil", "egg", "liquid and dairy", "leavening", "yeast", "salt", "nut")
)  # fmt: skip
# Percentages nearer than this are one.
SAME_PERCENT = 1e-9


@dataclass(frozen=True)
class MiddlePercent:
    """An ingredient of the middle in percent of the basis.

    ``formulas`` have it, which is ``share`` of the weights; ``low`` and ``high`` are the quartiles of those whose
    mass of it is known. ``for_its_kind``: fewer than half have it, but it is the most usual of a kind that half have.
    """

    name: str
    kind: str
    percent: float
    formulas: int
    share: float
    low: float
    high: float
    for_its_kind: bool = False


@dataclass(frozen=True)
class LeftOut:
    """An ingredient that is not in the middle: too few have it, or no formula says what it weighs.

    ``percent`` is the median of those whose mass of it is known, None without any.
    """

    name: str
    formulas: int
    share: float
    percent: float | None
    why: Literal["few", "not weighed"]


@dataclass(frozen=True)
class KindMissing:
    """A kind that half of the formulas have, of sorts that fewer than half share, so that the middle has none of it."""

    kind: str
    formulas: int


class _Has(NamedTuple):
    """What one formula has of an ingredient: its percent, None where it has no mass.

    ``counts`` is what a gram of it counts in its kind.
    """

    name: str
    kind: str
    percent: float | None
    counts: float = 1.0


_Row = Mapping[str, _Has]


def percents_of(
    balances: Sequence[Balance], shares: Sequence[float], by_median: bool
) -> tuple[tuple[MiddlePercent, ...], tuple[LeftOut, ...]]:
    """The ingredients of the middle, in the trade's order, and those left out, the most usual first.

    ``shares`` are the weights, together 1.
    """
    rows = [_row(balance) for balance in balances]
    every = {key: has for row in rows for key, has in sorted(row.items())}
    found = {key: _figures(key, rows, shares, by_median) for key in sorted(every)}
    kept = {key for key, (figure, known) in found.items() if known and figure.share >= LEAST_SHARE - SAME_PERCENT}  # fmt: skip
    instead = _for_their_kind(rows, shares, {k: f for k, (f, known) in found.items() if known}, kept)  # fmt: skip
    kept |= instead
    factors = _kind_factors(rows, shares, by_median, {key: found[key][0] for key in kept})
    percents = [
        replace(
            found[key][0],
            percent=found[key][0].percent * factors.get(found[key][0].kind, 1.0),
            for_its_kind=key in instead,
        )
        for key in kept
    ]
    left = [
        LeftOut(f.name, f.formulas, f.share, median(known) if known else None, "few" if known else "not weighed")
        for key, (f, known) in found.items()
        if key not in kept
    ]  # fmt: skip
    order = {kind: at for at, kind in enumerate((BASIS, *KINDS))}
    return (
        tuple(sorted(percents, key=lambda p: (order[p.kind], -p.percent, p.name))),
        tuple(sorted(left, key=lambda one: (-one.share, one.name))),
    )


def kinds_missing(
    balances: Sequence[Balance], shares: Sequence[float], percents: Sequence[MiddlePercent]
) -> tuple[KindMissing, ...]:
    """Every such kind, in the trade's order: fruits and spices, which do not stand in for each other."""
    rows = [_row(balance) for balance in balances]
    there = {one.kind for one in percents}
    found = []
    for kind in KINDS:
        has = [any(one.kind == kind for one in row.values()) for row in rows]
        share = sum(share for share, yes in zip(shares, has, strict=True) if yes)
        if kind not in there and share >= LEAST_SHARE - SAME_PERCENT:
            found.append(KindMissing(kind, sum(has)))
    return tuple(found)


def _figures(
    key: str, rows: Sequence[_Row], shares: Sequence[float], by_median: bool
) -> tuple[MiddlePercent, list[float]]:
    """An ingredient before its kind is made whole, and its percent in each formula that says it."""
    has = [(row[key], share) for row, share in zip(rows, shares, strict=True) if key in row]
    known = [(one.percent, share) for one, share in has if one.percent is not None]
    values = [percent for percent, _ in known]
    if by_median:
        percent = median(values) if values else 0.0
    else:  # what a formula does not have brings nothing into a blend
        unknown = sum(share for one, share in has if one.percent is None)
        percent = sum(p * share for p, share in known) / (1 - unknown) if unknown < 1 else 0.0
    low, high = quartiles(values)
    name = min(one.name for one, _ in has)
    kinds = sorted({one.kind for one, _ in has}, key=lambda kind: (kind != BASIS, kind))
    share = sum(s for _, s in has)
    return MiddlePercent(name, kinds[0], percent, len(has), share, low, high), values


def _for_their_kind(
    rows: Sequence[_Row],
    shares: Sequence[float],
    known: Mapping[str, MiddlePercent],
    kept: set[str],
) -> set[str]:
    """Of each kind that half of the formulas have, though of no one thing: the most usual."""
    found = set()
    for kind in sorted(_TOGETHER):
        members = {key: figure for key, figure in known.items() if figure.kind == kind}
        if not members or members.keys() & kept:
            continue
        share = sum(s for row, s in zip(rows, shares, strict=True) if members.keys() & row.keys())
        if share >= LEAST_SHARE - SAME_PERCENT:
            found.add(min(members, key=lambda key: (-round(members[key].share, 9), -members[key].percent, key)))  # fmt: skip
    return found


def _kind_factors(
    rows: Sequence[_Row],
    shares: Sequence[float],
    by_median: bool,
    kept: Mapping[str, MiddlePercent],
) -> dict[str, float]:
    """By kind what its things are multiplied by, so that together they are what the kind is in the middle."""
    factors = {}
    for kind in _TOGETHER:
        of_kind = {key: figure for key, figure in kept.items() if figure.kind == kind}
        there = sum(figure.percent * _counts(key, rows) for key, figure in of_kind.items())
        whole = 100.0 if kind == BASIS else _kind_percent(rows, shares, by_median, kind)
        if there > 0 and whole is not None:
            factors[kind] = whole / there
    return factors


def _kind_percent(
    rows: Sequence[_Row], shares: Sequence[float], by_median: bool, kind: str
) -> float | None:
    """A kind as a whole: the median of the formulas that have it, or the mean over all. None where none says it.

    Formulas that do not say the mass of a thing of it do not count.
    """
    sums: list[tuple[float, float]] = []
    for row, share in zip(rows, shares, strict=True):
        of_kind = [has for has in row.values() if has.kind == kind]
        if any(has.percent is None for has in of_kind):
            continue
        if of_kind or not by_median:
            whole = sum((has.percent or 0.0) * has.counts for has in of_kind)
            sums.append((whole, share))
    if not sums:
        return None
    if by_median:
        return median(whole for whole, _ in sums)
    return sum(whole * share for whole, share in sums) / sum(share for _, share in sums)


def _counts(key: str, rows: Sequence[_Row]) -> float:
    """What a gram counts in its kind: the median of the formulas that know its mass (soda hangs on what is with it)."""
    return median(row[key].counts for row in rows if key in row and row[key].percent is not None)


def _row(balance: Balance) -> _Row:
    """The ingredients of a base by folded main name."""
    row: dict[str, _Has] = {}
    gas = {line.name: share for line, share in gas_lines(balance.total)}
    for line in balance.total:
        kind = BASIS if line.in_basis else ingredient_kind(line.ingredient)
        counts = gas.get(line.name, 0.0) if kind == "leavening" else 1.0
        counts = INSTANT_EQUIVALENT.get(line.name, counts)
        row[fold(line.name)] = _Has(line.name, kind, line.mass_g / balance.basis_g * 100, counts)
    for weighed in balance.unweighed_in_base:
        if not weighed.line.is_part:
            name = weighed.name
            row[fold(name)] = _Has(name, ingredient_kind(weighed.ingredient), None)
    return row


def quartiles(values: Sequence[float]) -> tuple[float, float]:
    """A quarter and three quarters of the way, ends counted in; of none 0."""
    if len(values) < 2:
        return (values[0], values[0]) if values else (0.0, 0.0)
    low, _, high = quantiles(values, n=4, method="inclusive")
    return low, high
