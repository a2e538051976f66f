"""A unit must be one that is known.

An unknown unit cannot be turned into grams; a near spelling is suggested, never assumed."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import problems
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for reading in problems(context):
        if reading.problem and reading.problem.kind == "unknown-unit":
            yield Finding(reading.place, reading.problem.message)


RULE = Rule(
    id="unknown-unit",
    level="error",
    family="units",
    source="house choice: the units of data/units.json",
    text=__doc__ or "",
    check=check,
)
