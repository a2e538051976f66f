"""A mass that is only an estimate is said to be one.

A state that nobody has weighed by the cup is taken as plain or as a state that is near, a heaped spoon as
so many level ones, a drained can as a share of its content. The spread is widened in each; a mass on the
scale settles it. Limits: what a word means is read from kitchen/states.py, other words of a state
that may change a cup are told as well."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for weighed in context.balance.lines:
        if weighed.mass is not None and weighed.mass.doubt:
            amount = weighed.line.amount
            yield Finding(
                amount.place,
                f"'{amount.text}' of {weighed.line.name}: {weighed.mass.doubt}",
                weighed.line.name,
            )


RULE = Rule(
    id="estimated-mass",
    level="warning",
    family="units",
    source="the household measures of the catalogue; how a measure is filled: common practice, no source",
    text=__doc__ or "",
    check=check,
)
