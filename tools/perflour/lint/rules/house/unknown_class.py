"""The product class is one of house.yaml.

Without a class there are no windows to check the ratios against."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    classes = context.house.classes
    if classes and context.formula.product_class not in classes:
        yield Finding(
            context.formula.place("class"),
            f"'{context.formula.product_class}' is no class of house.yaml; use one of {', '.join(sorted(classes))}",
        )


RULE = Rule(
    id="unknown-class",
    level="warning",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
)
