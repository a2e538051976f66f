"""The ratios lie inside the windows of the product class.

A window warns, it does not refuse: a new product may well lie outside. The message gives the value,
the window and where the window comes from. The total formula is judged, preferments included."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    product = context.house.classes.get(context.formula.product_class)
    if product is None or context.balance.basis_g <= 0 or not context.balance.basis_is_whole:
        return
    for name, window in product.windows.items():
        ratio = context.ratios[name]
        if ratio.lacking and ratio.percent < window.low:
            continue  # it may well be inside, once the rest can be weighed
        if not window.low <= round(ratio.percent, 2) <= window.high:
            side = "under" if ratio.percent < window.low else "over"
            message = f"{name} is {ratio.percent:.1f} % of {context.balance.of}, {side} the window {window.low:g} to {window.high:g} % of {product.title} ({window.source})"
            yield Finding(context.formula.place("parts"), message, name)


RULE = Rule(
    id="ratio-outside-window",
    level="warning",
    family="ratios",
    source="the windows of the product class in house.yaml, each with its own source",
    text=__doc__ or "",
    check=check,
)
