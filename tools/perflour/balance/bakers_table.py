"""The baker's table of one formula as plain values: what `show` prints and its JSON holds."""

from dataclasses import dataclass
from typing import NamedTuple

from perflour.balance.balance import Balance, PartBalance, TotalLine
from perflour.balance.ratios import FINE_RATIOS, is_fine, ratios
from perflour.balance.spread import Measures, Uncertain, spread_of, uncertain
from perflour.formula.formula import Formula, digest
from perflour.kitchen.names import fold


@dataclass(frozen=True)
class TableLine:
    """One line; ``reason`` says why a mass is missing, ``estimate`` why it is only an estimate."""

    item: str
    is_part: bool
    amount: str
    state: str
    mass_g: float | None
    mass_spread_g: float | None
    percent: float | None
    percent_spread: float | None
    in_basis: bool
    fine: bool
    reason: str
    estimate: str = ""


@dataclass(frozen=True)
class TablePart:
    part: str
    kind: str
    lines: tuple[TableLine, ...]
    mass_g: float
    own_basis: bool
    portion: float


class TableTotal(NamedTuple):
    """One ingredient of the total formula."""

    item: str
    mass_g: float
    mass_spread_g: float
    percent: float | None
    percent_spread: float | None
    in_basis: bool
    fine: bool


@dataclass(frozen=True)
class TableRatio:
    name: str
    percent: float
    spread: float
    lacking: tuple[str, ...]
    fine: bool


@dataclass(frozen=True)
class BakersTable:
    """A formula weighed, ready to be shown. Masses in g, ratios in percent of the basis."""

    formula: Formula
    digest: str
    parts: tuple[TablePart, ...]
    total: tuple[TableTotal, ...]
    basis_items: tuple[str, ...]
    basis_g: float
    basis_spread_g: float
    ratios: tuple[TableRatio, ...]
    batch_g: float
    batch_spread_g: float
    mass_per_piece_g: float | None
    unweighed: tuple[str, ...]


def bakers_table(balance: Balance) -> BakersTable:
    """The table of a balance, spreads included."""
    numbers = uncertain(balance, Measures())
    derived = tuple(
        TableRatio(
            name,
            ratio.percent,
            spread_of(numbers.ratios[name]),
            ratio.lacking,
            name in FINE_RATIOS,
        )
        for name, ratio in ratios(balance).items()
    )
    return BakersTable(
        formula=balance.formula,
        digest=digest(balance.formula),
        parts=tuple(_part(part, numbers) for part in balance.parts),
        total=tuple(_total(line, numbers) for line in balance.total),
        basis_items=tuple(line.name for line in balance.total if line.in_basis),
        basis_g=balance.basis_g,
        basis_spread_g=spread_of(numbers.basis_g),
        ratios=derived,
        batch_g=balance.batch_g,
        batch_spread_g=spread_of(numbers.batch_g),
        mass_per_piece_g=balance.mass_per_piece_g,
        unweighed=tuple(weighed.line.name for weighed in balance.unweighed),
    )


def _part(part: PartBalance, numbers: Uncertain) -> TablePart:
    lines = tuple(_line(part, at, numbers) for at in range(len(part.lines)))
    return TablePart(
        part.part.name, part.part.kind, lines, part.mass_g, part.own_basis, part.portion
    )


def _total(line: TotalLine, numbers: Uncertain) -> TableTotal:
    mass = numbers.totals[line.name]
    has_percent = line.percent is not None
    return TableTotal(
        item=line.name,
        mass_g=line.mass_g,
        mass_spread_g=spread_of(mass),
        percent=line.percent,
        percent_spread=spread_of(mass / numbers.basis_g * 100) if has_percent else None,
        in_basis=line.in_basis,
        fine=is_fine(line.ingredient),
    )


def _line(part: PartBalance, at: int, numbers: Uncertain) -> TableLine:
    weighed = part.lines[at]
    key = (fold(part.part.name), at)
    has_mass, has_percent = weighed.mass is not None, weighed.percent is not None
    return TableLine(
        item=weighed.line.name,
        is_part=weighed.line.is_part,
        amount=weighed.line.amount.text,
        state=weighed.line.state,
        mass_g=weighed.grams if has_mass else None,
        mass_spread_g=spread_of(numbers.masses[key]) if has_mass else None,
        percent=weighed.percent,
        percent_spread=spread_of(numbers.percents[key]) if has_percent else None,
        in_basis=weighed.in_basis,
        fine=is_fine(weighed.ingredient),
        reason=_reason(part, at),
        estimate=weighed.mass.doubt if weighed.mass else "",
    )


def _reason(part: PartBalance, at: int) -> str:
    weighed = part.lines[at]
    if weighed.mass is not None:
        return ""
    if weighed.line.amount.problem:
        return weighed.line.amount.problem.message
    return (
        weighed.reason.reason
        if weighed.reason
        else "the part it names is not there, or contains itself"
    )
