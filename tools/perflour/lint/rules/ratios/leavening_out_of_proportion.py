"""Chemical leavening is in proportion to the flour.

Too much tastes soapy and makes the crumb rise and fall; a trace does nothing. Baking powder is
flagged above 7.4 % of flour, soda above 2.2 %, and both together, soda counted three times, under
0.5 %."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule

# Percent of flour; powder-per-soda: grams of powder that a gram of soda replaces.
PARAMETERS = {"powder-most": 7.4, "soda-most": 2.2, "both-least": 0.5, "powder-per-soda": 3.0}


def check(context: Context) -> Iterator[Finding]:
    if context.balance.basis_g <= 0 or not context.balance.basis_is_whole:
        return
    limits = context.limits(RULE.id, PARAMETERS)
    powder = context.ratios["baking-powder"].percent
    soda = context.ratios["baking-soda"].percent
    if powder > (most := limits["powder-most"]):
        yield Finding(
            context.formula.place("parts"),
            f"baking powder is {powder:.1f} % of flour; more than {most:g} % (2 tsp a cup is 7.4 %) is rarely right",
        )
    if soda > (most := limits["soda-most"]):
        yield Finding(
            context.formula.place("parts"),
            f"baking soda is {soda:.2f} % of flour; more than {most:g} % is rarely right",
        )
    if 0 < powder + limits["powder-per-soda"] * soda < limits["both-least"]:
        yield Finding(
            context.formula.place("parts"),
            f"baking powder {powder:.2f} % and soda {soda:.2f} % of flour are too little to lift anything; check the amount",
        )


RULE = Rule(
    id="leavening-out-of-proportion",
    level="warning",
    family="ratios",
    source="common practice, no source: 1 to 1 1/2 tsp baking powder per cup of flour (3.7 to 5.5 %), flagged at 2 tsp (7.4 %); soda replaces about 3 times its mass of powder",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
