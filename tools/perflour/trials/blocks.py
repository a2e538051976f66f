"""Several samples scored by the same tasters: analysis of variance, and Tukey's honest differences.

Numbers in, numbers out. Tasters differ in how they use the scale, so what they have in common in all samples is
taken out first (two-way, samples and tasters). J. W. Tukey's range then judges all pairs at once, p and
interval by the one distribution; of two samples it is the paired t test. Loads scipy, so only what judges imports
this module.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from statistics import fmean

from scipy import stats

from perflour.trials.means import ALPHA, NO_SPREAD, Gap
from perflour.trials.sensory import sign_gap

#: One row a taster, one score a sample.
Scores = Sequence[Sequence[float]]


@dataclass(frozen=True)
class Blocks:
    """Means of samples, and what is left of the scores once samples and tasters are taken out.

    ``spread`` is the standard deviation of that, in points; 0 where all tasters moved alike, None with
    fewer than two tasters. ``least`` is the difference of two means from which on they are told apart
    (Tukey), None where there is no spread to tell by.
    """

    tasters: int
    means: tuple[float, ...]
    freedom: int
    spread: float | None
    least: float | None


def blocks(scores: Scores) -> Blocks:
    """The analysis of at least one taster's scores of at least two samples."""
    tasters, samples = len(scores), len(scores[0])
    means = tuple(fmean(column) for column in zip(*scores, strict=True))
    freedom = (tasters - 1) * (samples - 1)
    if tasters < 2:
        return Blocks(tasters, means, freedom, None, None)
    whole = fmean(means)
    squares = sum(
        (score - mean - fmean(row) + whole) ** 2
        for row in scores
        for score, mean in zip(row, means, strict=True)
    )
    spread = sqrt(squares / freedom)
    if spread < NO_SPREAD:
        return Blocks(tasters, means, freedom, 0.0, None)
    reach = _reach(samples, freedom)
    return Blocks(tasters, means, freedom, spread, reach * spread / sqrt(tasters))


# Owner: the process. Bound: 64 sizes of a table. Pays: it is searched for, and all scores of a session ask the same.
@lru_cache(maxsize=64)
def _reach(samples: int, freedom: int) -> float:
    """How far two of so many means may be apart by chance, in their error."""
    return float(stats.studentized_range.ppf(1 - ALPHA, samples, freedom))


def blocks_gap(found: Blocks, first: int, second: int) -> Gap:
    """The second sample against the first, by their numbers, among all pairs (Tukey).

    Where all tasters moved alike it is the exact sign test, raised for the number of pairs (Bonferroni).
    """
    difference = found.means[second] - found.means[first]
    samples = len(found.means)
    if found.spread is None:
        return Gap(found.tasters, True, difference, None, None, None, None, "")
    # of the differences of two scores of one taster
    spread = found.spread * sqrt(2)
    if found.least is None:
        return sign_gap(found.tasters, difference, pairs=samples * (samples - 1) // 2)
    reached = abs(difference) / found.spread * sqrt(found.tasters)
    p = float(stats.studentized_range.sf(reached, samples, found.freedom))
    low, high = difference - found.least, difference + found.least
    return Gap(
        found.tasters, True, difference, low, high, p, spread, "t" if samples == 2 else "Tukey"
    )
