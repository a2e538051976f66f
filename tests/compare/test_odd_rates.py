"""How often a row without anything odd in it shows an odd value: simulated again, by another library."""

from __future__ import annotations

import re
import sys

import numpy as np
import pytest
from scipy.stats import median_abs_deviation, norm

from perflour.compare.odd_rates import ODD_RATES
from perflour.compare.outliers import BY_CHANCE_PERCENT, far_score
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

from write_odd_rates import DRAWN, SIZES  # the path is set above

BY_SIZE = {rate.values: rate for rate in ODD_RATES}
ROWS = 40_000


@pytest.mark.parametrize("values", [8, 9, 13, 20, 50])
def test_chances_are_those_of_other_normal_rows(values: int) -> None:
    """scipy's median absolute deviation on rows of our own; within four standard errors of both."""
    rows = np.random.default_rng(values).normal(50, 7, (ROWS, values))
    usual = median_abs_deviation(rows, axis=1, scale="normal")
    farthest = np.abs(rows - np.median(rows, axis=1, keepdims=True)).max(axis=1) / usual
    rate = BY_SIZE[values]
    for limit, told in ((rate.limit, rate.by_chance_percent), (3.5, rate.beyond_3_5_percent)):
        share = told / 100
        error = (share * (1 - share) * (1 / ROWS + 1 / DRAWN)) ** 0.5
        assert float((farthest > limit).mean()) == pytest.approx(share, abs=4 * error)


def test_no_row_has_more_than_is_promised() -> None:
    assert tuple(BY_SIZE) == SIZES
    assert all(4.5 < rate.by_chance_percent < BY_CHANCE_PERCENT for rate in ODD_RATES)


def test_limits_between_and_beyond_the_rows_of_the_table() -> None:
    """Between two the larger; of very many values nearly that of a normal spread that is known (scipy)."""
    assert far_score(75) == max(BY_SIZE[70].limit, BY_SIZE[80].limit)
    assert far_score(1000) == BY_SIZE[1000].limit
    known = norm.ppf(1 - (1 - 0.95 ** (1 / 20_000)) / 2)
    assert known < far_score(20_000) < 1.03 * known


def test_the_page_shows_the_table() -> None:
    page = (ROOT / "docs" / "compare.md").read_text(encoding="utf-8")
    shown = re.findall(r"^\| (\d+) \| ([\d.]+) \| ([\d.]+) \| ([\d.]+) \|$", page, re.MULTILINE)
    assert len(shown) >= 5
    for values, *figures in shown:
        _, limit, *chances = BY_SIZE[int(values)]
        assert figures == [f"{limit:.2f}", *(f"{chance:.1f}" for chance in chances)]
