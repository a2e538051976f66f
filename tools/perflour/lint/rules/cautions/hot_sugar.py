"""A step that boils sugar says that it burns.

Cooked sugar is far hotter than boiling water, sticks to skin and burns at once. Judged where a step
cooks, melts or heats an item that is sugar or syrup to 110 °C or more, or until amber or caramel. Any caution in
the `note` of the step will do."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.formula import Step
from perflour.formula.verbs import COOKS, HEATS
from perflour.lint.ask.raw import does
from perflour.lint.ask.steps import done
from perflour.lint.rule import Context, Finding, Rule

HEATING = COOKS | HEATS
CAUTIONS = ("burn", "scald", "hot", "ice water", "careful", "caution", "spit", "splash", "glove", "sleeve", "arm's length")  # fmt: skip
HOT_SUGAR_C = 110.0


def check(context: Context) -> Iterator[Finding]:
    for step, sugar in boiled_sugar(context):
        if not any(c in step.text("note").lower() for c in CAUTIONS):
            yield Finding(
                step.place,
                f"this step cooks {sugar} hot enough to burn at once, and its `note` gives no warning; add one, like note: burns at once, ice water at hand",
                sugar,
            )


def boiled_sugar(context: Context) -> Iterator[tuple[Step, str]]:
    """Every step that cooks sugar or syrup hot enough to burn at once, with the name it uses."""
    if HEATING.isdisjoint(done(context)):
        return
    for step in context.formula.method:
        if not does(step, HEATING):
            continue
        known = ((use.name, context.catalogue.find(use.name)) for use in step.uses)
        sugar = next((n for n, i in known if i and i.group in ("sugar", "syrup")), None)
        if sugar is not None and _is_hot(step):
            yield step, sugar


def _is_hot(step: Step) -> bool:
    until = step.text("until").lower()
    degrees = [r.value.high_celsius for r in (step.to, step.core) if r and r.value]
    return any(c >= HOT_SUGAR_C for c in degrees) or "amber" in until or "caramel" in until


RULE = Rule(
    id="hot-sugar",
    level="note",
    family="cautions",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
