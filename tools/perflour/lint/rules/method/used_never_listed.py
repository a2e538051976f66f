"""Every name that a step uses is on the list.

Grease, dusting flour and the water in empty cups are forgotten on the shopping list when only the
method knows of them."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import known_names, names_by_step
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    known = known_names(context)
    for step, names in zip(context.formula.method, names_by_step(context), strict=True):
        if known.issuperset(names):
            continue
        for use, name in zip(step.uses, names, strict=True):
            if name not in known:
                yield Finding(
                    use.place,
                    f"the step '{step.do}' uses {use.name}, which is not listed; list it with its amount",
                    use.name,
                )


RULE = Rule(
    id="used-never-listed",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
