"""The statistics of a tasting: differences, and choices against chance.

Numbers in, numbers out: nothing here knows of formulas or files. All figures come from scipy, which
takes a second to import, so only what judges imports this module.
"""

from __future__ import annotations

import warnings
from collections.abc import Sequence
from math import comb, floor, sqrt
from statistics import fmean, stdev

from scipy import stats

from perflour.trials.means import ALPHA, MOST_TASTERS, NO_SPREAD, POWER, Choices, Gap


def paired_gap(first: Sequence[float], second: Sequence[float]) -> Gap:
    """The difference of two rows of scores by the same tasters in the same order."""
    n = len(first)
    each = [b - a for a, b in zip(first, second, strict=True)]
    if n < 2:
        return Gap(n, True, fmean(each), None, None, None, None, "")
    spread = stdev(each)
    if spread < NO_SPREAD:
        return sign_gap(n, fmean(each))
    found = stats.ttest_rel(second, first)
    interval = found.confidence_interval(1 - ALPHA)
    low, high, p = float(interval.low), float(interval.high), float(found.pvalue)
    return Gap(n, True, fmean(each), low, high, p, spread, "t")


def sign_gap(tasters: int, difference: float, pairs: int = 1) -> Gap:
    """All tasters moved by the same difference: the exact sign test, two-sided.

    By chance all lean one way in 2 of 2^n cases; p is raised for the number of ``pairs`` compared. The
    interval of the same test, that of the median, is the difference itself where p is small enough, else
    endless. Where nobody moved p is 1.
    """
    if abs(difference) < NO_SPREAD:
        return Gap(tasters, True, difference, None, None, 1.0, 0.0, "sign")
    return _exact_gap(tasters, True, difference, min(1.0, pairs * 2 / 2**tasters), "sign")


def _exact_gap(tasters: int, paired: bool, difference: float, p: float, method: str) -> Gap:
    bound = difference if p <= ALPHA else None
    return Gap(tasters, paired, difference, bound, bound, p, 0.0, method)


def group_gap(first: Sequence[float], second: Sequence[float]) -> Gap:
    """The difference of two groups of tasters (Welch's t test); ``tasters`` is the smaller group.

    Where each group is of one mind: the exact permutation test, two-sided, as of all ways to deal the
    scores to the groups only this one and its mirror image part them so.
    """
    n, difference = min(len(first), len(second)), fmean(second) - fmean(first)
    if n < 2:
        return Gap(n, False, difference, None, None, None, None, "")
    spread = sqrt(fmean([stdev(first) ** 2, stdev(second) ** 2]))
    if spread < NO_SPREAD:
        ways = comb(len(first) + len(second), n)
        p = 1.0 if abs(difference) < NO_SPREAD else min(1.0, 2 / ways)
        return _exact_gap(n, False, difference, p, "permutation")
    with warnings.catch_warnings():
        # of a group whose scores are all the same scipy warns, and computes what is right
        warnings.simplefilter("ignore", RuntimeWarning)
        found = stats.ttest_ind(second, first, equal_var=False)
    interval = found.confidence_interval(1 - ALPHA)
    low, high, p = float(interval.low), float(interval.high), float(found.pvalue)
    return Gap(n, False, difference, low, high, p, spread, "Welch")


def tasters_for_gap(
    points: float, spread: float, paired: bool, alpha: float = ALPHA, power: float = POWER
) -> int | None:
    """The fewest tasters who would show a true difference, in each group where not paired.

    Two-sided t test by the noncentral t distribution; None beyond 5,000. ``points`` and ``spread``
    are in points of the scale, both above zero.
    """
    shares = 1 if paired else 2
    z = float(stats.norm.ppf(1 - alpha / 2) + stats.norm.ppf(power))
    # the normal distribution asks for no more than t does, so the search starts there
    least = max(2, floor(shares * (z * spread / points) ** 2))
    for n in range(least, MOST_TASTERS + 1):
        freedom = shares * (n - 1)
        off_centre = points / (spread * sqrt(shares / n))
        limit = stats.t.ppf(1 - alpha / 2, freedom)
        if stats.nct.sf(limit, freedom, off_centre) >= power:
            return n
    return None


def critical_number(
    tasters: int, chance: float, two_sided: bool, alpha: float = ALPHA
) -> int | None:
    """The fewest choices that chance alone brings in no more than ``alpha`` of all sessions."""
    limit = alpha / 2 if two_sided else alpha
    for chosen in range(floor(tasters * chance), tasters + 1):
        if stats.binom.sf(chosen - 1, tasters, chance) <= limit:
            return chosen
    return None


def power_of_choices(tasters: int, chance: float, true_share: float, two_sided: bool) -> float:
    """The chance of a find where each taster chooses so with the probability ``true_share``."""
    needed = critical_number(tasters, chance, two_sided)
    return 0.0 if needed is None else float(stats.binom.sf(needed - 1, tasters, true_share))


def tasters_for_choices(
    chance: float, true_share: float, two_sided: bool, power: float = POWER
) -> int:
    """The fewest tasters from whom on a find is as likely as ``power``, whatever their number.

    The binomial is jagged: one taster more may make a find less likely, so the answer is the number
    beyond which it never falls below.
    """
    last_short = 1
    n = 2
    while n <= 2 * last_short + 20:
        if power_of_choices(n, chance, true_share, two_sided) < power:
            last_short = n
        n += 1
    return last_short + 1


def judge_choices(
    chosen: int, tasters: int, chance: float, true_share: float, two_sided: bool
) -> Choices:
    """The exact binomial test; one-sided it asks whether ``chosen`` is more than chance.

    Raises ValueError for no tasters at all.
    """
    kind = "two-sided" if two_sided else "greater"
    return Choices(
        chosen=chosen,
        tasters=tasters,
        chance=chance,
        two_sided=two_sided,
        p=float(stats.binomtest(chosen, tasters, chance, alternative=kind).pvalue),
        needed=critical_number(tasters, chance, two_sided),
        true_share=true_share,
        power=power_of_choices(tasters, chance, true_share, two_sided),
        tasters_wanted=tasters_for_choices(chance, true_share, two_sided),
    )
