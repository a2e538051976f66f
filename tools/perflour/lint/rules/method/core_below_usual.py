"""The core temperature of a bread or cake is where its crumb is set.

Bread and cakes are usually done between 88 and 100 °C. This is a figure of quality, not of food safety:
for that the local food code decides. Rolls, cookies, pies, cheesecakes, custards and the like are done
lower and are let be where the title or the class says so."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.ask.steps import words
from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"celsius-least": 88.0}
DONE_LOWER = frozenset((
    "roll", "rolls", "bun", "buns", "cookie", "cookies", "pie", "pies", "tart", "tarts", "cheesecake",
    "custard", "flan", "quiche", "pudding", "meringue", "meringues", "molten",
))  # fmt: skip


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    if DONE_LOWER & set(words(f"{formula.title} {formula.product_class}")):
        return
    least = context.limits(RULE.id, PARAMETERS)["celsius-least"]
    for step in bakes(context):
        core = step.core.value if step.core else None
        if core and step.core and core.high_celsius < least - 0.5:
            yield Finding(
                step.core.place,
                f"a core of '{step.core.text}' is below {least:g} °C, where the crumb of bread and cakes is usually set; check it (quality, not food safety)",
            )


RULE = Rule(
    id="core-below-usual",
    level="warning",
    family="method",
    source="common practice, no source: bread from 190 °F (88 °C), quick bread 200 °F, cakes 205 to 210 °F, soft rolls 180 to 190 °F",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
