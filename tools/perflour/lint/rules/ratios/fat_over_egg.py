"""A cake does not carry far more fat than egg.

Fat shortens and egg holds; with the fat well over the egg the crumb is greasy and falls apart. The
teaching rule makes them equal, so 1.5 times is generous. Pound, crumb and loaf cakes have balances of
their own and are left alone, and so are cakes without egg."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import balances_as_cake
from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"most-ratio": 1.5}


def check(context: Context) -> Iterator[Finding]:
    if not balances_as_cake(context) or context.balance.basis_g <= 0:
        return
    fat, egg = context.ratios["fat"], context.ratios["egg"]
    most = context.limits(RULE.id, PARAMETERS)["most-ratio"]
    if egg.percent > 0 and not egg.lacking and fat.percent > most * egg.percent:
        yield Finding(
            context.formula.place("parts"),
            f"fat is {fat.percent / egg.percent:.1f} times the egg, more than {most:g}; cut the fat, add egg, or check both amounts",
        )


RULE = Rule(
    id="fat-over-egg",
    level="note",
    family="ratios",
    source="Cake Balancing Guidelines, teaching handout of one page, undated: butter cake, eggs weigh as much as the fat; 1.5 is a house choice",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
