"""A bake step gives a sign of doneness besides the time.

Ovens differ. A colour, a skewer or a core temperature holds in all of them. Core temperatures are
quality figures; where egg or another food needs a safe temperature, the local food code decides."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for step in bakes(context):
        if step.core is None and not step.text("until").strip():
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
)
