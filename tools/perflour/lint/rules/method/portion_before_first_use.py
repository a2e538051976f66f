"""The rest of an ingredient comes after a first portion of it.

"Rest of the milk" with no milk before it sends the reader back to look for a step that is not there.
A step that uses a whole part uses what is in it. "Half of" and "part of" can stand first."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.names import fold
from perflour.kitchen.quantity import REST
from perflour.lint.ask.method import names_by_step, portioned
from perflour.lint.ask.steps import lines_by_name
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    method = context.formula.method
    if not any(use.takes == REST for use in portioned(context)):
        return
    parts = {fold(part.name) for part in context.formula.parts}
    named = lines_by_name(context)
    used: set[str] = set()
    for step, names in zip(method, names_by_step(context), strict=True):
        for use, name in zip(step.uses, names, strict=True):
            said = fold(use.name)
            if use.takes == REST and name not in used and said not in used:
                yield Finding(
                    use.place,
                    f"'{use.said}', but no step before uses {use.name}; name the first portion where it is used",
                    use.name,
                )
            used.update((name, said))
            if said in parts:
                used.update([fold(weighed.name) for weighed in named[said]])


RULE = Rule(
    id="portion-before-first-use",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
