"""A part that is made is used: by another part or by a step.

A topping that no step puts on stays in the bowl."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.names import fold
from perflour.lint.ask.method import used_names
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    parts = context.balance.parts
    if not context.formula.method or sum(not p.used_by_parts for p in parts) < 2:
        return
    used = used_names(context)
    # The first part need not be named: the steps work on it until another comes in.
    for balanced in parts[1:]:
        name = balanced.part.name
        if not balanced.used_by_parts and fold(name) not in used:
            yield Finding(
                balanced.part.place,
                f"the part '{name}' is made but no step or part uses it; add it to the `uses` of a step",
                name,
            )


RULE = Rule(
    id="part-never-used",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
