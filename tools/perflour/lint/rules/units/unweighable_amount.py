"""An amount that cannot be turned into grams is said, never counted as zero.

The batch mass and every ratio are too low by what the line would weigh. A number without a unit counts
pieces; of flour, butter or salt nobody counts pieces, and its unit is asked for."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.parts import Weighed
from perflour.kitchen.quantity import Amount
from perflour.lint.rule import Context, Finding, Rule

# Groups of what is weighed or measured, never counted.
POURED = frozenset(("flour", "starch", "sugar", "syrup", "salt", "fat", "oil", "dairy", "liquid", "leavening", "yeast", "chocolate"))  # fmt: skip
#: More pieces than anyone counts out.
MANY = 100


def check(context: Context) -> Iterator[Finding]:
    for weighed in context.balance.unweighed:
        reason = weighed.reason
        if weighed.ingredient and reason and not reason.wrong_dimension:
            amount = weighed.line.amount
            said = _without_unit(weighed) or f"'{amount.text}': {reason.reason}"
            yield Finding(amount.place, said, weighed.line.name)


def _without_unit(weighed: Weighed) -> str:
    """What to say of a number of what nobody counts; empty for what comes in pieces."""
    value = weighed.line.amount.value
    if not isinstance(value, Amount) or [term.unit.name for term in value.terms] != ["each"]:
        return ""
    count = float(value.terms[0].mean)
    if weighed.group not in POURED and count < MANY:
        return ""
    return f"{count:g} of {weighed.line.name} has no unit; write it, like `{count:g} g`"


RULE = Rule(
    id="unweighable-amount",
    level="warning",
    family="units",
    source="the household measures of the catalogue",
    text=__doc__ or "",
    check=check,
)
