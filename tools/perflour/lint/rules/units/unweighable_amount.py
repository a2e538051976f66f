"""An amount that cannot be turned into grams is said, never counted as zero.

The batch mass and every ratio are too low by what the line would weigh."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for weighed in context.balance.unweighed:
        reason = weighed.reason
        if weighed.ingredient and reason and not reason.wrong_dimension:
            amount = weighed.line.amount
            yield Finding(amount.place, f"'{amount.text}': {reason.reason}", weighed.line.name)


RULE = Rule(
    id="unweighable-amount",
    level="warning",
    family="units",
    source="the household measures of the catalogue",
    text=__doc__ or "",
    check=check,
)
