"""A part used as an ingredient is made in the same formula.

Its name must be that of one of the parts."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    for part in formula.parts:
        for line in part.lines:
            if line.is_part and formula.part(line.name) is None:
                known = ", ".join(p.name for p in formula.parts)
                yield Finding(
                    line.place, f"there is no part '{line.name}'; the parts are {known}", line.name
                )


RULE = Rule(
    id="unknown-part",
    level="error",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
