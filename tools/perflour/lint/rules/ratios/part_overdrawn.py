"""No more of a part is used than is made.

The shares that other parts take add up to at most the whole."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for name, portion in context.balance.overdrawn:
        part = context.formula.part(name)
        if part:
            yield Finding(
                part.place,
                f"{portion:.0%} of '{name}' is used, but only 100% is made; make more or use less",
                name,
            )


RULE = Rule(
    id="part-overdrawn",
    level="error",
    family="ratios",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
