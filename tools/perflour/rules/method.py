"""What several rules ask of a method: which steps bake, which names are used or known."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from perflour.formula import Formula, Reading, Step, fold
from perflour.rules.rule import Context

HEATING = (
    "preheat",
    "heat the oven",
    "heat oven",
    "set the oven",
    "set oven",
    "turn on the oven",
    "light the oven",
    "fire the oven",
)

# Words of a class id: `pancake` and `cheesecake` are no cakes here, and some cakes balance otherwise.
CAKES = frozenset(("cake", "cakes", "cupcake", "cupcakes"))
OTHER_CAKES = frozenset(("pound", "crumb", "loaf"))


def balances_as_cake(context: Context) -> bool:
    """Whether the rules of cake balance hold: a cake by its class id, but no pound, crumb, loaf cake."""
    words = set(context.formula.product_class.lower().split("-"))
    return bool(words & CAKES) and not words & OTHER_CAKES


def heats_oven(step: Step) -> bool:
    return step.do.lower().startswith(HEATING)


def is_baked(context: Context) -> bool:
    """False only where the product class says that nothing is baked (icing, filling)."""
    product = context.house.classes.get(context.formula.product_class)
    return product is None or product.baked


def bakes(context: Context) -> Iterator[Step]:
    """The steps that bake."""
    return (step for step in context.formula.method if step.bakes)


def main_name(context: Context, name: str) -> str:
    """A name as names are compared: the catalogue's main name where it is known."""
    known = context.catalogue.find(name)
    return fold(known.name if known else name)


def used_names(context: Context) -> set[str]:
    """Every name in the `uses` of the steps, as written and as the catalogue's main name."""
    used = {fold(use.name) for step in context.formula.method for use in step.uses}
    return used | {fold(known.name) for name in used if (known := context.catalogue.find(name))}


def known_names(context: Context) -> set[str]:
    """Every name on the list: items, their main names, parts."""
    formula = context.formula
    listed = {fold(line.name) for part in formula.parts for line in part.lines}
    listed |= {fold(part.name) for part in formula.parts}
    return listed | {fold(known.name) for name in listed if (known := context.catalogue.find(name))}


def readings(formula: Formula) -> Iterator[Reading[Any]]:
    """Every amount, temperature and time of a formula, in order of the file."""
    if formula.yields and formula.yields.scaling_weight:
        yield formula.yields.scaling_weight
    for part in formula.parts:
        yield from (line.amount for line in part.lines)
    for step in formula.method:
        yield from step.temperatures
        if step.time:
            yield step.time
