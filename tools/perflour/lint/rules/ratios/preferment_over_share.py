"""Prefermented flour is at most half of all flour.

Beyond that dough gets slack and sour, and often the preferment was counted twice or its amount was
taken from a bigger batch. Flour of parts with kind preferment counts; a bought `sourdough starter`
does not. Doughs that are meant to be all preferment waive the rule."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"most-percent": 50.0}


def check(context: Context) -> Iterator[Finding]:
    if not context.has_whole_basis:
        return
    share = context.ratios["prefermented-flour"].percent
    most = context.limits(RULE.id, PARAMETERS)["most-percent"]
    if round(share, 2) > most:
        first = next(p for p in context.formula.parts if p.kind == "preferment")
        yield Finding(
            first.place,
            f"{share:.1f} % of the flour is prefermented, more than {most:g} %; check the size of the preferment, or waive this rule if it is meant",
            first.name,
        )


RULE = Rule(
    id="preferment-over-share",
    level="warning",
    family="ratios",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
