"""Cream of tartar in earnest has baking soda or egg white to work on.

Without either the product tastes sour and stays flat; mostly the soda line was lost in copying. Egg
white counts, and so does a method that whips whites to peaks. A pinch, as in syrup, is left alone."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"most-percent": 0.6}


def check(context: Context) -> Iterator[Finding]:
    if not context.has_whole_basis:
        return
    tartar = next((t for t in context.balance.total if t.name == "cream of tartar"), None)
    if tartar is None:
        return
    names = {weighed.name for weighed in context.balance.lines}
    most = context.limits(RULE.id, PARAMETERS)["most-percent"]
    if (tartar.percent or 0.0) <= most:
        return
    if "baking soda" in names or any("egg white" in name for name in names) or _whips(context):
        return
    line = next(
        w.line for p in context.balance.parts for w in p.lines if w.name == "cream of tartar"
    )
    yield Finding(
        line.place,
        f"cream of tartar is {tartar.percent:.1f} % of {context.balance.of}, with no baking soda or egg white to use it; add the soda that may be missing, or cut it to {most:g} %",
        line.name,
    )


def _whips(context: Context) -> bool:
    """Whether the method takes whites from whole eggs."""
    texts = (
        text
        for step in context.formula.method
        for text in (step.do, *step.said.values(), *(use.name for use in step.uses))
    )
    return any("white" in text or "peak" in text for text in map(str.lower, texts))


RULE = Rule(
    id="acid-leaven-without-soda",
    level="warning",
    family="ratios",
    source="J. Smith and L. Hong-Shum (eds.), Food Additives Data Book, 2003: 2.24 parts cream of tartar to 1 part soda; the limit is a house choice",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
