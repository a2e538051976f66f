"""Salt is not twice what anyone wants.

A line doubled, or tsp read as tbsp. Flagged above 3.5 % of the basis where it is above 0.8 % of the
whole batch too: a brownie has so little flour that its salt looks large. Salt in butter and brine for
boiling are not told apart; unbaked classes are left alone."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import is_baked
from perflour.lint.rule import Context, Finding, Rule

# Percent of the basis, and of the whole batch.
PARAMETERS = {"most-percent": 3.5, "most-batch-percent": 0.8}


def check(context: Context) -> Iterator[Finding]:
    balance = context.balance
    if not is_baked(context) or not context.has_whole_basis:
        return
    limits = context.limits(RULE.id, PARAMETERS)
    salt = context.ratios["salt"].percent
    of_batch = salt * balance.basis_g / balance.batch_g
    if salt > limits["most-percent"] and (of_batch > limits["most-batch-percent"]):
        yield Finding(
            context.formula.place("parts"),
            f"salt is {salt:.1f} % of {balance.of}, more than {limits['most-percent']:g} %; it looks doubled, check the amount and its unit",
        )


RULE = Rule(
    id="salt-out-of-proportion",
    level="warning",
    family="ratios",
    source="common practice, no source: 1.5 to 3 % of flour; the limits are a house choice",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
