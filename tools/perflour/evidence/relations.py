"""Which figures go with which scores, beyond what chance brings: ranks, dealt anew many times, with all looks counted.

Numbers in, numbers out. The relation of a figure with a score is Spearman's rank correlation over things, within strata
that can be compared. Chance is what the same figures show when the scores are dealt to the things of a stratum anew:
all deals where they are few, else ``DEALS`` of them from a fixed seed. Whoever looks at sixty figures finds three
beyond 1 in 20 by chance alone, so each relation is held against the strongest of all that were looked at in the
same deal: P. H. Westfall and S. S. Young, Resampling-Based Multiple Testing, Wiley 1993 (single-step maxT, from memory).
Every deal is as likely as what was seen only if nothing is related, so "real" is wrong in at most 1 set of 20.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import permutations, product
from math import atanh, ceil, factorial, prod
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from perflour.evidence.related import DEALS, Pairing, Relation, Relations
from perflour.trials.means import ALPHA, POWER

SEED = 1
#: The part in chance that a tie of floats must not decide.
TIE = 1e-9
#: Share of the largest value below which a difference of a figure is none: house choice, two in a hundred.
TIE_SHARE = 0.02
#: Figures whose ranks agree as far as this in every thing are one and the same for these data.
SAME = 1 - 1e-9
#: From so strong a rank correlation of two figures on, data can hardly tell which of them a score goes with.
TOGETHER = 0.7

Numbers = NDArray[np.float64]


def relations(
    figures: Mapping[str, Sequence[float | None]],
    outcomes: Mapping[str, Sequence[float | None]],
    strata: Sequence[int],
    most_deals: int = DEALS,
    seed: int = SEED,
) -> Relations:
    """Every figure against every outcome, all in the same order of things; ``strata`` says who is compared with whom.

    A figure that is not known of every thing is left out; an outcome may be missing.
    """
    count = len(strata)
    cells = _cells(strata)
    not_whole = tuple(
        n for n, values in figures.items() if None in values and set(values) != {None}
    )
    whole = {n: np.array(v, dtype=float) for n, v in figures.items() if None not in v}
    ranked = {name: _ranks(_coarse(values), cells) for name, values in whole.items()}
    constant = tuple(name for name, values in ranked.items() if not values.any())
    alike = _classes({n: v for n, v in ranked.items() if n not in constant})
    rows = np.array([ranked[name] for name in alike]) if alike else np.zeros((0, count))
    scored = {n: _ranks(np.array([np.nan if v is None else v for v in values], dtype=float), cells) for n, values in outcomes.items()}  # fmt: skip
    scored = {name: values for name, values in scored.items() if values.any()}
    deals, is_exact = _deals(cells, count, most_deals, seed)
    seen, beyond, of_all = _held_against_chance(rows, np.array(list(scored.values())), deals)
    looks = seen.size
    # perfect order and its mirror image are two of all ways to deal
    least_p = max(2 / _ways(cells), 0 if is_exact else 1 / (len(deals) + 1))
    found = [
        Relation(
            figure=first,
            outcome=outcome,
            things=int(np.count_nonzero(~np.isnan(_known(outcomes[outcome])))),
            rank=float(seen[i, j]),
            p=float(beyond[i, j]),
            p_of_all=float(of_all[i, j]),
            needed=things_needed(float(seen[i, j]), looks),
            alike=tuple(others),
        )
        for i, (first, others) in enumerate(alike.items())
        for j, outcome in enumerate(scored)
    ]
    found.sort(key=lambda one: (one.p_of_all, one.p, -abs(one.rank), one.figure, one.outcome))
    return Relations(tuple(found), looks, len(deals), is_exact, least_p, not_whole, constant)


def raised(found: Relations, times: int) -> Relations:
    """The same with every chance counted for so many sets of looks (Bonferroni)."""
    if times == 1:
        return found
    return replace(
        found,
        found=tuple(replace(one, p_of_all=min(1.0, one.p_of_all * times)) for one in found.found),
        looks=found.looks * times,
        least_p=found.least_p * times,
    )


def _known(values: Sequence[float | None]) -> Numbers:
    return np.array([np.nan if value is None else value for value in values], dtype=float)


def _cells(strata: Sequence[int]) -> list[list[int]]:
    """The places of each stratum that has at least two things."""
    by: dict[int, list[int]] = {}
    for at, stratum in enumerate(strata):
        by.setdefault(stratum, []).append(at)
    return [places for places in by.values() if len(places) > 1]


def _coarse(values: Numbers) -> Numbers:
    """Values nearer to each other than ``TIE_SHARE`` of the largest are the same: nobody weighs or tastes so fine."""
    step = TIE_SHARE * float(np.max(np.abs(values), initial=0.0))
    coarse, start = values.copy(), -np.inf
    for at in np.argsort(values, kind="stable"):
        if values[at] - start > step:
            start = values[at]
        coarse[at] = start
    return coarse


def _ranks(values: Numbers, cells: Sequence[Sequence[int]]) -> Numbers:
    """Ranks within strata, centred there and of length 1 over all; zeros where nothing is or nothing moves.

    What differs by rounding alone is a tie.
    """
    ranked = np.zeros(len(values))
    for places in cells:
        inside = values[places]
        known = ~np.isnan(inside)
        if known.sum() < 2:
            continue
        ranks = stats.rankdata(np.round(inside[known], 6))
        centred = np.zeros(len(inside))
        centred[known] = ranks - ranks.mean()
        # strata of different size count by their things, each on the same scale
        ranked[places] = centred / len(inside)
    length = np.linalg.norm(ranked)
    return ranked / length if length > TIE else np.zeros(len(values))


def _classes(ranked: Mapping[str, Numbers]) -> dict[str, list[str]]:
    """Figures whose ranks are the same or the mirror image of each other's, under the first of them."""
    classes: dict[str, list[str]] = {}
    for name, values in ranked.items():
        for first in classes:
            if abs(float(ranked[first] @ values)) >= SAME:
                classes[first].append(name)
                break
        else:
            classes[name] = []
    return classes


