"""Which values of a row stand far from the others, by a measure that odd values cannot bend.

The modified z-score of Iglewicz and Hoaglin (1993, from memory): 0.6745 x distance from the median /
median distance (MAD). Beyond their 3.5 one row in seven of eight normal values has a value without anything odd in
it, so the limit hangs on how many values there are (``odd_rates``, by simulation): beyond it comes at most one such row
in 20. Where more than half of the values are alike the MAD is 0 and says nothing; then the mean distance stands
in for it, scaled for a normal spread as well, and nobody knows the chance.
"""

from bisect import bisect_left
from collections.abc import Sequence
from math import isclose
from statistics import NormalDist, fmean, median
from typing import Literal, NamedTuple

from perflour.balance.spread import Number, spread_of, value_of
from perflour.compare.odd_rates import ODD_RATES
from perflour.diff.residual import SPREADS_THAT_COUNT

# Fewer do not tell what is odd: a middle and a usual distance of seven values hang on one or two of them.
FEWEST_VALUES = ODD_RATES[0].values
# So many rows of normal values in 100 show an odd value by chance alone, at most.
BY_CHANCE_PERCENT = 5.0
# Percentages nearer than this, relative to their size, are the same: rounding in the kitchen.
SAME_RELATIVE = 0.01
# Median and mean distance from the middle of a normal distribution, in standard deviations; the
# second is the square root of 2 / pi.
MEDIAN_DISTANCE = 0.6745
MEAN_DISTANCE = 0.7979


class Outlier(NamedTuple):
    """A value far from the others: its position in the row, and its modified z-score."""

    at: int
    score: float


#: How a row was judged: not at all (too few values, or all alike), by the median distance, whose chance is
#: known, or by the mean distance, where more than half of the values are alike.
Way = Literal["", "median distance", "mean distance"]


class Judged(NamedTuple):
    """The odd values of a row, the farthest first, and the way they were looked for."""

    way: Way
    outliers: tuple[Outlier, ...] = ()


def outliers(numbers: Sequence[Number | None]) -> tuple[Outlier, ...]:
    """The values that stand far from the others, the farthest first; None is no value."""
    return judged(numbers).outliers


def judged(numbers: Sequence[Number | None]) -> Judged:
    """A row judged; None is no value, and one that measuring alone may have set apart is left in peace."""
    known = {at: number for at, number in enumerate(numbers) if number is not None}
    if len(known) < FEWEST_VALUES:
        return Judged("")
    middle, distances = _distances(known)
    way, usual = _usual_distance(list(distances.values()))
    limit = far_score(len(known))
    far = [
        Outlier(at, distance / usual)
        for at, distance in distances.items()
        if usual and distance / usual > limit and _is_apart(distance, known[at], middle)
    ]
    return Judged(way, tuple(sorted(far, key=lambda outlier: -outlier.score)))


#: Usual distances from the middle at which one, two and three steps begin; house choice.
STEPS = (1.0, 2.0, 3.0)
#: Of two values each is as far from the middle as the other.
FEWEST_TO_STEP = 3


def steps_apart(numbers: Sequence[Number | None]) -> tuple[int, ...]:
    """How many steps each value stands above (or below, negative) the middle of its row; 0 for none.

    In usual distances of that row, so that salt and flour can be held against each other: the mean distance, scaled to
    one standard deviation of normal values, since of a few values the median one may be next to nothing. What measuring
    alone may have set apart is no step.
    """
    known = {at: number for at, number in enumerate(numbers) if number is not None}
    steps = [0] * len(numbers)
    if len(known) < FEWEST_TO_STEP:
        return tuple(steps)
    middle, distances = _distances(known)
    usual = fmean(distances.values()) / MEAN_DISTANCE
    for at, distance in distances.items():
        count = sum(distance / usual >= step for step in STEPS) if usual else 0
        # a spread takes long to reckon, so only of what is a step at all
        if count and _is_apart(distance, known[at], middle):
            steps[at] = count if value_of(known[at]) > value_of(middle) else -count
    return tuple(steps)


def far_score(values: int) -> float:
    """The modified z-score beyond which a value of a row of so many is odd, eight or more.

    Between two rows of the table the larger of both. Beyond its last the limit of as many normal values whose
    spread is known, which theirs comes near to, times what the last row is more than that.
    """
    at = bisect_left([rate.values for rate in ODD_RATES], values)
    if at == len(ODD_RATES):
        last = ODD_RATES[-1]
        return last.limit * _known_spread_limit(values) / _known_spread_limit(last.values)
    if ODD_RATES[at].values == values:
        return ODD_RATES[at].limit
    return max(rate.limit for rate in ODD_RATES[at - 1 : at + 1])


def _known_spread_limit(values: int) -> float:
    """What the farthest of so many normal values stays below in 95 rows of 100."""
    inside = float((1 - BY_CHANCE_PERCENT / 100) ** (1 / values))
    return NormalDist().inv_cdf((1 + inside) / 2)


def _distances(known: dict[int, Number]) -> tuple[Number, dict[int, float]]:
    """The middle of a row, and how far from it each value lies."""
    middle = _middle(list(known.values()))
    return middle, {at: _distance(number, middle) for at, number in known.items()}


def _is_apart(distance: float, number: Number, middle: Number) -> bool:
    """Whether a distance exceeds two of its spreads, so that measuring alone hardly made it.

    The spread is that of uncertain numbers, so that a cup shared with the middle cancels out of it.
    """
    return distance > SPREADS_THAT_COUNT * spread_of(number - middle)


def _middle(numbers: list[Number]) -> Number:
    """The median as an uncertain number; ``statistics`` would compare them, which they discourage."""
    ordered = sorted(numbers, key=value_of)
    return (ordered[(len(ordered) - 1) // 2] + ordered[len(ordered) // 2]) / 2


def _distance(number: Number, middle: Number) -> float:
    value, centre = value_of(number), value_of(middle)
    return 0.0 if isclose(value, centre, rel_tol=SAME_RELATIVE) else abs(value - centre)


def _usual_distance(distances: list[float]) -> tuple[Way, float]:
    """The standard deviation that the distances from the median speak of; 0 where all are alike."""
    if of_median := median(distances):
        return "median distance", of_median / MEDIAN_DISTANCE
    of_mean = fmean(distances)
    return ("mean distance" if of_mean else ""), of_mean / MEAN_DISTANCE
