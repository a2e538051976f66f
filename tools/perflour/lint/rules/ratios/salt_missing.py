"""A baked flour product has some salt.

Salt in salted butter or self-rising flour counts. A sweet without any tastes flat; often the line was
lost in copying."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import is_baked
from perflour.lint.ask.steps import groups
from perflour.lint.rule import Context, Finding, Rule

SALTED = ("salted butter", "self-rising flour")


def check(context: Context) -> Iterator[Finding]:
    if "salt" in groups(context) or not is_baked(context) or context.balance.basis_g <= 0:
        return
    if not any(w.name in SALTED for w in context.balance.lines):
        yield Finding(
            context.formula.place("parts"),
            "no salt in any part; add it, or waive this rule if it is meant",
        )


RULE = Rule(
    id="salt-missing",
    level="note",
    family="ratios",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