def _deals(
    cells: Sequence[Sequence[int]], count: int, most: int, seed: int
) -> tuple[NDArray[np.intp], bool]:
    """Ways to deal scores to things within strata, one a row; whether these are all."""
    if not cells:
        return np.zeros((0, count), dtype=np.intp), True
    if _ways(cells) <= most + 1:
        return np.array(list(_all_deals(cells, count)), dtype=np.intp), True
    draw = np.random.default_rng(seed)
    order = np.tile(np.arange(count, dtype=np.intp), (most, 1))
    for places in cells:
        inside = np.tile(np.array(places, dtype=np.intp), (most, 1))
        order[:, places] = draw.permuted(inside, axis=1)
    return order, False


def _ways(cells: Sequence[Sequence[int]]) -> int:
    return prod(factorial(len(places)) for places in cells)


def _all_deals(cells: Sequence[Sequence[int]], count: int) -> Iterator[list[int]]:
    for dealt in product(*(permutations(places) for places in cells)):
        order = list(range(count))
        for places, now in zip(cells, dealt, strict=True):
            for at, other in zip(places, now, strict=True):
                order[at] = other
        yield order


def _held_against_chance(
    figures: Numbers, outcomes: Numbers, deals: NDArray[np.intp]
) -> tuple[Numbers, Numbers, Numbers]:
    """Correlations as seen; the share of deals as strong, one by one and of the strongest of all."""
    if not len(figures) or not len(outcomes) or not len(deals):
        empty = np.zeros((len(figures), len(outcomes)))
        return empty, np.ones_like(empty), np.ones_like(empty)
    seen = figures @ outcomes.T
    reached = np.abs(seen) - TIE
    exact = _is_identity_in(deals)
    single, of_all = np.zeros(seen.shape), np.zeros(seen.shape)
    for slab in _slabs(deals, 2000):
        dealt = outcomes[:, slab]  # outcome, deal, thing
        strength = np.abs(dealt @ figures.T)  # outcome, deal, figure
        single += (strength >= reached.T[:, None, :]).sum(axis=1).T
        strongest = strength.max(axis=(0, 2))
        of_all += (strongest[:, None, None] >= reached).sum(axis=0)
    extra = 0 if exact else 1
    return seen, (single + extra) / (len(deals) + extra), (of_all + extra) / (len(deals) + extra)


def _is_identity_in(deals: NDArray[np.intp]) -> bool:
    """Whether all deals were listed: then what was seen is one of them, the first."""
    return bool((deals[0] == np.arange(deals.shape[1])).all())


def _slabs(deals: NDArray[np.intp], size: int) -> Iterator[NDArray[np.intp]]:
    for at in range(0, len(deals), size):
        yield deals[at : at + size]


def things_needed(rank: float, looks: int) -> int | None:
    """The things that would show a rank correlation of this strength with 4 chances in 5 among so many looks.

    By Fisher's transformation with the variance (1 + r^2 / 2) / (n - 3) of Spearman's: D. G. Bonett and T. A. Wright,
    Sample size requirements for estimating Pearson, Kendall and Spearman correlations, Psychometrika 65 (2000)
    23-28 (from memory); looks counted by Bonferroni, which asks for too many, never too few. None beyond 1,000.
    """
    strength = min(abs(rank), 0.999)
    if strength < TIE or not looks:
        return None
    normal = NormalDist()
    reach = normal.inv_cdf(1 - ALPHA / looks / 2) + normal.inv_cdf(POWER)
    needed = ceil((1 + strength**2 / 2) * (reach / atanh(strength)) ** 2 + 3)
    return needed if needed <= 1000 else None


def moved_together(
    figures: Mapping[str, Sequence[float]],
    strata: Sequence[int],
    of: Sequence[str] = (),
    most: int = 12,
) -> tuple[Pairing, ...]:
    """Pairs of figures that these data can hardly part, the closest first; with ``of`` only those with one of these."""
    cells = _cells(strata)
    ranked = {
        name: _ranks(_coarse(np.array(values, dtype=float)), cells)
        for name, values in figures.items()
    }
    names = [name for name, values in ranked.items() if values.any()]
    found = [
        pairing
        for at, first in enumerate(names)
        for second in names[at + 1 :]
        if (not of or first in of or second in of)
        and (pairing := _pairing(first, second, ranked[first], ranked[second]))
    ]
    found.sort(key=lambda one: (-abs(one.rank), one.first, one.second))
    return tuple(found[:most])


def _pairing(first: str, second: str, one: Numbers, other: Numbers) -> Pairing | None:
    """How two figures moved; None where data can part them."""
    rank = float(one @ other)
    if abs(rank) < TOGETHER:
        return None
    moved = (one != 0) | (other != 0)
    same_side = np.sign(one) * np.sign(other) * np.sign(rank) > 0
    return Pairing(first, second, rank, int(same_side[moved].sum()), int(moved.sum()))
