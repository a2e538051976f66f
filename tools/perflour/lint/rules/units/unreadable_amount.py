"""Amounts, temperatures and times must be readable.

A zero, a negative number, a forgotten unit or a word where a number should stand cannot be scaled,
compared or baked from."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import problems
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for reading in problems(context):
        if reading.problem and reading.problem.kind == "unreadable":
            yield Finding(reading.place, reading.problem.message)


RULE = Rule(
    id="unreadable-amount",
    level="error",
    family="units",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
