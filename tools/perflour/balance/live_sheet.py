"""A formula as a sheet that scales: every line a share of its part's 100 %, every part's a share of the whole 100 %.

Of one figure, the mass of the whole 100 %, all others follow; so a spreadsheet can compute them.
"""

from __future__ import annotations

from dataclasses import dataclass

from perflour.balance.balance import Balance
from perflour.balance.parts import PartBalance, Weighed
from perflour.balance.ratios import is_fine, ratio_masses, ratios
from perflour.formula.digests import digest
from perflour.formula.formula import Formula
from perflour.kitchen.names import fold

#: The ratios that a sheet computes: sums of ingredients, each in whole.
COMPUTED = ("hydration", "sugar", "fat", "egg", "salt")


@dataclass(frozen=True)
class LiveLine:
    """A line of a part. ``percent`` is of the part's 100 %, None where it has none.

    A line that is a part takes ``fraction`` of part number ``inner``. ``counts`` says how much of it counts in the whole
    100 %, then in each ratio; ``why_not`` why it has no mass.
    """

    item: str
    written: str
    state: str
    grams: float | None
    percent: float | None
    of_whole_percent: float
    fine: bool
    counts: tuple[float, ...]
    inner: int | None = None
    fraction: float = 0.0
    why_not: str = ""


@dataclass(frozen=True)
class LivePart:
    """A part: its 100 % in percent of the whole, None where it has none; ``on_top`` where no other part uses it."""

    name: str
    share_percent: float | None
    of: str
    on_top: bool
    lines: tuple[LiveLine, ...]


@dataclass(frozen=True)
class LiveRatio:
    name: str
    percent: float
    fine: bool
    lacking: tuple[str, ...]


@dataclass(frozen=True)
class LiveSheet:
    """All of it. ``whole_g`` is the mass of the whole 100 %, called ``of``: of the batch where nothing else is."""

    formula: Formula
    digest: str
    of: str
    whole_g: float
    has_basis: bool
    parts: tuple[LivePart, ...]
    ratios: tuple[LiveRatio, ...]
    batch_g: float
    piece_g: float | None
    not_weighed: tuple[str, ...]


def live_sheet(balance: Balance) -> LiveSheet | None:
    """The sheet of a balance, inner parts first; None where nothing has a mass."""
    has_basis = balance.basis_g > 0
    whole_g = balance.basis_g if has_basis else balance.batch_g
    if not whole_g:
        return None
    found = ratios(balance)
    computed = [found[name] for name in COMPUTED if has_basis and found[name].percent]
    shares = [dict(_shares(balance, ratio.name)) for ratio in computed]
    numbers = {fold(part.part.name): at for at, part in enumerate(balance.parts)}
    parts = tuple(
        LivePart(
            part.part.name,
            _share(part, whole_g),
            balance.of_part(part),
            not part.used_by_parts,
            tuple(_line(w, part, whole_g, numbers, balance.parts, shares) for w in part.lines),
        )
        for part in balance.parts
    )
    return LiveSheet(
        balance.formula,
        digest(balance.formula),
        balance.of if has_basis else "the batch",
        whole_g,
        has_basis,
        parts,
        tuple(LiveRatio(r.name, r.percent, r.name == "salt", r.lacking) for r in computed),
        balance.batch_g,
        balance.mass_per_piece_g,
        tuple(dict.fromkeys(w.line.name for w in balance.unweighed)),
    )


def _shares(balance: Balance, ratio: str) -> list[tuple[str, float]]:
    return [(line.name, share) for line, share in ratio_masses(balance.total, ratio)]


def _share(part: PartBalance, whole_g: float) -> float | None:
    """What is 100 % in a part as it is made, in percent of the whole."""
    for weighed in part.lines:
        if weighed.percent and weighed.mass:
            return weighed.mass.grams / weighed.percent * 100 / whole_g * 100
    return None


def _line(
    weighed: Weighed,
    part: PartBalance,
    whole_g: float,
    numbers: dict[str, int],
    parts: tuple[PartBalance, ...],
    shares: list[dict[str, float]],
) -> LiveLine:
    inner = numbers.get(fold(weighed.line.name)) if weighed.line.is_part else None
    inner_g = parts[inner].mass_g if inner is not None else 0.0
    counts = (0.0,) * (len(shares) + 1)
    if not weighed.line.is_part:
        each = (float(weighed.in_basis), *(of.get(weighed.name, 0.0) for of in shares))
        counts = tuple(share * part.in_base for share in each)
    why_not = ""
    if weighed.mass is None:
        problem = weighed.line.amount.problem
        reason = weighed.reason.reason if weighed.reason else "the part it names is not there"
        why_not = problem.message if problem else reason
    return LiveLine(
        weighed.line.name,
        weighed.line.amount.text,
        weighed.line.state,
        weighed.grams if weighed.mass else None,
        weighed.percent,
        weighed.grams / whole_g * 100,
        is_fine(weighed.ingredient),
        counts,
        inner if weighed.mass else None,
        weighed.grams / inner_g if inner_g else 0.0,
        why_not,
    )
