"""A batter has room to rise in its pan.

Cake pans are filled to half or two thirds. Flagged above 80 % of the volume to the brim, with straight
sides and 1 g of batter a millilitre. Only pans whose height is written can be worked out ("2 loaf pans
22 x 12 x 7 cm"); others, and several deposits of the same batter, are passed over."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.formula import Step
from perflour.formula.verbs import DEPOSITS, PAN, past
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import AmountProblem
from perflour.lint.ask.method import is_baked
from perflour.lint.ask.steps import verbs, words
from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"fill-most": 0.8, "g-per-ml": 1.0}
PREPARED = (*(f"{past(does)} " for does in sorted(PAN)), "and ", "paper-")


def check(context: Context) -> Iterator[Finding]:
    deposits = [
        step
        for does, step in zip(verbs(context), context.formula.method, strict=True)
        if does in DEPOSITS and step.text("into")
    ]
    if not deposits or not is_baked(context):
        return
    limits = context.limits(RULE.id, PARAMETERS)
    for step in deposits:
        volume_ml = _volume_ml(step.text("into"))
        if volume_ml is None or (len(deposits) > 1 and not step.uses):
            continue
        grams = _deposited_g(context, step)
        fill = grams / limits["g-per-ml"] / volume_ml
        if fill > limits["fill-most"]:
            yield Finding(
                step.place,
                f"{grams:.0f} g of batter fill '{step.text('into')}' to {fill * 100:.0f} %; more than {limits['fill-most'] * 100:g} % runs over: take a larger pan or less batter",
            )


def _volume_ml(into: str) -> float | None:
    """The volume of pans whose height is written; None for all others."""
    sides = into.count(" x ") + 1
    if sides < (2 if {"round", "springform", "ring"} & set(words(into)) else 3):
        return None
    from perflour.kitchen.pans import parse_pans  # only where there is something to work out

    bare = into.lower()
    for word in PREPARED:
        bare = bare.replace(word, "")
    try:
        return parse_pans(bare).volume_ml
    except AmountProblem:
        return None


def _deposited_g(context: Context, step: Step) -> float:
    """The mass of the whole parts a step uses; without `uses`, of the base."""
    if not step.uses:
        return context.balance.base_g
    whole = {fold(use.name) for use in step.uses if use.said == use.name}
    return sum(part.mass_g for part in context.balance.parts if fold(part.part.name) in whole)


RULE = Rule(
    id="pan-overfilled",
    level="warning",
    family="ratios",
    source="common practice, no source: cake pans 1/2 to 2/3 full; the volume by geometry, which is 3 to 30 % over the volumes that pan tables print",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
)
