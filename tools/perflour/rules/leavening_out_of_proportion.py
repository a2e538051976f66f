"""Chemical leavening is in proportion to the flour.

Too much tastes soapy and makes the crumb rise and fall; a trace does nothing. Baking powder is
flagged above 7.4 % of flour, soda above 2.2 %, and both together, soda counted three times, under
0.5 %."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.rules.rule import Context, Finding, Rule

POWDER_HIGH_PERCENT = 7.4
SODA_HIGH_PERCENT = 2.2
TOGETHER_LOW_PERCENT = 0.5
POWDER_PER_SODA = 3.0


def check(context: Context) -> Iterator[Finding]:
    if context.balance.basis_g <= 0 or not context.balance.basis_is_whole:
        return
    powder = context.ratios["baking-powder"].percent
    soda = context.ratios["baking-soda"].percent
    place = context.formula.place("parts")
    if powder > POWDER_HIGH_PERCENT:
        yield Finding(
            place,
            f"baking powder is {powder:.1f} % of flour; more than {POWDER_HIGH_PERCENT} % (2 tsp a cup) is rarely right",
        )
    if soda > SODA_HIGH_PERCENT:
        yield Finding(
            place,
            f"baking soda is {soda:.2f} % of flour; more than {SODA_HIGH_PERCENT} % is rarely right",
        )
    if 0 < powder + POWDER_PER_SODA * soda < TOGETHER_LOW_PERCENT:
        yield Finding(
            place,
            f"baking powder {powder:.2f} % and soda {soda:.2f} % of flour are too little to lift anything; check the amount",
        )


RULE = Rule(
    id="leavening-out-of-proportion",
    level="warning",
    family="ratios",
    source="common practice, no source: 1 to 1 1/2 tsp baking powder per cup of flour (3.7 to 5.5 %), flagged at 2 tsp (7.4 %); soda replaces about 3 times its mass of powder",
    text=__doc__ or "",
    check=check,
)
