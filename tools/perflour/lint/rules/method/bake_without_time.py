"""A bake step gives its time.

A sign of doneness tells when it is done, the time tells when to start looking."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for step in bakes(context):
        if step.time is None:
            yield Finding(
                step.place, f"the step '{step.do}' has no time; add `for`, like `for: 45-50 min`"
            )


RULE = Rule(
    id="bake-without-time",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
