"""Numbers as a baker reads them."""

from __future__ import annotations

from fractions import Fraction
from math import floor

# Below this mass a scale for small things is used, ten times finer.
SMALL_G = 20.0
# A factor nearer than this to a fraction, or to two decimals, is that.
NO_FRACTION = 0.0005


def grams(value: float, resolution_g: float = 1.0) -> str:
    """A mass to the scale's resolution: ``1,280``, ``12.5``; never ``0`` for something."""
    step = resolution_g if value >= SMALL_G else max(resolution_g / 10, 0.01)
    decimals = max(0, len(f"{step:.6f}".rstrip("0").split(".")[1]))
    rounded = floor(value / step + 0.5) * step  # half up, as people round
    if rounded == 0 and value > 0:
        return f"{value:.2g}"
    return f"{rounded:,.{decimals}f}"


def spread_text(value: float) -> str:
    """A spread to two digits, from 100 on to whole ones: ``0.14``, ``13``, ``1,234``."""
    return f"{value:,.0f}" if value >= 99.5 else f"{value:.2g}"


def percent(value: float, fine: bool = False) -> str:
    """A percentage to 0.1, or to 0.01 for salt, leavening and spice; never ``0.0`` for something."""
    text = f"{value:.2f}" if fine else f"{value:.1f}"
    if value >= 0.1:  # as most
        return text
    return f"{value:.2g}" if float(text) == 0 and value != 0 else text


def counted(number: int, one: str, many: str = "") -> str:
    """A number with its word: ``1 bake``, ``1,280 bakes``."""
    return f"{number:,} {one if number == 1 else many or f'{one}s'}"


def signed(value: float, fine: bool = False) -> str:
    """A difference of percentages with its sign."""
    return ("+" if value >= 0 else "-") + percent(abs(value), fine)


def factor(value: float) -> str:
    """A batch factor as kitchens speak of it: ``x2``, ``x1.5``, ``x1/3``, ``x1 1/3``, ``x0.87``."""
    said = f"{value:.3g}"
    if 0 < value < 100 and abs(float(f"{value:.2f}") - value) > value * NO_FRACTION:
        near = Fraction(value).limit_denominator(12)
        if near and abs(float(near) - value) <= value * NO_FRACTION:
            whole, rest = divmod(near, 1)
            said = f"{whole} {rest}" if whole else str(rest)
    return f"x{said}"
