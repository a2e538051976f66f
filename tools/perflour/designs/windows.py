"""Which ratios a trial takes out of the windows of the product class, further than the formula has them already."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from perflour.balance.balance import Balance
from perflour.balance.ratios import Ratio, ratios
from perflour.designs.levels import level_text
from perflour.designs.moves import now
from perflour.designs.variants import variant
from perflour.kitchen.house import Kitchen, ProductClass, Window
from perflour.lint.rules.ratios.ratio_outside_window import judged_percent, outside
from perflour.records.trial import Hold, TrialFactor

#: So near, as a share of an end, only the scale has rounded.
NEAR = 0.005


def outside_windows(
    content: bytes,
    parent: Balance,
    kitchen: Kitchen,
    factors: Sequence[TrialFactor],
    holds: Sequence[Hold],
    bakes: Sequence[Balance],
    by_themselves: bool = True,
) -> tuple[str, ...]:
    """One sentence for each end of a range that leaves a window by itself, else for each ratio that a bake takes out.

    Not ``by_themselves``: of a blend, in which nothing moves alone.
    """
    product = kitchen.house.classes.get(parent.formula.product_class)
    if product is None:
        return ()
    before = ratios(parent)
    told: dict[str, str] = {}
    usual = {factor.name: now(factor, parent).value for factor in factors}
    for factor in factors if by_themselves else ():
        for end in () if factor.field else (factor.low, factor.high):
            moved = variant(content, parent, kitchen, factors, {**usual, factor.name: end}, holds)
            for name, percent in _further_out(before, moved.balance, product):
                words = f"{factor.name} at {level_text(end, factor)} takes {name} to {percent:.3g} % of {parent.of}"  # fmt: skip
                told.setdefault(name, f"{words}, {_window(name, percent, product)}")
    for baked in bakes:
        for name, percent in _further_out(before, baked, product):
            words = f"together the factors take {name} to {percent:.3g} % of {parent.of}"
            told.setdefault(name, f"{words}, {_window(name, percent, product)}")
    return tuple(told.values())


def _further_out(
    before: Mapping[str, Ratio], after: Balance, product: ProductClass
) -> Iterator[tuple[str, float]]:
    """The ratios that lie outside, and further than the formula's own."""
    for one in outside(ratios(after), product.windows):
        window, was = product.windows[one.name], judged_percent(before, one.name, product.windows)
        low, high = min(window.low, was), max(window.high, was)
        if not low * (1 - NEAR) <= one.percent <= high * (1 + NEAR):
            yield one.name, one.percent


def _window(name: str, percent: float, product: ProductClass) -> str:
    window: Window = product.windows[name]
    side = "under" if percent < window.low else "over"
    return f"{side} the window {window.low:g} to {window.high:g} % of {product.title} ({window.source})"  # fmt: skip
