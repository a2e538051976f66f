"""Readings of a test bake to figures in one unit each, and what follows from two of them."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.evidence.figures import Figure
from perflour.kitchen.numbers import read_range
from perflour.kitchen.quantity import AmountProblem, parse_amount, parse_duration, parse_temperature
from perflour.kitchen.units import find_unit

#: The unit that each reading is given in.
UNITS = {
    "dough-temperature": "°C",
    "batter-temperature": "°C",
    "core": "°C",
    "mass-before": "g",
    "mass-after": "g",
    "bake-time": "min",
    "proof-time": "min",
    "height": "mm",
    "spread": "mm",
}
LOSS = "bake-out loss"


def readings(measured: Sequence[tuple[str, str]]) -> tuple[tuple[Figure, ...], tuple[str, ...]]:
    """The figures of readings, of ranges the middle, with the bake-out loss in percent; and what cannot be read."""
    found: dict[str, Figure] = {}
    unread = []
    for name, text in measured:
        unit = UNITS.get(name, "")
        value = _value(text, unit)
        if value is None:
            unread.append(f"{name} {text}")
        else:
            found[name] = Figure("measured", name, unit, value)
    before, after = (found[n].value if n in found else None for n in ("mass-before", "mass-after"))
    if before and after is not None:
        found[LOSS] = Figure("measured", LOSS, "%", (before - after) / before * 100)
    return tuple(found.values()), tuple(unread)


def _value(text: str, unit: str) -> float | None:
    """A reading in its unit; None where it is not understood whole."""
    try:
        if unit == "°C":
            heat = parse_temperature(text)
            return (heat.low_celsius + heat.high_celsius) / 2
        if unit == "min":
            time = parse_duration(text)
            return (time.low_min + time.high_min) / 2
        if unit == "g":
            amount = parse_amount(text)
            return amount.in_base_units if amount.kinds == {"mass"} else None
        low, high, rest = read_range(text.strip())
    except AmountProblem:
        return None
    length = find_unit(rest.strip())
    return float(low + high) / 2 * length.factor if length and length.kind == "length" else None
