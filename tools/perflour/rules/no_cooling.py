"""Something is said about cooling after the bake.

Crumb sets and moisture evens out as it cools; a loaf cut hot is gummy, a cake turned out hot breaks."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.rules.method import bakes, is_baked
from perflour.rules.rule import Context, Finding, Rule

COOLING = ("cool", "rest", "chill", "unmould", "turn out", "stand", "hold")


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    if not bakes(context) or not is_baked(context):
        return
    last = max(i for i, step in enumerate(steps) if step.bakes)
    if not any(any(word in step.do.lower() for word in COOLING) for step in steps[last + 1 :]):
        yield Finding(
            steps[last].place,
            "nothing is said about cooling after the bake; add a step like {do: cool, on: wire rack, for: 60 min}",
        )


RULE = Rule(
    id="no-cooling",
    level="note",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
