"""Blind codes and serving orders: balanced as the design says, the same again from the same seed."""

from __future__ import annotations

from collections import Counter
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.records.serving import TRIANGLE_ROWS, draw_servings, williams_rows


@pytest.mark.parametrize("samples", range(2, 13))
def test_the_design_is_balanced(samples: int) -> None:
    """Williams 1949: every sample at every place, and right after every other, equally often; as many
    rows as samples where that is even, twice as many where it is odd."""
    rows = williams_rows(samples)
    times = 1 if samples % 2 == 0 else 2
    assert len(rows) == times * samples
    assert all(sorted(row) == list(range(samples)) for row in rows)
    assert all(set(Counter(place).values()) == {times} for place in zip(*rows, strict=True))
    after = Counter(pair for row in rows for pair in pairwise(row))
    assert len(after) == samples * (samples - 1)
    assert set(after.values()) == {times}


def test_four_samples_as_printed() -> None:
    """The square for four samples of MacFie et al. 1989, table 1 (from memory): ABDC BCAD CDBA DACB."""
    rows = {"".join("ABCD"[n] for n in row) for row in williams_rows(4)}
    assert rows == {"ABDC", "BCAD", "CDBA", "DACB"}


def test_a_triangle_has_six_orders() -> None:
    """ISO 4120 (from memory): AAB ABA BAA BBA BAB ABB."""
    orders = {"".join("AB"[n] for n in row) for row in TRIANGLE_ROWS}
    assert orders == {"AAB", "ABA", "BAA", "BBA", "BAB", "ABB"}


seeds = st.integers(0, 999_999_999)


@given(st.integers(2, 12), st.integers(1, 30), seeds)
def test_every_taster_gets_every_sample(samples: int, count: int, seed: int) -> None:
    tasters = [f"T{n}" for n in range(count)]
    drawn = draw_servings(samples, tasters, ask="scores", seed=seed)
    codes = [code for each in drawn.codes for code in each]
    assert len(set(codes)) == samples
    assert all(100 <= int(code) <= 999 and len(set(code)) == 3 for code in codes)
    assert len({code[:2] for code in codes}) == samples
    assert [served.taster for served in drawn.served] == tasters
    assert all(sorted(served.codes) == sorted(codes) for served in drawn.served)
    assert draw_servings(samples, tasters, ask="scores", seed=seed) == drawn


@given(st.integers(2, 7), st.integers(1, 3), seeds)
def test_a_full_session_is_balanced(samples: int, times: int, seed: int) -> None:
    count = times * len(williams_rows(samples))
    drawn = draw_servings(samples, [f"{n}" for n in range(count)], ask="scores", seed=seed)
    orders = [served.codes for served in drawn.served]
    assert drawn.rows * times == count
    for place in zip(*orders, strict=True):
        assert set(Counter(place).values()) == {count // samples}
    after = Counter(pair for order in orders for pair in pairwise(order))
    assert len(set(after.values())) == 1


@given(st.integers(1, 4), seeds)
def test_triangles_take_every_order_equally_often(times: int, seed: int) -> None:
    drawn = draw_servings(2, [f"{n}" for n in range(6 * times)], ask="triangle", seed=seed)
    by_code = {code: at for at, codes in enumerate(drawn.codes) for code in codes}
    orders = Counter(tuple(by_code[code] for code in served.codes) for served in drawn.served)
    assert set(orders) == set(TRIANGLE_ROWS)
    assert set(orders.values()) == {times}
    assert all(len(set(served.codes)) == 3 for served in drawn.served)


def test_a_seed_draws_the_same_in_every_version() -> None:
    """random() of a seeded generator is promised to stay the same (Python library reference, random)."""
    scores = draw_servings(2, ["A", "B"], ask="scores", seed=7)
    assert scores.codes == (("745",), ("230",))
    assert [served.codes for served in scores.served] == [("745", "230"), ("230", "745")]
    triangle = draw_servings(2, ["A"], ask="triangle", seed=7)
    assert triangle.codes == (("745", "230"), ("648", "845"))
    assert draw_servings(2, ["A", "B"], ask="scores", seed=8) != scores
