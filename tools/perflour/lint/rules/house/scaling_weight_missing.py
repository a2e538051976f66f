"""The yield of an approved formula gives the scaling weight.

Pieces alone do not say how big each one is, and the batch cannot be checked against them."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    yields = context.formula.yields
    if context.formula.status != "approved" or yields is None or yields.scaling_weight:
        return
    each = context.balance.mass_per_piece_g
    hint = f" (the batch gives {each:,.0f} g a piece)" if each else ""
    yield Finding(
        yields.place,
        f"the yield of an approved formula has no scaling weight{hint}; add `scaling-weight`",
    )


RULE = Rule(
    id="scaling-weight-missing",
    level="note",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
