"""An approved formula is weighed.

A cup of flour may be off by a third (published weights run from 102 to 134 g). Spoons up to a
tablespoon and counted eggs are left alone."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import Amount
from perflour.lint.ask.steps import kinds
from perflour.lint.rule import Context, Finding, Rule

SMALL_ML = 15.0


def check(context: Context) -> Iterator[Finding]:
    if context.formula.status != "approved" or "volume" not in kinds(context):
        return
    for part in context.formula.parts:
        for line in part.lines:
            amount = line.amount.value
            if isinstance(amount, Amount) and any(
                t.unit.kind == "volume" and float(t.high) * t.unit.factor > SMALL_ML
                for t in amount.terms
            ):
                yield Finding(
                    line.amount.place,
                    f"{line.name} is measured by volume ('{line.amount.text}') in an approved formula; weigh it, or waive this rule with the reason",
                    line.name,
                )


RULE = Rule(
    id="volume-in-approved",
    level="warning",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
