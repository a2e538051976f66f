"""A bake step gives a sign of doneness besides the time.

Ovens differ. A colour, a skewer or a core temperature holds in all of them. Core temperatures are
quality figures; where egg or another food needs a safe temperature, the local food code decides. A sign that stands in
the note ("centre 96 °C"), or in the step that tests the cake, is one."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    for step in bakes(context):
        if step.core is not None or step.text("until").strip():
            continue
        from perflour.lint.ask.said import sign_told  # only where something is missing

        if not sign_told(steps, steps.index(step)):
            yield Finding(
                step.place, f"the step '{step.do}' has no sign of doneness; add `until` or `core`"
            )


RULE = Rule(
    id="no-doneness-sign",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
