"""The baker's table of one formula as plain values: what `show` prints and its JSON holds."""

from collections.abc import Iterable
from dataclasses import dataclass

from perflour.balance.balance import Balance, Beside, TotalLine
from perflour.balance.inclusions import Inclusions, inclusions
from perflour.balance.parts import PartBalance
from perflour.balance.ratios import FINE_RATIOS, is_fine, ratios
from perflour.balance.spread import Measures, Number, Uncertain, spread_of, uncertain
from perflour.formula.digests import digest
from perflour.formula.formula import Formula
from perflour.kitchen.names import fold
from perflour.tuples import NamedTuple


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
    of: str


class TableTotal(NamedTuple):
    """One ingredient of the base, of a part beside it, or of all parts together."""

    item: str
    mass_g: float
    mass_spread_g: float
    percent: float | None
    percent_spread: float | None
    in_basis: bool
    fine: bool


class TableBeside(NamedTuple):
    """A part beside the base with all that goes into it; ``of`` says what its percentages are of."""

    part: str
    kind: str
    of: str
    basis_items: tuple[str, ...]
    basis_g: float
    mass_g: float
    per_100_g: float | None
    per_piece_g: float | None
    lines: tuple[TableTotal, ...]


@dataclass(frozen=True)
class TableRatio:
    name: str
    percent: float
    spread: float
    lacking: tuple[str, ...]
    fine: bool


@dataclass(frozen=True)
class BakersTable:
    """A formula weighed, ready to be shown. Masses in g.

    ``total``, ``basis_g`` and ``ratios`` are those of the base, in percent ``of`` its flour; ``everything``
    goes over all parts, in percent of all their flour. ``may_be_flour`` is not in the 100 % and may belong there.
    """

    formula: Formula
    digest: str
    parts: tuple[TablePart, ...]
    base: str
    base_g: float
    of: str
    total: tuple[TableTotal, ...]
    inclusions: Inclusions
    beside: tuple[TableBeside, ...]
    everything: tuple[TableTotal, ...]
    may_be_flour: tuple[str, ...]
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
        parts=tuple(_part(balance, part, numbers) for part in balance.parts),
        base=balance.base_name,
        base_g=balance.base_g,
        of=balance.of,
        total=_totals(balance.total, numbers.totals, numbers.basis_g),
        inclusions=inclusions(balance),
        beside=tuple(_beside(balance, one, numbers) for one in balance.beside),
        everything=_totals(
            balance.everything,
            numbers.everything,
            sum(numbers.everything[line.name] for line in balance.everything if line.in_basis),
        ),
        may_be_flour=balance.may_be_flour,
        basis_items=tuple(line.name for line in balance.total if line.in_basis),
        basis_g=balance.basis_g,
        basis_spread_g=spread_of(numbers.basis_g),
        ratios=derived,
        batch_g=balance.batch_g,
        batch_spread_g=spread_of(numbers.batch_g),
        mass_per_piece_g=balance.mass_per_piece_g,
        unweighed=tuple(weighed.line.name for weighed in balance.unweighed),
    )


def _part(balance: Balance, part: PartBalance, numbers: Uncertain) -> TablePart:
    lines = tuple(_line(part, at, numbers) for at in range(len(part.lines)))
    said = part.part
    return TablePart(
        said.name,
        said.kind,
        lines,
        part.mass_g,
        part.own_basis,
        part.portion,
        balance.of_part(part),
    )


def _beside(balance: Balance, one: Beside, numbers: Uncertain) -> TableBeside:
    said, mass_g = one.part.part, one.part.mass_g
    top = fold(said.name)
    yields = balance.formula.yields
    return TableBeside(
        said.name,
        said.kind,
        one.of(balance.formula.basis),
        one.basis_items,
        one.basis_g,
        mass_g,
        mass_g / balance.base_g * 100 if balance.base_g else None,
        mass_g / yields.pieces if yields else None,
        _totals(one.total, numbers.beside[top], numbers.beside_basis_g[top]),
    )


def _totals(
    lines: Iterable[TotalLine], masses: dict[str, Number], basis_g: Number
) -> tuple[TableTotal, ...]:
    return tuple([_total(line, masses[line.name], basis_g) for line in lines])


def _total(line: TotalLine, mass: Number, basis_g: Number) -> TableTotal:
    has_percent = line.percent is not None
    return TableTotal(
        item=line.name,
        mass_g=line.mass_g,
        mass_spread_g=spread_of(mass),
        percent=line.percent,
        percent_spread=spread_of(mass / basis_g * 100) if has_percent else None,
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
        reason=reason_of(part, at),
        estimate=weighed.mass.doubt if weighed.mass else "",
    )


def reason_of(part: PartBalance, at: int) -> str:
    """Why a line of a part has no mass; empty where it has one."""
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
