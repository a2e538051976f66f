"""A bake is at a temperature that ovens are used at.

375 °C is a Fahrenheit number with the wrong letter. Flagged under 90 °C and above 300 °C; a house with a
pizza oven sets celsius-most higher."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"celsius-least": 90.0, "celsius-most": 300.0}


def check(context: Context) -> Iterator[Finding]:
    limits = context.limits(RULE.id, PARAMETERS)
    least, most = limits["celsius-least"], limits["celsius-most"]
    for step in bakes(context):
        at = step.at.value if step.at else None
        if at and step.at and not (least <= at.low_celsius and at.high_celsius <= most):
            yield Finding(
                step.at.place,
                f"'{step.at.text}' is outside {least:g} to {most:g} °C, where nearly everything is baked; check the number and its scale",
            )


RULE = Rule(
    id="bake-temperature-implausible",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
