"""A bake step gives its oven temperature."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for step in bakes(context):
        if step.at is None:
            yield Finding(
                step.place, f"the step '{step.do}' has no temperature; add `at`, like `at: 175 °C`"
            )


RULE = Rule(
    id="bake-without-temperature",
    level="error",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
