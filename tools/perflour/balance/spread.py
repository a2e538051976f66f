"""Measuring spreads carried into percentages and ratios, correlation kept.

Every percentage shares the flour mass, and two lines measured with the same cup are off together;
``linear`` follows both. One deviate stands for each ingredient, kind of measure and state,
so that it is shared between the two sides of a comparison as well.
"""

from perflour.balance.balance import Balance
from perflour.balance.linear import Deviate, Linear
from perflour.balance.parts import PartBalance, Weighed, inner_first, portions_of
from perflour.balance.ratios import PREFERMENTED, RatiosOnDemand, ratio_masses_by_name
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount
from perflour.tuples import NamedTuple
from perflour.typed import Any

# A Linear, or a float where nothing is uncertain.
Number = Any
PartKey = str
LineKey = tuple[str, int]


class Uncertain(NamedTuple):
    """A balance in numbers that know their spread, in percent of the basis or g.

    ``totals`` are those of the base, ``everything`` those of all parts; ``beside`` by folded name those
    of a part beside the base, and ``beside_basis_g`` what is 100 % in it.
    """

    percents: dict[LineKey, Number]
    masses: dict[LineKey, Number]
    totals: dict[str, Number]
    everything: dict[str, Number]
    beside: dict[PartKey, dict[str, Number]]
    beside_basis_g: dict[PartKey, Number]
    ratios: dict[str, Number]
    basis_g: Number
    batch_g: Number


def number_with(value: float, spread: float) -> Number:
    """A number of its own with its standard spread."""
    return Deviate(value, spread)


class Measures:
    """The shared variables: one standard deviate for each way of measuring an ingredient."""

    def __init__(self) -> None:
        self._deviates: dict[tuple[object, ...], Deviate] = {}

    def mass(self, weighed: Weighed, line_key: LineKey, side: str) -> Number:
        """The mass of a line as an uncertain number."""
        assert weighed.mass is not None
        if weighed.mass.spread_g == 0:
            return weighed.mass.grams
        return weighed.mass.grams + weighed.mass.spread_g * self.deviate(weighed, line_key, side)

    def deviate(self, weighed: Weighed, line_key: LineKey, side: str) -> Deviate:
        """What a line's measuring is off by, shared by all lines that are measured alike."""
        key = measuring_key(weighed, line_key, side)
        if key not in self._deviates:
            self._deviates[key] = Deviate(0.0, 1.0)
        return self._deviates[key]


def measuring_key(weighed: Weighed, line_key: LineKey, side: str) -> tuple[object, ...]:
    """What a line's measuring is shared by: two lines of one key are off together."""
    amount = weighed.line.amount.value
    assert isinstance(amount, Amount)
    # The width of a range is nobody's cup: it is shared with no other line.
    if any(term.is_range for term in amount.terms):
        return (side, *line_key)
    fillings = frozenset(term.filling for term in amount.terms if term.filling)
    return (weighed.name, amount.kinds, fold(weighed.state), fillings)


class UncertainBase(NamedTuple):
    """What all figures of a balance are made of, by its folded parts, in numbers that know their spread.

    ``basis`` is the flour of each part, ``basis_g`` that of the base; ``totals`` are the base's.
    """

    parts: dict[PartKey, PartBalance]
    masses: dict[LineKey, Number]
    basis: dict[PartKey, Number]
    basis_g: Number
    batch_g: Number
    totals: dict[str, Number]
    ratios: dict[str, Number]


def uncertain_base(balance: Balance, measures: Measures, side: str = "") -> UncertainBase:
    """Masses and ratios alone; a comparison asks for less: ``ratio_terms``."""
    parts = {fold(p.part.name): p for p in balance.parts}
    masses: dict[LineKey, Number] = {}
    part_masses: dict[PartKey, Number] = {}
    for name in inner_first(balance.formula)[0]:
        part_masses[name] = 0.0
        for at, weighed in enumerate(parts[name].lines):
            if weighed.mass is None:
                continue
            key = (name, at)
            masses[key] = (
                _part_line(weighed, parts, part_masses)
                if weighed.line.is_part
                else measures.mass(weighed, key, side)
            )
            part_masses[name] += masses[key]
    basis = {name: _basis(name, part, masses) for name, part in parts.items()}
    basis_g = sum(basis[name] * part.in_base for name, part in parts.items())
    batch_g = sum(part_masses[name] for name, part in parts.items() if not part.used_by_parts)
    totals = _totals(parts, masses, {n: p.in_base for n, p in parts.items()})
    found = _RatiosOnDemand(balance, totals, basis_g)
    return UncertainBase(parts, masses, basis, basis_g, batch_g, totals, found)


