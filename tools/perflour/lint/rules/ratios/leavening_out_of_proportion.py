"""Chemical leavening is in proportion to the flour.

Too much tastes soapy and makes the crumb rise and fall; a trace does nothing. Baking powder is
flagged above 7.4 % of the base's flour, soda above 2.2 %, and both together where they give off less than
0.06 g of carbon dioxide for 100 g of it, which is what 0.5 % of powder gives."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule

# Percent of flour; gas-least: carbon dioxide.
PARAMETERS = {"powder-most": 7.4, "soda-most": 2.2, "gas-least": 0.06}


def check(context: Context) -> Iterator[Finding]:
    if not context.has_whole_basis:
        return
    limits = context.limits(RULE.id, PARAMETERS)
    powder = context.ratios["baking-powder"].percent
    soda = context.ratios["baking-soda"].percent
    gas, balance = context.ratios["leavening-gas"], context.balance
    if powder > (most := limits["powder-most"]):
        yield Finding(
            context.formula.place("parts"),
            f"baking powder is {powder:.1f} % of {balance.of}; more than {most:g} % (2 tsp a cup is 7.4 %) is rarely right",
        )
    if soda > (most := limits["soda-most"]):
        yield Finding(
            context.formula.place("parts"),
            f"baking soda is {soda:.2f} % of {balance.of}; more than {most:g} % is rarely right",
        )
    if 0 < gas.percent < limits["gas-least"] and not gas.lacking:
        yield Finding(
            context.formula.place("parts"),
            f"baking powder {powder:.2f} % and soda {soda:.2f} % of {balance.of} give off {gas.percent:.2g} g of carbon dioxide for 100 g of it, too little to lift anything; check the amount",
        )


RULE = Rule(
    id="leavening-out-of-proportion",
    level="warning",
    family="ratios",
    source="common practice, no source: 1 to 1 1/2 tsp baking powder per cup of flour (3.7 to 5.5 %), flagged at 2 tsp (7.4 %); carbon dioxide of powder at least 12 %, US Department of Agriculture, Definitions and Standards for Food Products, 1936 (from memory), of soda computed by stoichiometry",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
