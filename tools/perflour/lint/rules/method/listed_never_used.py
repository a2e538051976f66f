"""Every ingredient on the list is used in a step.

A forgotten ingredient is the commonest fault of a printed formula: the reader finds it on the table
when the cake is in the oven."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.names import fold
from perflour.lint.ask.method import names_by_part, used_names
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    if not context.formula.method:
        return
    used = used_names(context)
    for part, names in zip(context.formula.parts, names_by_part(context), strict=True):
        if used.issuperset(names) or fold(part.name) in used:
            continue  # a step that uses the whole part uses what is in it
        for line, name in zip(part.lines, names, strict=True):
            if name not in used:
                yield Finding(
                    line.place,
                    f"{line.name} is listed but no step uses it; add it to the `uses` of a step",
                    line.name,
                )


RULE = Rule(
    id="listed-never-used",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
