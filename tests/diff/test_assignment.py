"""Pairs at the least cost, against scipy's assignment and against trying everything."""

from __future__ import annotations

from itertools import permutations

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linear_sum_assignment

from perflour.diff.assignment import assign, by_paths, by_trying
from perflour.diff.augmenting import cheapest_columns

costs = st.dictionaries(
    st.tuples(st.integers(0, 3), st.integers(0, 3)), st.integers(0, 50).map(float), min_size=1
)


@given(costs)
def test_trying_and_paths_agree(table: dict[tuple[int, int], float]) -> None:
    rows, columns = sorted({a for a, _ in table}), sorted({b for _, b in table})
    tried, found = (way(table, rows, columns) for way in (by_trying, by_paths))
    assert len(tried) == len(found)
    assert sum(table[pair] for pair in tried) == sum(table[pair] for pair in found)


@st.composite
def tables(draw: st.DrawFn) -> list[list[float]]:
    """Costs of few kinds, so that many ways cost the same, or of any."""
    value = draw(st.sampled_from((st.integers(0, 3).map(float), st.floats(0, 9))))
    many = draw(st.integers(1, 9))
    wide = draw(st.integers(many, 12))
    return draw(st.lists(st.lists(value, min_size=wide, max_size=wide), min_size=many, max_size=many))  # fmt: skip


@given(tables())
def test_scipy_chooses_the_same_ties_too(table: list[list[float]]) -> None:
    assert cheapest_columns(table) == linear_sum_assignment(np.array(table))[1].tolist()


@given(st.lists(st.integers(0, 99), max_size=5), st.lists(st.integers(0, 99), max_size=5))
def test_no_other_way_is_cheaper_and_none_pairs_more(one: list[int], other: list[int]) -> None:
    """Far numbers never go together; near ones as many as can be, at the least sum."""

    def cost(a: int, b: int) -> float | None:
        return float(abs(a - b)) if abs(a - b) < 30 else None

    pairs = assign(one, other, cost)
    found = -len(pairs), sum(abs(one[a] - other[b]) for a, b in pairs)
    few, many = sorted((one, other), key=len)
    ways = (
        [c for a, b in zip(few, way, strict=True) if (c := cost(a, b)) is not None]
        for way in permutations(many, len(few))
    )
    assert found == min((-len(way), sum(way)) for way in ways)
    assert len({a for a, _ in pairs}) == len({b for _, b in pairs}) == len(pairs)
