"""The oven is heated before anything goes into it.

A cold oven gives other volume and crust than the one the times were taken in."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.rules.method import heats_oven, is_baked
from perflour.rules.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    if not is_baked(context):
        return
    steps = context.formula.method
    for at, step in enumerate(steps):
        if step.bakes:
            if not any(heats_oven(earlier) for earlier in steps[:at]):
                yield Finding(
                    step.place,
                    "nothing before this step heats the oven; add a step like {do: preheat, to: 175 °C}",
                )
            return


RULE = Rule(
    id="oven-not-preheated",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