def uncertain(balance: Balance, measures: Measures, side: str = "") -> Uncertain:
    """Masses, percentages and ratios of a balance with their spreads."""
    base = uncertain_base(balance, measures, side)
    parts, masses, basis_g = base.parts, base.masses, base.basis_g
    everything = base.totals
    beside: dict[PartKey, dict[str, Number]] = {}
    beside_basis_g: dict[PartKey, Number] = {}
    if balance.beside:
        everything = _totals(parts, masses, {n: p.portion for n, p in parts.items()})
    for one in balance.beside:
        top = fold(one.part.part.name)
        beside[top] = _totals(parts, masses, portions_of(_inner_first(balance), frozenset((top,))))
        beside_basis_g[top] = sum(beside[top][name] for name in one.basis_items)
    percents = {
        key: 100 * masses[key] * share / of_g
        for name, part in parts.items()
        for share, of_g in [_of(part, base.basis[name], basis_g, beside_basis_g)]
        if value_of(of_g) > 0
        for key in ((name, at) for at in range(len(part.lines)))
        if key in masses
    }
    return Uncertain(
        percents, masses, base.totals, everything, beside, beside_basis_g, base.ratios, basis_g, base.batch_g
    )  # fmt: skip


def _inner_first(balance: Balance) -> dict[PartKey, PartBalance]:
    parts = {fold(p.part.name): p for p in balance.parts}
    return {name: parts[name] for name in inner_first(balance.formula)[0]}


def _of(
    part: PartBalance, own: Number, base_g: Number, beside_g: dict[PartKey, Number]
) -> tuple[float, Number]:
    """How much of a part counts, and what its percentages are of."""
    if part.own_basis:
        return 1.0, own
    if part.beside:
        return part.portion, beside_g[part.beside]
    return part.in_base or part.portion, base_g


def value_of(number: Number) -> float:
    """The value of an uncertain number, or of a plain one."""
    return float(number.nominal_value if isinstance(number, Linear) else number)


def spread_of(number: Number) -> float:
    """The standard spread of an uncertain number; 0 for a plain one."""
    return number.std_dev if isinstance(number, Linear) else 0.0


def _part_line(
    weighed: Weighed, parts: dict[str, PartBalance], part_masses: dict[str, Number]
) -> Number:
    inner = fold(weighed.line.name)
    whole_g = parts[inner].mass_g
    return part_masses[inner] * (weighed.grams / whole_g) if whole_g else weighed.grams


def _basis(name: PartKey, part: PartBalance, masses: dict[LineKey, Number]) -> Number:
    """What the flour of a part weighs, that of parts it uses left out."""
    keys = [(name, at) for at, w in enumerate(part.lines) if w.in_basis and not w.line.is_part]
    return sum([masses[key] for key in keys if key in masses])


def _totals(
    parts: dict[PartKey, PartBalance], masses: dict[LineKey, Number], shares: dict[PartKey, float]
) -> dict[str, Number]:
    """Mass of each ingredient by its name, of each part as much of it as is said."""
    totals: dict[str, Number] = {}
    for part_name, part in parts.items():
        share = min(shares[part_name], 1.0)
        for at, weighed in enumerate(part.lines if share else ()):
            key = (part_name, at)
            if key in masses and not weighed.line.is_part:
                totals[weighed.name] = totals.get(weighed.name, 0.0) + masses[key] * share
    return totals


class _RatiosOnDemand(dict[str, Number]):
    """Derived ratios, each worked out when it is first asked for: a comparison wants what moved."""

    def __init__(self, balance: Balance, totals: dict[str, Number], basis_g: Number) -> None:
        super().__init__()
        self.balance, self.totals, self.basis_g = balance, totals, basis_g
        self.plain = RatiosOnDemand(balance)
        self.masses = ratio_masses_by_name(balance.total)

    def __missing__(self, name: str) -> Number:
        if name == PREFERMENTED:
            self[name] = self.plain[name].percent
        else:
            mass_g = sum([self.totals[line.name] * share for line, share in self.masses(name)])
            self[name] = mass_g / self.basis_g * 100
        return self[name]
