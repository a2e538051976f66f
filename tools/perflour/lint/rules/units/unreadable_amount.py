"""Amounts, temperatures and times must be readable.

A zero, a negative number, a forgotten unit or a word where a number should stand cannot be scaled,
compared or baked from. An amount that stands in the note, or that an import did not read, is told as
that."""

from __future__ import annotations

import re
from collections.abc import Iterator

from perflour.formula.formula import Reading
from perflour.lint.ask.method import problems
from perflour.lint.rule import Context, Finding, Rule
from perflour.typed import Any

# What an import writes where it read no amount.
NOT_STATED = "not stated"


def check(context: Context) -> Iterator[Finding]:
    for reading in problems(context):
        if reading.problem and reading.problem.kind == "unreadable":
            told = _not_stated(context, reading) if reading.text == NOT_STATED else ""
            yield Finding(reading.place, told or reading.problem.message)


def _not_stated(context: Context, reading: Reading[Any]) -> str:
    """What to do about an amount that an import wrote as not stated."""
    lines = (line for part in context.formula.parts for line in part.lines)
    line = next((line for line in lines if line.amount is reading), None)
    if line is None:
        return ""
    for said in (line.note, line.state):
        if amounts := re.findall(r"\d[\d.,/]*\s*[a-z]+\b", said):
            return f"the amount of {line.name} is not stated, but '{amounts[-1]}' stands beside it; write that as `amount`"
    return f"no amount of {line.name} was read; write what the recipe says, like `240 g`, `1 1/2 cup` or `4-5 cup`"


RULE = Rule(
    id="unreadable-amount",
    level="error",
    family="units",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
