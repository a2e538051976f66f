"""An approved formula has no pinches of what matters.

Published values of a pinch run from 1/24 to 1/8 teaspoon. For salt, leavening or yeast that is a
threefold difference; spices and flavourings are to taste and are let be."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import Amount
from perflour.lint.ask.steps import kinds
from perflour.lint.rule import Context, Finding, Rule

TO_TASTE = ("spice", "flavouring")


def check(context: Context) -> Iterator[Finding]:
    if context.formula.status != "approved" or "pinch" not in kinds(context):
        return
    for part in context.balance.parts:
        for weighed in part.lines:
            amount = weighed.line.amount
            if (
                isinstance(amount.value, Amount)
                and "pinch" in amount.value.kinds
                and weighed.group not in TO_TASTE
            ):
                yield Finding(
                    amount.place,
                    f"'{amount.text}' of {weighed.line.name} in an approved formula; weigh it, or write it in teaspoons",
                    weighed.line.name,
                )


RULE = Rule(
    id="pinch-in-approved",
    level="warning",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
