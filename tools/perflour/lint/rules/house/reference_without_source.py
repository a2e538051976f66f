"""A reference says whose formula it is.

A formula of status `reference` is somebody else's, kept as it is to compare with. Author, work and year
stand in `citation`, so that it can be looked up and is never taken for the house's own; `origin: own`
contradicts the status. A house formula that is set to `reference` is asked the same."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.formula import REFERENCE
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    if formula.status != REFERENCE:
        return
    if not formula.citation.strip():
        yield Finding(
            formula.place("status"),
            "a reference, but no `citation` says whose it is; add author, work and year",
        )
    if formula.origin == "own":
        yield Finding(
            formula.place("origin"),
            "a reference is somebody else's, yet `origin` is own; take `origin` away, or set the status to draft",
        )


RULE = Rule(
    id="reference-without-source",
    level="error",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
)
