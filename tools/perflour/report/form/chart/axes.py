"""Axes of a chart: where they begin and end, and ticks a person would choose: 1, 2 or 5 of a power of ten apart."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil, floor, isfinite, log10

#: An axis begins at 0 where the lowest value is at most this share of the highest: else most of it would be empty.
NEAR_ZERO = 0.5
#: Room for rounding: a value on a tick is not above it.
SLACK = 1e-9
NICE = (1, 2, 5, 10)


@dataclass(frozen=True)
class Axis:
    """From ``low`` to ``high`` with ticks, and the decimals that tell these apart."""

    low: float
    high: float
    ticks: tuple[float, ...]
    decimals: int

    def at(self, value: float, begin: float, end: float) -> float:
        """Where a value lies between two places."""
        return begin + (value - self.low) / (self.high - self.low) * (end - begin)

    def said(self, value: float) -> str:
        """A tick as text."""
        return f"{value or 0.0:,.{self.decimals}f}"


def axis(
    values: Iterable[float],
    most: int,
    *,
    limits: tuple[float, float] | None = None,
    zero: bool = False,
    whole: bool = False,
    tight: bool = False,
) -> Axis:
    """The axis for values, with at most about ``most`` ticks.

    ``limits`` are its ends where these are given by nature, ``zero`` takes 0 in, ``whole`` has no ticks between whole
    numbers, ``tight`` never begins at 0 just because that is near.
    """
    low, high = limits or _ends([v for v in values if isfinite(v)], zero, tight)
    step = _step((high - low) / most, whole)
    if limits is None:
        low, high = floor(low / step + SLACK) * step, ceil(high / step - SLACK) * step
    decimals = max(0, -floor(log10(step) + SLACK))
    if limits and not whole:  # a scale with ends is counted from its lower one
        count = floor((high - low) / step + SLACK)
        return Axis(low, high, tuple(low + n * step for n in range(count + 1)), decimals)
    first, last = ceil(low / step - SLACK), floor(high / step + SLACK)
    return Axis(low, high, tuple(n * step for n in range(first, last + 1)), decimals)


def _ends(values: list[float], zero: bool, tight: bool) -> tuple[float, float]:
    low, high = min(values, default=0.0), max(values, default=1.0)
    if zero or (not tight and 0 < low <= NEAR_ZERO * high):
        low, high = min(low, 0.0), max(high, 0.0)
    if low == high:  # one value: a tenth of it around, or all from 0 to 1
        around = abs(low) / 10 or 1.0
        low, high = (0.0, around) if low == 0 else (low - around, high + around)
    return low, high


def _step(least: float, whole: bool) -> float:
    if whole and least <= 1:
        return 1.0
    power = float(10 ** floor(log10(least)))
    return next(nice * power for nice in NICE if nice * power >= least * (1 - SLACK))
