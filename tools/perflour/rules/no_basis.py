"""A formula has flour, or names its own basis.

Without a 100 % there are no baker's percentages. A flourless or gluten-free formula says what
stands for flour with `basis`."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula import fold
from perflour.rules.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    formula, catalogue = context.formula, context.catalogue
    listed = {fold(line.name) for part in formula.parts for line in part.lines}
    listed |= {fold(i.name) for name in listed if (i := catalogue.find(name))}
    for name in formula.basis:
        known = catalogue.find(name)
        if fold(known.name if known else name) not in listed:
            yield Finding(
                formula.place("basis"),
                f"the basis names '{name}', which is not an ingredient here; name one that is",
                name,
            )
    unknown = any(w.ingredient is None for p in context.balance.parts for w in p.lines)
    if (
        context.balance.basis_g <= 0
        and not formula.basis
        and not unknown
        and context.balance.basis_is_whole
    ):
        yield Finding(
            formula.place("parts"),
            "no flour to take percentages of; add `basis` with the items that are 100 %",
        )


RULE = Rule(
    id="no-basis",
    level="error",
    family="ratios",
    source="common practice, no source: baker's percentages are percent of flour",
    text=__doc__ or "",
    check=check,
)
