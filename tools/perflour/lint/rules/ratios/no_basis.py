"""A formula has flour, or names its own basis.

Without a 100 % there are no baker's percentages. A flourless or gluten-free formula says what
stands for flour with `basis`."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import listed_names, main_name
from perflour.lint.rule import Context, Finding, Rule

NO_FLOUR = "no flour to take percentages of; add `basis` with the items that are 100 %"


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    for name in formula.basis:
        if main_name(context, name) not in listed_names(context):
            yield Finding(
                formula.place("basis"),
                f"the basis names '{name}', which is not an ingredient here; name one that is",
                name,
            )
    if context.balance.basis_g > 0 or formula.basis or not context.balance.basis_is_whole:
        return
    if all(w.ingredient for w in context.balance.lines):
        yield Finding(
            formula.place("parts"),
            NO_FLOUR,
        )


RULE = Rule(
    id="no-basis",
    level="error",
    family="ratios",
    source="common practice, no source: baker's percentages are percent of flour",
    text=__doc__ or "",
    check=check,
)
