"""A cake with more sugar than flour has as much egg and liquid as sugar.

Sugar needs water to dissolve; short of it the crust is hard and spotted and the cake falls. Water in
fruit and purees counts as liquid. Only classes with the word cake in their id are judged; pound, crumb
and loaf cakes have balances of their own. Nothing is said where something wet cannot be weighed."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import balances_as_cake
from perflour.lint.rule import Context, Finding, Rule

# Percent of flour from which a cake counts as one of high sugar.
PARAMETERS = {"sugar-from": 100.0}


def check(context: Context) -> Iterator[Finding]:
    if not balances_as_cake(context) or context.balance.basis_g <= 0 or context.formula.basis:
        return
    wet = [context.ratios["egg"], context.ratios["liquid"]]
    sugar = context.ratios["sugar"].percent
    if any(ratio.lacking for ratio in wet) or not context.balance.basis_is_whole:
        return
    fruit = sum(
        (line.percent or 0.0) * line.ingredient.composition.get("water", 0.0) / 100
        for line in context.balance.total
        if line.ingredient and line.ingredient.group == "fruit"
    )
    liquid = sum(ratio.percent for ratio in wet) + fruit
    if sugar > context.limits(RULE.id, PARAMETERS)["sugar-from"] and liquid < sugar - 0.5:
        yield Finding(
            context.formula.place("parts"),
            f"egg and liquid together are {liquid:.1f} % of {context.balance.of}, less than the sugar at {sugar:.1f} %; add milk or egg, or cut the sugar",
        )


RULE = Rule(
    id="sugar-over-liquid",
    level="note",
    family="ratios",
    source="Cake Balancing Guidelines, teaching handout of one page, undated: high-ratio cake, eggs and liquid weigh at least the sugar",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
