"""Student's t by its finite sums, against scipy and the printed table."""

from __future__ import annotations

import pytest
from scipy import stats

from perflour.trials.means import ALPHA, student_reach

#: Two-sided at 5 %: NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2 (from memory).
PRINTED = {1: 12.706, 2: 4.303, 3: 3.182, 4: 2.776, 5: 2.571, 9: 2.262, 10: 2.228, 30: 2.042, 100: 1.984}  # fmt: skip


@pytest.mark.parametrize(("freedom", "reach"), PRINTED.items())
def test_the_printed_table(freedom: int, reach: float) -> None:
    assert round(student_reach(freedom), 3) == reach


def test_every_number_of_tasters_as_scipy_has_it() -> None:
    for freedom in [*range(1, 300), *range(300, 5001, 97)]:
        wanted = float(stats.t.ppf(1 - ALPHA / 2, freedom))
        assert student_reach(freedom) == pytest.approx(wanted, rel=1e-11), freedom
