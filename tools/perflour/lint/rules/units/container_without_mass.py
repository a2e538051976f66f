"""A can, jar or packet says what it holds.

Cans and packets differ by maker and country, also where the catalogue has a figure for one. A packet
of yeast is the same everywhere (7 g) and a container that the house's own ingredients.yaml weighs is
known, so both are let be; one that has no mass at all is told by unweighable-amount."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.quantity import Amount
from perflour.lint.ask.steps import kinds
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    if "container" not in kinds(context):
        return
    for part in context.balance.parts:
        for weighed in part.lines:
            amount = weighed.line.amount
            value = amount.value
            if weighed.mass is None or weighed.group == "yeast" or not isinstance(value, Amount):
                continue
            name = next((t.unit.name for t in value.terms if t.unit.kind == "container"), None)
            if name is None or value.content or value.drained:
                continue
            measures = weighed.ingredient.measures if weighed.ingredient else ()
            known = [m for m in measures if m.per == name]
            if known and not any(m.settled for m in known):
                yield Finding(
                    amount.place,
                    f"'{amount.text}' of {weighed.line.name} does not say what one holds; write it, like `1 {name} {known[0].grams:g} g` (the catalogue's figure)",
                    weighed.line.name,
                )


RULE = Rule(
    id="container-without-mass",
    level="warning",
    family="units",
    source="house choice; the packet of yeast: USDA SR28, NDB 18375, 7.2 g",
    text=__doc__ or "",
    check=check,
)
