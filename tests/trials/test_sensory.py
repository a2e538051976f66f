"""The statistics of a tasting against published tables and worked examples."""

from __future__ import annotations

import csv
from fractions import Fraction
from math import comb, isclose

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.report.trials.sheets import SCALE
from perflour.trials.means import ALPHA, USUAL_SPREAD, mean_of
from perflour.trials.sensory import (
    critical_number,
    group_gap,
    judge_choices,
    paired_gap,
    power_of_choices,
    tasters_for_choices,
    tasters_for_gap,
)
from tests.conftest import ROOT, examples

TABLE = ROOT / "tests" / "published" / "reference" / "tasting.csv"
#: chance and whether two-sided, by the table's topic
TESTS = {
    "triangle test": (Fraction(1, 3), False),
    "paired preference": (Fraction(1, 2), True),
    "paired difference (directional)": (Fraction(1, 2), False),
}
# Numbers of correct answers needed at 1 in 20, from memory of ISO 4120:2004, table A.1, and of the
# paired comparison tables of ISO 5495; apart from the table above, which was reckoned.
REMEMBERED = [
    ("triangle test", 12, 8),
    ("triangle test", 24, 13),
    ("triangle test", 30, 15),
    ("paired preference", 20, 15),
    ("paired preference", 30, 21),
    ("paired difference (directional)", 20, 15),
    ("paired difference (directional)", 30, 20),
]


# Least numbers of right answers in a duo-trio at 1 in 20: ISO 10399, table A.1 (from memory).
DUO_TRIO = {
    6: 6, 7: 7, 8: 7, 9: 8, 10: 9, 11: 9, 12: 10, 13: 10, 14: 11, 15: 12, 16: 12, 17: 13, 18: 13, 19: 14, 20: 15,
    24: 17, 30: 20, 36: 24, 40: 26, 48: 31, 60: 37,
}  # fmt: skip


@pytest.mark.parametrize(("tasters", "needed"), DUO_TRIO.items())
def test_the_table_of_the_duo_trio(tasters: int, needed: int) -> None:
    for chosen in (needed - 1, needed):
        found = judge_choices(chosen, tasters, 1 / 2, 0.75, two_sided=False)
        assert (found.needed, found.p <= ALPHA) == (needed, chosen == needed)


def table_rows() -> list[tuple[str, int, int]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["topic"] in TESTS]
    return [(row["topic"], int(row["item"].removeprefix("n=")), int(row["value"])) for row in rows]


@pytest.mark.parametrize(("topic", "tasters", "needed"), table_rows() + REMEMBERED)
def test_every_cell_of_the_binomial_tables(topic: str, tasters: int, needed: int) -> None:
    """Critical numbers in the form of ISO 4120 (triangle) and ISO 5495 (pairs), alpha 0.05."""
    chance, two_sided = TESTS[topic]
    assert critical_number(tasters, float(chance), two_sided) == needed
    for chosen in (needed - 1, needed):
        found = judge_choices(chosen, tasters, float(chance), 0.75, two_sided)
        assert (found.p <= ALPHA) == (chosen == needed)
        assert found.needed == needed


def test_the_words_of_the_hedonic_scale() -> None:
    """Peryam and Pilgrim 1957 (from memory), by way of the reference table."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["topic"] == "hedonic 9-point"]
    assert set(SCALE) == {f"{row['value']} {row['item']}" for row in rows}
    assert len(rows) == 9


@given(st.integers(1, 40), st.data(), st.sampled_from(list(TESTS)))
def test_p_is_the_sum_of_the_binomial_distribution(n: int, data: st.DataObject, topic: str) -> None:
    """Against the sum in exact fractions (definition of the exact binomial test)."""
    chance, two_sided = TESTS[topic]
    chosen = data.draw(st.integers((n + 1) // 2 if two_sided else 0, n))
    at_least = sum(comb(n, k) * chance**k * (1 - chance) ** (n - k) for k in range(chosen, n + 1))
    p = min(Fraction(1), 2 * at_least) if two_sided else at_least
    assert isclose(judge_choices(chosen, n, float(chance), 0.75, two_sided).p, p, rel_tol=1e-9)


@pytest.mark.parametrize(
    ("chance", "two_sided", "fewest"), [(1 / 3, False, 3), (0.5, False, 5), (0.5, True, 6)]
)
def test_the_fewest_tasters_who_can_show_anything(
    chance: float, two_sided: bool, fewest: int
) -> None:
    """All of one mind by chance: (1/3)^3 = 0.037, (1/2)^5 = 0.031, 2 x (1/2)^6 = 0.031."""
    assert critical_number(fewest, chance, two_sided) == fewest
    assert critical_number(fewest - 1, chance, two_sided) is None


# J. Cohen, Statistical Power Analysis for the Behavioral Sciences, 2nd edition 1988, table 2.4.1
# (two groups, two-sided 0.05, power 0.80; from memory): sample size in each group. At 0.2 the book prints
# 393; 393 in each group have a power of 0.7996, just short, so ours is one more.
@pytest.mark.parametrize(("effect", "printed", "tasters"), [(0.2, 393, 394), (0.5, 64, 64), (0.8, 26, 26)])  # fmt: skip
def test_tasters_in_each_of_two_groups(effect: float, printed: int, tasters: int) -> None:
    assert tasters_for_gap(effect, 1.0, paired=False) == tasters
    assert tasters - printed in (0, 1)


def test_tasters_of_a_hedonic_test() -> None:
    """G. Hough et al. 2006 (from memory): 112 at a spread of 0.23 and a difference of 0.1 of the
    scale, alpha 0.05, power 0.90, by the normal distribution; Student's t asks for one more."""
    assert tasters_for_gap(0.1 * 8, USUAL_SPREAD, paired=False, power=0.9) in (112, 113)


