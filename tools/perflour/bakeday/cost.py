"""What a batch costs: the total formula times the prices of the usual packs, exactly."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from perflour.bakeday.batches import Batch
from perflour.kitchen.prices import PriceList, main_name

NO_PRICE = "no price"


@dataclass(frozen=True)
class CostLine:
    """One ingredient of the total formula. ``cost`` None where ``reason`` says why."""

    item: str
    mass_g: float | None
    pack: str
    cost: Fraction | None
    reason: str = ""


@dataclass(frozen=True)
class Cost:
    """What is known of a batch's cost: without the items in ``missing`` it is more than that."""

    formula: str
    title: str
    factor: float
    batch_g: float
    pieces: int | None
    piece: str
    lines: tuple[CostLine, ...]

    @property
    def total(self) -> Fraction:
        return sum((line.cost for line in self.lines if line.cost is not None), Fraction(0))

    @property
    def missing(self) -> tuple[CostLine, ...]:
        return tuple(line for line in self.lines if line.cost is None)

    @property
    def per_piece(self) -> Fraction | None:
        return self.total / self.pieces if self.pieces else None

    def share_percent(self, line: CostLine) -> float | None:
        """A line's share of what is known, in percent."""
        if line.cost is None or not self.total:
            return None
        return float(line.cost / self.total * 100)


@dataclass(frozen=True)
class Costing:
    """The costs of several batches; ``before`` those without the what-if changes."""

    currency: str
    date: str
    path: str
    costs: tuple[Cost, ...]
    what_if: tuple[str, ...] = ()
    before: tuple[Cost, ...] = ()

    @property
    def total(self) -> Fraction:
        return sum((cost.total for cost in self.costs), Fraction(0))


def costing(
    batches: Sequence[Batch], now: PriceList, before: PriceList | None, changes: Sequence[str]
) -> Costing:
    """The costs of batches at the prices ``now``, and ``before`` them where something is changed."""
    return Costing(
        now.currency,
        now.date,
        now.path,
        tuple(cost(batch, now) for batch in batches),
        tuple(changes),
        tuple(cost(batch, before) for batch in batches) if before else (),
    )


def cost(batch: Batch, prices: PriceList) -> Cost:
    """What one batch costs by what goes into the bowl; missing prices are told, never guessed."""
    balance = batch.balance
    lines = [
        _line(line.name, line.mass_g * batch.factor, batch, prices) for line in balance.everything
    ]
    lines += [
        CostLine(weighed.line.name, None, "", None, "not weighed")
        for weighed in balance.unweighed
        if not weighed.line.is_part
    ]
    formula = balance.formula
    return Cost(
        formula.id,
        formula.title,
        batch.factor,
        balance.batch_g * batch.factor,
        batch.pieces,
        batch.piece,
        tuple(lines),
    )


def _line(item: str, mass_g: float, batch: Batch, prices: PriceList) -> CostLine:
    price = prices.find(main_name(item, batch.kitchen.catalogue))
    if price is None:
        return CostLine(item, mass_g, "", None, NO_PRICE)
    pack = price.usual
    return CostLine(item, mass_g, pack.size, Fraction(str(mass_g)) * pack.per_gram)
