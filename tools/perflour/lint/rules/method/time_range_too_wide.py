"""The range of a baking time is narrow enough to go by.

"20-40 min" tells nobody when to look. Flagged where the upper end is more than one and a half times the
lower; the sign of doneness does the rest."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"ratio-most": 1.5}


def check(context: Context) -> Iterator[Finding]:
    most = context.limits(RULE.id, PARAMETERS)["ratio-most"]
    for step in bakes(context):
        time = step.time.value if step.time else None
        if time and step.time and time.high_min > time.low_min * most + 1e-9:
            yield Finding(
                step.time.place,
                f"'{step.time.text}' is a wide range, its end more than {most:g} times its start; bake again and narrow it",
            )


RULE = Rule(
    id="time-range-too-wide",
    level="note",
    family="method",
    source="house choice",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
    house_only=True,
)
