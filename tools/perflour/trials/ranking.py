"""The statistics of a ranking test: every taster puts all samples in order, 1 for the most.

Numbers in, numbers out. M. Friedman, The use of ranks to avoid the assumption of normality implicit in the
analysis of variance, Journal of the American Statistical Association 32 (1937) 675-701; E. B. Page, Ordered
hypotheses for multiple treatments, the same 58 (1963) 216-230; the form of the test is that of ISO 8587 (all
from memory). Loads scipy, so only what judges imports this module.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import permutations
from math import factorial, sqrt
from typing import Literal

from scipy import stats

from perflour.trials.means import ALPHA

#: One row a taster, one rank a sample.
Ranks = Sequence[Sequence[float]]
#: Steps of counting beyond which the chi-square distribution is used; about a second.
MOST_COUNTED = 1_000_000


@dataclass(frozen=True)
class Friedman:
    """Whether the samples are ranked alike: Friedman's statistic with ties, and its p.

    ``method`` is ``exact`` where all orders of all tasters were counted, else ``chi-square``.
    """

    statistic: float
    freedom: int
    p: float
    method: Literal["exact", "chi-square"]


@dataclass(frozen=True)
class Page:
    """Whether the ranks follow an order named beforehand: Page's L and its one-sided p.

    ``method`` is ``exact``, or ``normal`` with ties or beyond the size that is counted.
    """

    statistic: float
    p: float
    method: Literal["exact", "normal"]


@dataclass(frozen=True)
class RankLimits:
    """Differences of two rank sums that are beyond chance at 1 in 20, and the standard error of one.

    ``one_pair`` is the least significant rank difference of ISO 8587, for a pair named beforehand;
    ``any_pair`` is Nemenyi's, for all pairs at once.
    """

    error: float
    one_pair: float
    any_pair: float


def ranked(row: Sequence[float]) -> list[float]:
    """A taster's ranks from 1 on; those said to be alike share the mean of their places."""
    return [float(rank) for rank in stats.rankdata(row)]


def rank_sums(ranks: Ranks) -> list[float]:
    """The sum of every sample's ranks."""
    return [sum(column) for column in zip(*ranks, strict=True)]


def friedman(ranks: Ranks) -> Friedman:
    """Friedman's test of two or more tasters or samples; where all is tied, nothing differs: p is 1."""
    samples = len(ranks[0])
    spread = _spread(ranks)
    if not spread:
        return Friedman(0.0, samples - 1, 1.0, "exact")
    far = _from_middle(rank_sums(ranks), len(ranks))
    # the sum of squares over its mean under chance; with no ties 12 / (n k (k + 1)) times the squares
    statistic = far / spread
    p = _exact_p(ranks, far)
    if p is not None:
        return Friedman(statistic, samples - 1, p, "exact")
    return Friedman(
        statistic, samples - 1, float(stats.chi2.sf(statistic, samples - 1)), "chi-square"
    )


def _spread(ranks: Ranks) -> float:
    """The variance of a rank, added over the tasters; ties make it smaller."""
    return sum(_from_middle(row, 1) / (len(row) - 1) for row in ranks)


def _from_middle(sums: Sequence[float], tasters: int) -> float:
    """The sum of squares of rank sums about what chance gives every sample."""
    middle = tasters * (len(sums) + 1) / 2
    return sum((one - middle) ** 2 for one in sums)


def _exact_p(ranks: Ranks, far: float) -> float | None:
    """The share of all orders, of all tasters, whose rank sums lie at least that far from the middle.

    Samples are alike under chance, so rank sums are counted sorted. None where that is too much work.
    """
    samples, steps = len(ranks[0]), 0
    if factorial(samples) > MOST_COUNTED:
        return None
    counts: Counter[tuple[int, ...]] = Counter({(0,) * samples: 1})
    for row in ranks:
        twice = [round(2 * rank) for rank in row]  # shared ranks end in .5
        orders = Counter(permutations(twice))
        steps += len(counts) * len(orders)
        if steps > MOST_COUNTED:
            return None
        following: Counter[tuple[int, ...]] = Counter()
        for sums, times in counts.items():
            for order, again in orders.items():
                reached = tuple(sorted(map(int.__add__, sums, order)))
                following[reached] += times * again
        counts = following
    middle = len(ranks) * (samples + 1)
    reached_far = 4 * far - 1e-6
    extreme = sum(
        times
        for sums, times in counts.items()
        if sum((one - middle) ** 2 for one in sums) >= reached_far
    )
    ways: int = factorial(samples) ** len(ranks)
    return extreme / ways


def page(ranks: Ranks, order: Sequence[int]) -> Page:
    """Page's test, of two tasters or more, that ranks follow ``order``: the numbers of the samples from 0, least rank first."""
    columns = [[row[sample] for sample in order] for row in ranks]
    tied = any(len(set(row)) < len(row) for row in ranks)
    found = stats.page_trend_test(columns, ranked=True, method="asymptotic" if tied else "auto")
    method: Literal["exact", "normal"] = "exact" if found.method == "exact" else "normal"
    return Page(float(found.statistic), float(found.pvalue), method)


def rank_limits(ranks: Ranks) -> RankLimits:
    """Critical differences of two rank sums; with no ties the error is sqrt(n k (k + 1) / 6)."""
    error = sqrt(2 * _spread(ranks))
    one = float(stats.norm.ppf(1 - ALPHA / 2)) * error
    any_of_all = float(stats.studentized_range.ppf(1 - ALPHA, len(ranks[0]), float("inf")))
    return RankLimits(error, one, any_of_all / sqrt(2) * error)


def nemenyi_p(difference: float, error: float, samples: int) -> float:
    """p of the difference of two rank sums among all pairs of so many samples."""
    reached = abs(difference) / error * sqrt(2)
    return float(stats.studentized_range.sf(reached, samples, float("inf")))
