"""Two parts never share a name.

Steps and other parts could not say which one they use."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.kitchen.names import fold
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    seen: set[str] = set()
    for part in context.formula.parts:
        if fold(part.name) in seen:
            yield Finding(
                part.place,
                f"a second part is called '{part.name}'; give each its own name",
                part.name,
            )
        seen.add(fold(part.name))


RULE = Rule(
    id="part-named-twice",
    level="error",
    family="house format",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
