"""An adapted formula says where it comes from.

Readers and editors are owed the source; the lawyers too."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    if context.formula.origin == "adapted" and not context.formula.citation:
        yield Finding(
            context.formula.place("origin"), "adapted, but no `citation` says from what; add one"
        )


RULE = Rule(
    id="adapted-without-citation",
    level="warning",
    family="house format",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
