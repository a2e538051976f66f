"""What a trial would show, against tables, and against trials that are played through."""

from __future__ import annotations

from math import inf, sqrt
from typing import Any

import numpy as np
import pytest

from perflour.designs.design import Design, Factor, draw
from perflour.designs.effects import fit
from perflour.designs.power import replicates_for, smallest_shown, spread_of_bake
from perflour.result import CannotRun
from perflour.trials.means import ALPHA, POWER
from perflour.trials.sensory import tasters_for_gap
from tests.conftest import times

NAMES = ["butter", "sugar", "chill", "salt", "heat"]


def trial(count: int, bakes: int, **asked: Any) -> Design:
    return draw([Factor(n, 10, 20) for n in NAMES[:count]], bakes=bakes, **asked)


def test_two_levels_are_two_groups() -> None:
    """The number for two groups at 1 in 20 and 4 in 5: J. Cohen's 17 each for a gap of one spread (from memory, his
    table 2.4.1), here as 17 bakes at each level."""
    design = trial(1, 34, kind="best-for")
    (shown,) = smallest_shown(design, tasters=1, taster_spread=0, bake_spread=1)
    assert shown.freedom == 32
    assert 0.95 < shown.difference <= 1
    assert tasters_for_gap(1, 1, paired=False) == 17
    (fewer,) = smallest_shown(trial(1, 32, kind="best-for"), tasters=1, taster_spread=0, bake_spread=1)  # fmt: skip
    assert fewer.difference > 1


def test_more_tasters_lessen_only_what_they_add() -> None:
    assert spread_of_bake(4, 1.2, 0.5) == pytest.approx(sqrt(0.25 + 0.36))
    assert spread_of_bake(10**6, 1.2, 0.5) == pytest.approx(0.5, abs=1e-4)


def test_no_bake_left_over_shows_nothing() -> None:
    shown = smallest_shown(trial(3, 4), tasters=5, taster_spread=1, bake_spread=0.3)
    assert {(s.difference, s.freedom) for s in shown} == {(inf, 0)}


def test_as_many_replicates_as_are_named_will_do() -> None:
    design = trial(3, 8, days=2)
    wanted: dict[str, Any] = {"tasters": 5, "taster_spread": 1.2, "bake_spread": 0.4}
    one = smallest_shown(design, **wanted)[0].difference
    assert replicates_for(design, one, **wanted) == 1
    more = replicates_for(design, one / 2, **wanted)
    assert more and 2 < more <= 4  # a quarter of the variance, and more freedom
    assert replicates_for(design, 1e-3, **wanted) is None


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"tasters": 0, "taster_spread": 1, "bake_spread": 1}, "0 tasters give no score; plan 1 or more"),
        ({"tasters": 3, "taster_spread": -1, "bake_spread": 1}, "a spread below 0 is none; give 0 or more points"),
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused(asked: dict[str, Any], said: str) -> None:
    with pytest.raises(CannotRun) as problem:
        smallest_shown(trial(3, 8), **asked)
    assert str(problem.value) == said
    with pytest.raises(CannotRun):
        replicates_for(trial(3, 8), 0, tasters=3, taster_spread=1, bake_spread=1)


@pytest.mark.nightly
def test_a_difference_of_that_size_is_found_in_four_of_five_trials() -> None:
    """Played through score by score: the bake's own slip, shared by its tasters, and each taster's."""
    design = trial(4, 16, days=2)
    shown = smallest_shown(design, tasters=4, taster_spread=1.2, bake_spread=0.4)[0]
    rng, often, found = np.random.default_rng(3), times(400), 0
    for _ in range(often):
        scores = {
            run.number: float(
                5 + shown.difference * run.levels[0] / 2 + rng.normal(0, 0.4) + rng.normal(0, 1.2, 4).mean()
            )
            for run in design.runs
        }  # fmt: skip
        p = fit(design, scores).effects[0].p
        found += p is not None and p <= ALPHA
    assert abs(found / often - POWER) <= 3 * sqrt(POWER * (1 - POWER) / often)
