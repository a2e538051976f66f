"""Pieces times scaling weight agree with the batch mass.

The tolerance is the house's `yield-tolerance`; scraping losses are a per cent or two."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import Amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    yields = context.formula.yields
    if yields is None or yields.scaling_weight is None or context.balance.unweighed:
        return
    amount = yields.scaling_weight.value
    weight = weigh(amount, None, "") if isinstance(amount, Amount) else None
    batch_g = context.balance.batch_g
    if not isinstance(weight, Mass) or batch_g <= 0:
        return
    wanted_g = yields.pieces * weight.grams
    off = (wanted_g - batch_g) / batch_g * 100
    if abs(off) > context.house.yield_tolerance_percent:
        message = f"{yields.pieces} x {yields.scaling_weight.text} is {wanted_g:,.0f} g, but the batch weighs {batch_g:,.0f} g ({off:+.1f} %); change pieces, scaling weight or batch"
        yield Finding(yields.place, message)


RULE = Rule(
    id="yield-off-batch",
    level="warning",
    family="ratios",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
