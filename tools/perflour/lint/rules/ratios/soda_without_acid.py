"""Baking soda needs something acid to work against.

Buttermilk, sour cream, treacle, brown sugar, honey, natural cocoa, fruit or cream of tartar. Without
one the soda stays as washing soda: yellow, soapy and flat. The acid of baking powder is spent on its
own soda and does not count."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    lines = context.balance.lines
    soda = [weighed for weighed in lines if weighed.name == "baking soda"]
    if not soda or any(w.ingredient and w.ingredient.reacts == "acid" for w in lines):
        return
    for weighed in soda:
        yield Finding(
            weighed.line.place,
            "baking soda, but no acid ingredient for it to work against; add one, or use baking powder",
            weighed.line.name,
        )


RULE = Rule(
    id="soda-without-acid",
    level="warning",
    family="ratios",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
