"""A range runs from the smaller to the larger number.

"50-45 min" is a slip of the pen. `--fix` puts the smaller number first; look whether a digit is missing,
"10-5" for "10-15"."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import problems
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for reading in problems(context):
        if reading.problem and reading.problem.kind == "upside-down":
            yield Finding(reading.place, reading.problem.message)


RULE = Rule(
    id="range-upside-down",
    level="error",
    family="units",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