def test_the_sleep_of_ten_patients() -> None:
    """Student, The probable error of a mean, Biometrika 6 (1908): hours of sleep gained by the same
    ten patients with two drugs; mean difference 1.58, t = 4.06, p = 0.0028 (widely reprinted)."""
    first = [0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0]
    second = [1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4]
    gap = paired_gap(first, second)
    assert (gap.tasters, gap.paired) == (10, True)
    assert gap.difference == pytest.approx(1.58)
    assert gap.p == pytest.approx(0.00283, abs=1e-5)
    assert [gap.low, gap.high] == pytest.approx([0.7001, 2.4599], abs=1e-3)
    # the same as two groups, Welch's test: p = 0.0794, interval -0.205 to 3.365 (widely reprinted)
    apart = group_gap(first, second)
    assert apart.p == pytest.approx(0.0794, abs=1e-4)
    assert [apart.low, apart.high] == pytest.approx([-0.2055, 3.3655], abs=1e-3)  # fmt: skip
    mean = mean_of(second)
    assert [mean.mean, mean.spread] == pytest.approx([2.33, 2.002], abs=1e-3)


@pytest.mark.parametrize(
    ("first", "second", "p"),
    [([7], [8], None), ([7, 7, 7], [8, 8, 8], 0.25), ([6, 7, 8], [7, 8, 9], 0.25), ([19 / 3, 5.1], [22 / 3, 6.1], 0.5)],
)  # fmt: skip
def test_without_spread_the_sign_test_is_all_there_is(
    first: list[float], second: list[float], p: float | None
) -> None:
    """All of n lean one way by chance in 2 of 2^n cases."""
    gap = paired_gap(first, second)
    assert gap.difference == pytest.approx(1)
    assert (gap.low, gap.high, gap.p) == (None, None, p)


@pytest.mark.filterwarnings("error")
def test_a_group_of_one_mind_is_compared_without_a_warning() -> None:
    """Welch's t by hand: (8 - 7) / sqrt(1 / 3) = 1.732 with 2 degrees of freedom, p = 0.2254 (the
    distribution of t with 2 degrees has a closed form: p = 1 - t / sqrt(t^2 + 2))."""
    gap = group_gap([7, 7, 7, 7], [7, 8, 9])
    assert gap.p == pytest.approx(1 - 3**0.5 / 5**0.5)


def test_one_taster_or_one_mind_has_no_interval() -> None:
    assert mean_of([7]).spread is None
    assert (mean_of([7]).low, mean_of([7, 7]).high) == (None, None)
    assert group_gap([7], [8, 9]).p is None


@examples(15)  # each sums over all outcomes
@given(st.integers(5, 60), st.sampled_from(list(TESTS)))
def test_power_is_the_chance_of_a_find(n: int, topic: str) -> None:
    """The sum over all outcomes that the table calls a find."""
    chance, two_sided = TESTS[topic]
    share = 0.7
    power = sum(
        comb(n, k) * share**k * (1 - share) ** (n - k)
        for k in range(n + 1)
        if k > n * chance and judge_choices(k, n, float(chance), share, two_sided).p <= ALPHA
    )
    assert power_of_choices(n, float(chance), share, two_sided) == pytest.approx(power)


@pytest.mark.parametrize(
    ("topic", "share"), [("triangle test", 2 / 3), ("paired preference", 0.75)]
)
def test_that_many_tasters_and_more_will_do(topic: str, share: float) -> None:
    chance, two_sided = TESTS[topic]
    n = tasters_for_choices(float(chance), share, two_sided)
    powers = [power_of_choices(k, float(chance), share, two_sided) for k in range(n - 1, n + 40)]
    assert powers[0] < 0.8 <= min(powers[1:])
