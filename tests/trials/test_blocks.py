"""Several samples of the same tasters against a worked example, the t test and by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.trials.blocks import blocks, blocks_gap
from perflour.trials.means import ALPHA, Gap
from perflour.trials.sensory import group_gap, paired_gap, sign_gap

# Vascular grafts at four pressures, six batches: D. C. Montgomery, Design and Analysis of Experiments, the chapter
# on randomized blocks (from memory): mean square of the error 7.33 on 15 degrees.
GRAFTS = [
    [90.3, 89.2, 98.2, 93.9, 87.4, 97.9],
    [92.5, 89.5, 90.6, 94.7, 87.0, 95.8],
    [85.5, 90.8, 89.6, 86.2, 88.0, 93.4],
    [82.5, 89.5, 85.6, 87.4, 78.9, 90.7],
]


def test_grafts() -> None:
    """The studentized range of 4 means on 15 degrees is 4.08 at 1 in 20 (tables, from memory)."""
    found = blocks(list(zip(*GRAFTS, strict=True)))
    assert found.spread is not None and found.least is not None
    assert (found.tasters, found.freedom) == (6, 15)
    assert found.spread**2 == pytest.approx(7.33, abs=5e-3)
    assert found.means == pytest.approx((92.82, 91.68, 88.92, 85.77), abs=5e-3)
    assert found.least == pytest.approx(4.08 * (7.33 / 6) ** 0.5, rel=2e-3)


scores = st.integers(1, 9).map(float)


@given(st.lists(st.tuples(scores, scores), min_size=2, max_size=9))
def test_of_two_samples_it_is_the_paired_t_test(rows: list[tuple[float, float]]) -> None:
    found = blocks_gap(blocks(rows), 0, 1)
    wanted = paired_gap([a for a, _ in rows], [b for _, b in rows])
    for name in ("difference", "low", "high", "p", "spread", "method"):
        value = getattr(wanted, name)
        same = value if isinstance(value, str | None) else pytest.approx(value, rel=1e-6, abs=1e-9)
        assert getattr(found, name) == same


def agrees(gap: Gap) -> bool:
    """Whether p and interval say the same."""
    if gap.p is None or gap.low is None or gap.high is None:
        return gap.p is None or gap.p > ALPHA
    return (gap.p <= ALPHA) == (gap.low > 0 or gap.high < 0)


@given(st.integers(2, 5).flatmap(lambda k: st.lists(st.lists(scores, min_size=k, max_size=k), min_size=1, max_size=8)))  # fmt: skip
def test_p_and_interval_never_disagree(rows: list[list[float]]) -> None:
    found = blocks(rows)
    for first in range(len(rows[0])):
        for second in range(first):
            assert agrees(blocks_gap(found, first, second))


@given(st.lists(scores, min_size=1, max_size=8), st.lists(scores, min_size=1, max_size=8))
def test_nor_do_they_of_two_groups_or_pairs(first: list[float], second: list[float]) -> None:
    assert agrees(group_gap(first, second))
    least = min(len(first), len(second))
    assert agrees(paired_gap(first[:least], second[:least]))


@pytest.mark.parametrize(
    ("tasters", "pairs", "p", "has_interval"),
    [(3, 1, 0.25, False), (5, 1, 0.0625, False), (6, 1, 0.03125, True), (6, 3, 0.09375, False), (2, 66, 1, False)],
)  # fmt: skip
def test_all_moved_alike(tasters: int, pairs: int, p: float, has_interval: bool) -> None:
    """2 / 2^n, counted out, times the pairs (Bonferroni)."""
    gap = sign_gap(tasters, 2.0, pairs)
    assert (gap.method, gap.spread, gap.difference) == ("sign", 0.0, 2.0)
    assert gap.p == pytest.approx(p)
    assert (gap.low, gap.high) == ((2.0, 2.0) if has_interval else (None, None))


@pytest.mark.parametrize(("sizes", "p"), [((3, 3), 2 / 20), ((4, 4), 2 / 70), ((2, 3), 2 / 10)])
def test_two_groups_of_one_mind(sizes: tuple[int, int], p: float) -> None:
    """Of 20 ways to deal six scores to two groups of three, two part them so; and so on."""
    gap = group_gap([6.0] * sizes[0], [8.0] * sizes[1])
    assert gap.method == "permutation"
    assert gap.p == pytest.approx(p)
    assert (gap.low is not None) == (p <= ALPHA)


def test_three_that_move_alike_in_three_samples() -> None:
    found = blocks([[4, 6, 6], [5, 7, 7], [2, 4, 4]])
    assert (found.spread, found.least) == (0, None)
    assert blocks_gap(found, 0, 1).p == 3 * 0.25
    assert blocks_gap(found, 1, 2).p == 1
