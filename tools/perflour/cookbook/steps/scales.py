"""Temperatures in both scales, for readers of either."""

from __future__ import annotations

import re

from perflour.kitchen.quantity import (
    AmountProblem,
    Temperature,
    as_other_scale,
    parse_temperature,
)

_DEGREES = re.compile(r"\d+(?:\.\d+)?( ?(?:-|–|to) ?\d+)? ?°\s?([CF])\b")


def both_scales(text: str, value: Temperature | None) -> str:
    """``175 °C (350 °F)`` for either of the two; as written where it cannot be read (None)."""
    text = _spaced(text)
    if value is None or len(value.scales) > 1:
        return text
    return f"{text} ({as_other_scale(value)})"


def text_in_both_scales(text: str) -> str:
    """Free text with the other scale behind each temperature; as it is where it has both already."""
    found = {match[2] for match in _DEGREES.finditer(text)}
    return _DEGREES.sub(_with_other_scale, text) if len(found) == 1 else text


def _with_other_scale(match: re.Match[str]) -> str:
    try:
        return both_scales(match[0], parse_temperature(match[0]))
    except AmountProblem:  # a range upside down
        return match[0]


def celsius_first(text: str, value: Temperature) -> str:
    """``175 °C``, as written, with °F in brackets only where the file has it: for readers of °C."""
    text = _spaced(text)
    if value.first_scale == "°C":
        return text
    if len(value.scales) == 1:
        return f"{as_other_scale(value)} ({text})"
    fahrenheit, _, celsius = re.sub(r"[()/,]", "|", text).partition("|")
    return f"{celsius.strip('| ')} ({fahrenheit.strip()})"


def _spaced(text: str) -> str:
    """``175C`` as ``175 °C``."""
    return re.sub(r"(?<=\d)\s*°?\s*([CF])\b", r" °\1", text)
