"""An ingredient is measured by mass, volume or count; a scaling weight by mass.

Degrees, minutes and centimetres are amounts of something else: usually two columns were swapped."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for weighed in context.balance.unweighed:
        if weighed.reason and weighed.reason.wrong_dimension:
            amount = weighed.line.amount
            message = f"'{amount.text}' of {weighed.line.name}: {weighed.reason.reason}"
            yield Finding(amount.place, message, weighed.line.name)
    yields = context.formula.yields
    weight = yields.scaling_weight if yields else None
    if weight and weight.value and weight.value.kinds != {"mass"}:
        yield Finding(
            weight.place, f"the scaling weight '{weight.text}' is no mass; write it like `640 g`"
        )


RULE = Rule(
    id="wrong-dimension",
    level="error",
    family="units",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
