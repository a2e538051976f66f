"""What the cautions ask of a formula: what is baked or cooked, and what its lines say."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.balance.parts import Weighed
from perflour.formula.formula import REFERENCE, Step
from perflour.formula.verbs import COOKS
from perflour.lint.ask.method import bakes
from perflour.lint.rule import Context

# 160 °F, the USDA figure for egg dishes, in whole degrees as a method gives it.
COOKED_C = 71.0


def does(step: Step, verbs: frozenset[str]) -> bool:
    """Whether one of some verbs is a word of what is done."""
    return not verbs.isdisjoint(step.do.lower().replace("-", " ").split())


def cooks(step: Step) -> bool:
    """Whether a step cooks: by its verb, or by bringing something to 71 °C or more."""
    if step.heats_oven:
        return False
    hot = (r.value.high_celsius >= COOKED_C for r in step.temperatures if r.value)
    return step.bakes or does(step, COOKS) or any(hot)


def is_unbaked(context: Context) -> bool:
    """Whether nothing is baked: the class says so, or the finished method has no bake step."""
    formula = context.formula
    if bakes(context):
        return False
    product = context.house.classes.get(formula.product_class)
    if product is not None and not product.baked:
        return True
    return bool(formula.method) and formula.status in ("testing", "approved", REFERENCE)


def is_raw(context: Context) -> bool:
    """Whether nothing is baked and no step cooks anything."""
    return is_unbaked(context) and not any(map(cooks, context.formula.method))


def says(weighed: Weighed, words: Sequence[str]) -> bool:
    """Whether a line says one of the words in its name, state or note."""
    line = weighed.line
    said = f"{line.name} {line.state} {line.note}".lower()
    return any(word in said for word in words)
