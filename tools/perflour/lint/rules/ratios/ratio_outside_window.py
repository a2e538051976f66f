"""The ratios lie inside the windows of the product class.

A window warns, it does not refuse: a new product may well lie outside. The message gives the value,
the window and where the window comes from. The base is judged, preferments included. Powder and soda stand in for
each other: a class with a window for baking powder alone is judged by the powder that gives as much carbon
dioxide, and neither is too little where the gas is not."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.gas import GAS, POWDER_GAS_PERCENT, SODA_GAS_BY_HEAT
from perflour.kitchen.house import Window
from perflour.lint.rule import Context, Finding, Rule

POWDER, SODA = "baking-powder", "baking-soda"
#: Percent of carbon dioxide that each gives off at least.
LEAST_GAS = {POWDER: POWDER_GAS_PERCENT, SODA: SODA_GAS_BY_HEAT * 100}


def check(context: Context) -> Iterator[Finding]:
    product = context.house.classes.get(context.formula.product_class)
    if product is None or context.balance.basis_g <= 0 or not context.balance.basis_is_whole:
        return
    for name, window in product.windows.items():
        by_gas = name == POWDER and SODA not in product.windows
        percent, said = _as_powder(context) if by_gas else _plain(context, name)
        if percent < window.low and _may_be_inside(context, name, window):
            continue
        if not window.low <= round(percent, 2) <= window.high:
            side = "under" if percent < window.low else "over"
            message = f"{said}, {side} the window {window.low:g} to {window.high:g} % of {product.title} ({window.source})"
            yield Finding(context.formula.place("parts"), message, name)


def _plain(context: Context, name: str) -> tuple[float, str]:
    percent = context.ratios[name].percent
    return percent, f"{name} is {percent:.1f} % of {context.balance.of}"


def _as_powder(context: Context) -> tuple[float, str]:
    """The powder of the usual strength that lifts as much."""
    powder, said = _plain(context, POWDER)
    percent = context.ratios[GAS].percent / POWDER_GAS_PERCENT * 100
    if round(percent, 2) == round(powder, 2):
        return percent, said
    return (
        percent,
        f"{said}, and all that lifts gives as much carbon dioxide as {percent:.1f} % of it",
    )


def _may_be_inside(context: Context, name: str, window: Window) -> bool:
    """Whether what is not known, or what stands in for it, may bring a low ratio inside its window."""
    if context.ratios[name].lacking:
        return True
    if name not in LEAST_GAS:
        return False
    gas = context.ratios[GAS]
    return bool(gas.lacking) or gas.percent * 100 >= window.low * LEAST_GAS[name]


RULE = Rule(
    id="ratio-outside-window",
    level="warning",
    family="ratios",
    source="the windows of the product class in house.yaml, each with its own source; carbon dioxide as in leavening-out-of-proportion",
    text=__doc__ or "",
    check=check,
)
