"""Which values of a row stand far from the others, by a measure that odd values cannot bend.

The modified z-score of Iglewicz and Hoaglin (1993, from memory): 0.6745 x distance from the median /
median distance (MAD), far beyond 3.5. Where more than half of the values are alike the MAD is 0 and
says nothing; then the mean distance stands in for it, scaled for a normal spread as well.
"""

from collections.abc import Sequence
from math import isclose
from statistics import fmean, median
from typing import NamedTuple

from perflour.balance.spread import Number, spread_of, value_of
from perflour.diff.residual import SPREADS_THAT_COUNT

# Three values cannot say which of them is odd.
FEWEST_VALUES = 4
# Percentages nearer than this, relative to their size, are the same: rounding in the kitchen.
SAME_RELATIVE = 0.002
FAR_SCORE = 3.5
# Median and mean distance from the middle of a normal distribution, in standard deviations; the
# second is the square root of 2 / pi.
MEDIAN_DISTANCE = 0.6745
MEAN_DISTANCE = 0.7979


class Outlier(NamedTuple):
    """A value far from the others: its position in the row, and its modified z-score."""

    at: int
    score: float


def outliers(numbers: Sequence[Number | None]) -> tuple[Outlier, ...]:
    """The values that stand far from the others, the farthest first; None is no value.

    A value is left in peace where measuring alone may have set it apart: its distance must exceed
    two spreads of that distance.
    """
    known = {at: number for at, number in enumerate(numbers) if number is not None}
    if len(known) < FEWEST_VALUES:
        return ()
    # of uncertain numbers, so that a cup shared with the middle cancels out of the distance
    middle = _middle(list(known.values()))
    distances = {at: _distance(number, middle) for at, number in known.items()}
    usual = _usual_distance(list(distances.values()))
    far = [
        Outlier(at, distance / usual)
        for at, distance in distances.items()
        if usual
        and distance / usual > FAR_SCORE
        and distance > SPREADS_THAT_COUNT * spread_of(known[at] - middle)
    ]
    return tuple(sorted(far, key=lambda outlier: -outlier.score))


def _middle(numbers: list[Number]) -> Number:
    """The median as an uncertain number; ``statistics`` would compare them, which they discourage."""
    ordered = sorted(numbers, key=value_of)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def _distance(number: Number, middle: Number) -> float:
    value, centre = value_of(number), value_of(middle)
    return 0.0 if isclose(value, centre, rel_tol=SAME_RELATIVE) else abs(value - centre)


def _usual_distance(distances: list[float]) -> float:
    """The standard deviation that the distances from the median speak of; 0 where all are alike."""
    return median(distances) / MEDIAN_DISTANCE or fmean(distances) / MEAN_DISTANCE
