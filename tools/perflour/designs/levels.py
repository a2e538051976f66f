"""Levels of factors in words: percent, times and temperatures, as records and variants write them."""

from __future__ import annotations

from perflour.kitchen.quantity import Temperature, as_other_scale, parse_temperature
from perflour.kitchen.units import fahrenheit
from perflour.records.trial import CELSIUS, MINUTES, PERCENT, TrialFactor

#: From here on times go by 5 minutes, as a kitchen's clock is read; below ten minutes by 5 seconds.
LONG_MIN, SHORT_MIN = 120, 10
#: Percentages of a range narrower than this are told to two decimals.
NARROW = 4.0


def level_text(value: float, factor: TrialFactor) -> str:
    """A level as a record writes it, in the factor's unit: ``61.5 %``, ``2 h``, ``175 °C``."""
    if factor.unit == PERCENT:
        return percent_text(value, factor.high - factor.low)
    return minutes_text(value) if factor.unit == MINUTES else f"{value:.4g} {CELSIUS}"


def end_text(value: float, factor: TrialFactor) -> str:
    """An end of a range as a record writes it, as exactly as it was said."""
    return f"{value:.6g} {PERCENT}" if factor.unit == PERCENT else level_text(value, factor)


def percent_text(value: float, width: float) -> str:
    """A percentage, to two decimals where the range is that narrow."""
    return f"{round(value, 2 if width < NARROW else 1):g} {PERCENT}"


def rounded_level(value: float, unit: str) -> float:
    """A level as a kitchen can set it: whole degrees, minutes, 5 minutes of long times, 5 seconds of short ones."""
    if unit == CELSIUS:
        return float(round(value))
    if unit == MINUTES:
        step = 5 if value >= LONG_MIN else 1 if value >= SHORT_MIN else 1 / 12
        return round(value / step) * step
    return value


def minutes_text(minutes: float) -> str:
    """A time: ``45 s``, ``12 min``, ``2 h 30 min``."""
    seconds = round(minutes * 60)
    if seconds < 120 and seconds % 60:
        return f"{seconds} s"
    if seconds < LONG_MIN * 60:
        whole, rest = divmod(seconds, 60)
        return f"{whole} min" + (f" {rest} s" if rest else "")
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h" + (f" {rest} min" if rest else "")


def degrees_text(celsius: float, like: Temperature | None) -> str:
    """A temperature in the scales that a formula wrote it in, the first of them first."""
    if like and like.first_scale == "°F":
        text = f"{round(fahrenheit(celsius))} °F"
    else:
        text = f"{celsius:.4g} {CELSIUS}"
    if like and len(like.scales) == 2:
        return f"{text} ({as_other_scale(parse_temperature(text))})"
    return text
