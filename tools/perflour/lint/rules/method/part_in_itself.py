"""No part contains itself, directly or through others.

Its mass could not be worked out. A ripe starter carried on from day to day is an ingredient, not a
part of its own batch."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for name in context.balance.loops:
        part = context.formula.part(name)
        if part:
            yield Finding(
                part.place,
                f"the part '{name}' contains itself; take it out of the parts it uses",
                name,
            )


RULE = Rule(
    id="part-in-itself",
    level="error",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
