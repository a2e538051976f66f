"""A bake step gives its oven temperature.

Or an earlier step does, that heats the oven to it, or the note. A figure in the note without a scale
("bake 175") is told as one."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    for step in bakes(context):
        if step.at is not None:
            continue
        from perflour.lint.ask.said import bare_degrees, degrees_known  # only where one is missing

        if bare := bare_degrees(step):
            yield Finding(
                step.place,
                f"'{bare}' in the note of the step '{step.do}' has no scale; write it as `at`, like `at: {bare} °C`",
            )
        elif not degrees_known(steps, steps.index(step)):
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
