"""Figures of a judgement in print: p, intervals, how far few tasters can be believed."""

from __future__ import annotations

from perflour.trials.means import ALPHA, MOST_TASTERS

#: With fewer tasters not even all of them of one mind would be beyond chance: 2 x 1/2^5 is 1 in 16.
LEAST = 6


def p_text(p: float) -> str:
    """A p-value to two digits, never ``0``, never on the other side of 1 in 20: ``0.30``, ``0.012``, ``<0.001``."""
    if p < 0.001:
        return "<0.001"
    text = f"{p:.2f}" if p >= 0.095 else f"{p:.3f}"
    return f">{text}" if p > ALPHA >= float(text) else text


def interval_text(
    low: float | None, high: float | None, limits: tuple[float, float] | None = None
) -> str:
    """An interval to a tenth of a point, cut where the scale ends; empty where there is none."""
    if low is None or high is None:
        return ""
    if limits:
        low, high = max(low, limits[0]), min(high, limits[1])
    return f"{_bound(low)} to {_bound(high)}"


def _bound(value: float) -> str:
    """To a tenth, or to more digits where that would not show on which side of zero it lies."""
    texts = (f"{value:.{more}f}" for more in range(1, 7))
    return next((text for text in texts if float(text)), "0.0")


def count_text(tasters: int | None) -> str:
    """So many tasters, where they are not beyond all kitchens."""
    return f"over {MOST_TASTERS}" if tasters is None else str(tasters)


def trust(tasters: int) -> str:
    """Whether a find of a t test or Tukey's can be believed of so few whole scores."""
    if tasters >= LEAST:
        return "beyond chance"
    by_chance = 2 ** (tasters - 1)
    return f"a hint only, as {tasters} tasters agree by mere chance in 1 of {by_chance} cases"
