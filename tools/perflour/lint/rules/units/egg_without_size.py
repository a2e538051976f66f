"""Counted eggs have a size.

A small US egg holds 38 g without shell, a jumbo one 63 g: in a cake of four eggs that is 100 g of
liquid. A mass needs no size. Whites and yolks that are counted are asked too; a hundred
and more are taken for a mass that has lost its unit."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import Amount
from perflour.lint.ask.steps import groups, kinds
from perflour.lint.rule import Context, Finding, Rule

#: More eggs than anyone counts out.
MANY = 100


def check(context: Context) -> Iterator[Finding]:
    if "egg" not in groups(context) or "count" not in kinds(context):
        return
    for part in context.balance.parts:
        for weighed in part.lines:
            amount = weighed.line.amount
            if (
                weighed.group == "egg"
                and isinstance(amount.value, Amount)
                and any(term.unit.name == "each" for term in amount.value.terms)
            ):
                count = float(amount.value.terms[0].mean)
                yield Finding(
                    amount.place,
                    f"{count:g} of {weighed.line.name} has no unit; write it, like `{count:g} g`"
                    if count >= MANY
                    else f"'{amount.text}' of {weighed.line.name} has no size; write it like `2 large`, or weigh it",
                    weighed.line.name,
                )


RULE = Rule(
    id="egg-without-size",
    level="warning",
    family="units",
    source="USDA SR28, egg, whole, raw: small 38 g, medium 44 g, large 50 g, extra large 56 g, jumbo 63 g",
    text=__doc__ or "",
    check=check,
)
