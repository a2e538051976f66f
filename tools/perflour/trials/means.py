"""What a tasting found, as values: means with their intervals, differences, choices; and the mean of scores itself.

Kept apart from what computes the others, so that whoever only shows them, or a mean, loads no scipy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, pi, sin, sqrt, tan
from statistics import fmean, stdev

#: Common practice, no source: a find is called one at 1 in 20, and looked for with 4 chances in 5.
ALPHA, POWER = 0.05, 0.8
#: Beyond this many tasters nobody's kitchen will go.
MOST_TASTERS = 5000
#: Points below which a spread is only the rounding of floats.
NO_SPREAD = 1e-9
#: The usual spread of one product's hedonic scores between tasters, as a share of the scale's length:
#: G. Hough et al., Number of consumers necessary for sensory acceptability tests, Food Quality and
#: Preference 17 (2006) 522-526 (from memory). On 1 to 9 that is 1.84 points.
USUAL_SPREAD = 0.23 * (9 - 1)


@dataclass(frozen=True)
class Mean:
    """The mean of scores with its 95 % interval by Student's t; None where there is no spread.

    ``spread`` is the standard deviation between tasters, None for a single one.
    """

    tasters: int
    mean: float
    low: float | None
    high: float | None
    spread: float | None


@dataclass(frozen=True)
class Gap:
    """A difference of two means (second - first), its 95 % interval and two-sided p, both by ``method``.

    ``paired``: by the same tasters, taken taster by taster; else as two groups. ``spread`` is that of
    the differences, or of the scores where not paired. ``method`` is ``t`` or ``Welch``, ``Tukey``
    among several samples; where all moved alike there is no spread for these, and it is the exact ``sign``
    test, of two groups the exact ``permutation`` test. The interval is None where the method has none at
    95 %: with so few tasters it would be endless. ``p`` is None and ``method`` empty for a single taster.
    """

    tasters: int
    paired: bool
    difference: float
    low: float | None
    high: float | None
    p: float | None
    spread: float | None
    method: str


@dataclass(frozen=True)
class Choices:
    """Choices against chance by the exact binomial test.

    ``needed`` choices would have been a find at 1 in 20, None where so few tasters cannot make one;
    ``power`` is the chance of a find in a session of this size if the share were ``true_share``.
    """

    chosen: int
    tasters: int
    chance: float
    two_sided: bool
    p: float
    needed: int | None
    true_share: float
    power: float
    tasters_wanted: int


def mean_of(scores: Sequence[float]) -> Mean:
    """The mean of one or more scores."""
    n, mean = len(scores), fmean(scores)
    spread = stdev(scores) if n > 1 else None
    if not spread:
        return Mean(n, mean, None, None, spread)
    half = student_reach(n - 1) * spread / sqrt(n)
    return Mean(n, mean, mean - half, mean + half, spread)


def student_reach(freedom: int) -> float:
    """How many standard errors hold 95 % of Student's t around its middle, for whole degrees of freedom.

    By the finite sums of M. Abramowitz and I. A. Stegun, Handbook of Mathematical Functions, 1964, 26.7.3 and
    26.7.4, halved in until floats do not part any more.
    """
    low, high = 0.0, pi / 2
    while low < (angle := (low + high) / 2) < high:
        low, high = (angle, high) if _share_within(angle, freedom) < 1 - ALPHA else (low, angle)
    return sqrt(freedom) * tan(low)


def _share_within(angle: float, freedom: int) -> float:
    """The share of Student's t below sqrt(freedom) times the tangent of the angle, either way."""
    first = 2 if freedom % 2 else 1
    term = total = (cos(angle) if freedom % 2 else 1.0) if freedom > 1 else 0.0
    for at in range(first, freedom - 2, 2):
        term *= cos(angle) ** 2 * at / (at + 1)
        total += term
    share = sin(angle) * total
    return 2 / pi * (angle + share) if freedom % 2 else share
