"""The oven is heated before anything goes into it.

A cold oven gives other volume and crust than the one the times were taken in. An oven that something
goes into hot ("bake in a moderate oven"), or that a note sets ("oven at 160 °C"), is heated."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import first_bake, first_heated, is_baked
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    baked = first_bake(context)
    heated = first_heated(context)
    if baked is None or not is_baked(context) or (heated is not None and heated < baked):
        return
    from perflour.lint.ask.said import goes_in_hot, sets_oven  # only where something is missing

    if not goes_in_hot(steps[baked]) and not any(map(sets_oven, steps[:baked])):
        yield Finding(
            steps[baked].place,
            "nothing before this step heats the oven; add a step like {do: preheat, to: 175 °C}",
        )


RULE = Rule(
    id="oven-not-preheated",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
