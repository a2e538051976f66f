"""Figures with their spread, as tables and data hold them."""

from __future__ import annotations

from typing import Any

from perflour.asking.figures import Figure, Measured
from perflour.balance.gas import GAS
from perflour.balance.spread import spread_of, value_of
from perflour.kitchen.figures import grams, percent
from perflour.report.bakers_table import spread_shown

#: Behind a figure that is too low by what is not counted in.
TOO_LOW = "+"


def heading(figure: Figure) -> str:
    """`sugar, %`."""
    return f"{figure.said}, {unit_said(figure)}"


def unit_said(figure: Figure) -> str:
    """The unit of a figure, gas for what it is of."""
    if figure.name == GAS or (figure.kind == "kind" and figure.unit == "g"):
        return "g for 100 g"
    return figure.unit


def value_shown(figure: Figure, value: float) -> str:
    """A number without its unit."""
    if figure.kind in ("bake", "step") or figure.unit == "pieces":
        return f"{value:g}"
    if figure.kind == "batch":
        return grams(value)
    return percent(value, figure.fine)


def shown(figure: Figure, one: Measured) -> str:
    """`61.5 ± 2.3`, `12-14`; a question mark where nobody knows."""
    if one.number is None:
        return "?"
    if one.ends:
        low, high = one.ends
        return f"{low:g}" if low == high else f"{low:g}-{high:g}"
    if not one.is_there:
        return "none"
    return f"{value_shown(figure, value_of(one.number))}{plus_minus(one)}{TOO_LOW if one.lacking else ''}"  # fmt: skip


def plus_minus(one: Measured) -> str:
    """The standard spread behind a value, where it is worth a digit."""
    spread = "" if one.ends else spread_shown(spread_of(one.number))
    return f" ± {spread}" if spread else ""


def measured_data(figure: Figure, one: Measured) -> dict[str, Any]:
    """Exact values."""
    known = one.number is not None
    return {
        "figure": figure.said,
        "kind": figure.kind,
        "unit": figure.unit,
        "value": value_of(one.number) if known else None,
        "spread": spread_of(one.number) if known else None,
        "from": one.ends[0] if one.ends else None,
        "to": one.ends[1] if one.ends else None,
        "of": one.of or None,
        "not_counted": list(one.lacking),
        "not_known_because": one.why_not or None,
    }
