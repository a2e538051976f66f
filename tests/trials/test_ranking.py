"""Ranking tests against published critical values and worked examples."""

from __future__ import annotations

from itertools import permutations
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from perflour.trials.grouping import group_letters
from perflour.trials.means import ALPHA
from perflour.trials.ranking import (
    friedman,
    nemenyi_p,
    page,
    rank_limits,
    rank_sums,
    ranked,
)

# Three ways to run to first base, 22 players, in seconds: M. Hollander and D. A. Wolfe, Nonparametric
# Statistical Methods, 1973, table 7.1; chi-squared 11.143 on 2 degrees, p 0.003805 (widely reprinted, from memory).
FIRST_BASE = """
5.40 5.50 5.55; 5.85 5.70 5.75; 5.20 5.60 5.50; 5.55 5.50 5.40; 5.90 5.85 5.70; 5.45 5.55 5.60; 5.40 5.40 5.35;
5.45 5.50 5.35; 5.25 5.15 5.00; 5.85 5.80 5.70; 5.25 5.20 5.10; 5.65 5.55 5.45; 5.60 5.35 5.45; 5.05 5.00 4.95;
5.50 5.50 5.40; 5.45 5.55 5.50; 5.55 5.55 5.35; 5.45 5.50 5.55; 5.50 5.45 5.25; 5.65 5.60 5.40; 5.70 5.65 5.55;
6.30 6.30 6.25"""
# Critical values of Friedman's statistic at 1 in 20 with their p, by samples and tasters: Friedman 1937, tables
# V and VI, as S. Siegel, Nonparametric Statistics, 1956, table N has them (from memory).
FRIEDMAN = [
    (3, 3, 6.0, 0.028), (3, 4, 6.5, 0.042), (3, 5, 6.4, 0.039), (3, 6, 7.0, 0.029), (3, 7, 7.143, 0.027),
    (3, 8, 6.25, 0.047), (3, 9, 6.222, 0.048), (4, 2, 6.0, 0.042), (4, 3, 7.4, 0.033), (4, 4, 7.8, 0.036),
]  # fmt: skip
# Critical L at 1 in 20 by samples and tasters: Page 1963, table 2 (from memory).
PAGE = [
    (3, 2, 28), (3, 3, 41), (3, 4, 54), (3, 5, 66), (3, 6, 79), (3, 7, 91), (3, 8, 104), (3, 9, 116), (3, 10, 128),
    (4, 2, 58), (4, 3, 84), (4, 4, 111), (4, 5, 137), (4, 6, 163), (4, 7, 189), (4, 8, 214), (4, 9, 240), (4, 10, 266),
]  # fmt: skip
# Upper 5 % points of the studentized range of k values at infinite degrees (tables in every handbook, from memory).
RANGES = {2: 2.77, 3: 3.31, 4: 3.63, 5: 3.86, 6: 4.03, 7: 4.17, 8: 4.29, 9: 4.39, 10: 4.47, 11: 4.55, 12: 4.62}  # fmt: skip


def first_base() -> list[list[float]]:
    return [ranked([float(time) for time in row.split()]) for row in FIRST_BASE.split(";")]


def test_ways_to_first_base() -> None:
    """Ties and all; the exact p, counted over all orders, lies beside that of chi-square."""
    ranks = first_base()
    found = friedman(ranks)
    assert found.statistic == pytest.approx(11.143, abs=5e-4)
    assert (found.freedom, found.method) == (2, "exact")
    assert stats.chi2.sf(found.statistic, 2) == pytest.approx(0.003805, abs=1e-6)
    assert found.p == pytest.approx(0.0038, abs=1e-3)
    assert rank_sums(ranks) == [53, 47, 32]


def rows_of(samples: int, tasters: int, drop: int) -> list[tuple[int, ...]]:
    """Rankings of so many tasters whose L lies ``drop`` below the most that is possible."""
    order = tuple(range(1, samples + 1))
    drops: dict[int, tuple[int, ...]] = {}
    for row in permutations(order):
        drops.setdefault(sum(a * (a - b) for a, b in zip(order, row, strict=True)), row)
    reachable: dict[int, list[tuple[int, ...]]] = {0: []}
    for _ in range(tasters):
        following: dict[int, list[tuple[int, ...]]] = {}
        for so_far, rows in reachable.items():
            for one, row in drops.items():
                following.setdefault(so_far + one, [*rows, row])
        reachable = following
    return reachable[drop]


@pytest.mark.parametrize(("samples", "tasters", "critical"), PAGE)
def test_every_cell_of_pages_table(samples: int, tasters: int, critical: int) -> None:
    most = tasters * samples * (samples + 1) * (2 * samples + 1) // 6
    for statistic, is_find in ((critical, True), (critical - 1, False)):
        found = page(rows_of(samples, tasters, most - statistic), range(samples))
        assert (found.statistic, found.method) == (statistic, "exact")
        assert (found.p <= ALPHA) == is_find


