"""A formula in testing or approved says how many pieces it makes.

Without `yield` nobody can scale it to pieces or check the batch against the pans. In testing, a method
that counts its pans (`into: 1 loaf pan`) and an unbaked class (icing, filling) say enough."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import is_baked
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    if formula.yields is not None or formula.status not in ("testing", "approved"):
        return
    if formula.status == "testing" and (not is_baked(context) or _counts_pans(context)):
        return
    yield Finding(
        formula.place("status"),
        f"{formula.status}, but no `yield`; add one, like yield: {{pieces: 12, piece: square, scaling-weight: 85 g}}",
    )


def _counts_pans(context: Context) -> bool:
    return any(step.text("into")[:1].isdigit() for step in context.formula.method)


RULE = Rule(
    id="yield-missing",
    level="warning",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
