"""Every ingredient on the list is used in a step.

A forgotten ingredient is the commonest fault of a printed formula: the reader finds it on the table
when the cake is in the oven. What no `uses` names but a sentence of a note takes ("flavor with vanilla",
"everything bar the butter") is used; one that explains or weighs ("salt would slow the yeast") takes nothing.
A line that is no food is left to unknown-ingredient."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.formula import Line
from perflour.kitchen.names import fold
from perflour.lint.ask.method import names_by_part, used_names
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    if not context.formula.method:
        return
    used = used_names(context)
    for line, name in _unused(context, used):
        from perflour.lint.ask.no_food import why_no_food  # only where something is missing
        from perflour.lint.ask.taken import taken_by_words

        known = line.is_part or context.catalogue.find(line.name) is not None
        if name not in taken_by_words(context) and (known or not why_no_food(context, line.name)):
            yield Finding(
                line.place,
                f"{line.name} is listed but no step uses it; add it to the `uses` of a step",
                line.name,
            )


def _unused(context: Context, used: set[str]) -> Iterator[tuple[Line, str]]:
    """Every line that no `uses` names, with its main name."""
    for part, names in zip(context.formula.parts, names_by_part(context), strict=True):
        if used.issuperset(names) or fold(part.name) in used:
            continue  # a step that uses the whole part uses what is in it
        for line, name in zip(part.lines, names, strict=True):
            if name not in used:
                yield line, name


RULE = Rule(
    id="listed-never-used",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