def test_page_takes_the_order_that_is_expected() -> None:
    ranks = [[3, 1, 2]] * 4
    assert page(ranks, (1, 2, 0)).p < 0.001
    assert page(ranks, (0, 2, 1)).p > 0.9
    assert page([[1, 2.5, 2.5]] * 4, (0, 1, 2)).method == "normal"


@pytest.mark.parametrize(("samples", "tasters", "critical", "p"), FRIEDMAN)
def test_friedmans_tables(samples: int, tasters: int, critical: float, p: float) -> None:
    """The table's value is reached by some rankings, has its p, and the next below is no find."""
    found = {}
    rest = list(permutations(range(1, samples + 1)))
    stack: list[list[tuple[int, ...]]] = [[rest[0]]]
    for _ in range(tasters - 1):
        seen = {}
        for rows in stack:
            for row in rest:
                new = [*rows, row]
                seen[tuple(sorted(rank_sums(new)))] = new
        stack = list(seen.values())
    for rows in stack:
        one = friedman(rows)
        assert one.method == "exact"
        found[round(one.statistic, 3)] = one.p
    assert found[critical] == pytest.approx(p, abs=5e-4)
    assert all((value >= critical) == (q <= ALPHA) for value, q in found.items())


def test_twelve_samples_are_judged_by_chi_square() -> None:
    """Against scipy, which is another's code."""
    rows = [ranked([(n * m) % 13 for n in range(1, 13)]) for m in range(1, 13)]
    found, wanted = friedman(rows), stats.friedmanchisquare(*zip(*rows, strict=True))
    assert found.method == "chi-square"
    assert [found.statistic, found.p] == pytest.approx([wanted.statistic, wanted.pvalue])  # fmt: skip


def test_all_tied_is_no_difference() -> None:
    assert friedman([[2, 2, 2]] * 5).p == 1


rankings = st.integers(3, 4).flatmap(
    lambda k: st.lists(
        st.lists(st.integers(1, k), min_size=k, max_size=k).map(ranked), min_size=2, max_size=6
    )
)


@given(rankings)
def test_the_statistic_with_ties_is_scipys(rows: list[list[float]]) -> None:
    if all(len(set(row)) == 1 for row in rows):
        return
    wanted = stats.friedmanchisquare(*zip(*rows, strict=True)).statistic
    assert friedman(rows).statistic == pytest.approx(wanted)


@pytest.mark.parametrize("samples", RANGES)
def test_differences_of_rank_sums(samples: int) -> None:
    """ISO 8587 (from memory): 1.96 sqrt(n k (k + 1) / 6); of all pairs q sqrt(n k (k + 1) / 12): P. Nemenyi
    1963, D. Basker, Food Technology 42 (1988), no. 2, 79 (both from memory)."""
    limits = rank_limits([range(1, samples + 1)] * 20)
    assert limits.one_pair == pytest.approx(1.96 * sqrt(20 * samples * (samples + 1) / 6), rel=1e-4)
    table = RANGES[samples] * sqrt(20 * samples * (samples + 1) / 12)
    assert limits.any_pair == pytest.approx(table, rel=2e-3)
    assert nemenyi_p(limits.any_pair, limits.error, samples) == pytest.approx(ALPHA, abs=1e-6)


def test_ties_make_differences_clearer() -> None:
    assert rank_limits([[1, 2.5, 2.5]] * 9).any_pair < rank_limits([[1, 2, 3]] * 9).any_pair


@pytest.mark.parametrize(
    ("values", "letters"),
    [
        ([9, 8, 7], ["a", "a", "a"]),
        ([9, 8, 6.9], ["a", "ab", "b"]),
        ([9, 7, 5], ["a", "b", "c"]),
        ([9, 8, 7.5, 6.5, 3], ["a", "ab", "ab", "b", "c"]),
        ([1, 2, 3.5], ["a", "a", "b"]),
        ([5], ["a"]),
    ],
)
def test_letters(values: list[float], letters: list[str]) -> None:
    """By hand, with a least difference of just over 2 (of 1.9 in the fourth)."""
    least = {3.5: 1.5, 6.9: 2.05, 5: 1.9}.get(values[-1], 2.1)
    assert group_letters(values, least) == letters


@given(st.lists(st.floats(0, 10), min_size=2, max_size=12), st.floats(0.1, 5))
def test_letters_are_shared_exactly_by_those_not_told_apart(
    values: list[float], least: float
) -> None:
    values.sort()
    letters = group_letters(values, least)
    for first, one in zip(values, letters, strict=True):
        for second, other in zip(values, letters, strict=True):
            assert bool(set(one) & set(other)) == (abs(first - second) < least)
