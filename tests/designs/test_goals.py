"""Desirability by hand, and best points of surfaces whose best is known."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.designs.design import Design, Factor, draw
from perflour.designs.effects import Fit, fit
from perflour.designs.goals import Goal, best_point, desirability, overall
from perflour.result import CannotRun
from tests.conftest import examples
from tests.designs.made import YARN, YARN_NAMES, made


# Derringer and Suich (1980), their formulas worked by hand
@pytest.mark.parametrize(
    ("goal", "value", "expected"),
    [
        (Goal("most", 4, 8), 3, 0), (Goal("most", 4, 8), 5, 0.25), (Goal("most", 4, 8), 9, 1),
        (Goal("most", 4, 8, shape=2), 6, 0.25), (Goal("most", 4, 8, shape=0.5), 5, 0.5),
        (Goal("least", 4, 8), 5, 0.75), (Goal("least", 4, 8), 9, 0), (Goal("least", 4, 8), 2, 1),
        (Goal("target", 4, 8), 6, 1), (Goal("target", 4, 8), 5, 0.5), (Goal("target", 4, 8), 8, 0),
        (Goal("target", 4, 8, target=7), 5.5, 0.5), (Goal("target", 4, 8, target=7), 7.5, 0.5),
        (Goal("within", 4, 8), 4, 1), (Goal("within", 4, 8), 8.01, 0),
    ],
)  # fmt: skip
def test_how_good_a_score_is(goal: Goal, value: float, expected: float) -> None:
    assert desirability(goal, value) == pytest.approx(expected)


def test_all_goals_at_once() -> None:
    """Geometric means by hand: of 0.25 and 1 it is 0.5; the first counted three times 0.25 ** 0.75."""
    goals = [Goal("most", 4, 8), Goal("within", 0, 1)]
    assert overall(goals, [np.array(5.0), np.array(0.5)]) == pytest.approx(0.5)
    heavy = [Goal("most", 4, 8, weight=3), goals[1]]
    assert overall(heavy, [np.array(5.0), np.array(0.5)]) == pytest.approx(0.25**0.75)
    assert overall(goals, [np.array(8.0), np.array(2.0)]) == 0


def curved(**asked: int) -> Design:
    factors = [Factor("butter", 100, 140), Factor("chill", 0, 60)]
    return draw(factors, bakes=12, kind="faced", centre=4, model="curved", **asked)  # type: ignore[arg-type]


def peak(design: Design, at: tuple[float, float], slip: float = 0.0) -> Fit:
    def score(number: int, x: float, y: float) -> float:
        return 7.0 - (x - at[0]) ** 2 - (y - at[1]) ** 2 + (slip if number % 2 else -slip)

    return fit(design, {r.number: score(r.number, *r.levels) for r in design.runs})


@given(st.floats(-1.5, 1.5), st.floats(-1.5, 1.5))
@examples(10)
def test_the_top_of_a_hill_is_found_or_the_edge_nearest_to_it(x: float, y: float) -> None:
    design = curved()
    found = best_point(design, {"liking": peak(design, (x, y))}, {"liking": Goal("most", -9, 9)})
    assert found.levels == pytest.approx((np.clip(x, -1, 1), np.clip(y, -1, 1)), abs=1e-3)


def test_two_goals_meet_between_their_tops() -> None:
    design = curved()
    fits = {"crisp": peak(design, (-0.5, 0), 0.1), "tender": peak(design, (0.5, 0), 0.1)}
    goals = {"crisp": Goal("most", 5, 7), "tender": Goal("most", 5, 7)}
    found = best_point(design, fits, goals)
    assert found.levels is not None
    assert found.levels[0] == pytest.approx(0, abs=0.1)
    assert found.overall == pytest.approx((found.each["crisp"] * found.each["tender"]) ** 0.5)
    low, high = found.expected["crisp"].low, found.expected["crisp"].high
    assert low is not None and high is not None and low < found.expected["crisp"].value < high
    assert found == best_point(design, fits, goals)


def test_the_region_that_meets_a_goal() -> None:
    """A slope of 1: half of the square lies above the middle."""
    design = draw([Factor("butter", 100, 140), Factor("chill", 0, 60)], bakes=4)
    slope = fit(design, {run.number: run.levels[0] for run in design.runs})
    found = best_point(design, {"liking": slope}, {"liking": Goal("most", 0, 1)})
    assert found.meeting == pytest.approx(0.5, abs=0.01)
    butter, chill = found.spans
    assert butter.low == pytest.approx(0, abs=0.02) and butter.high == 1
    assert (chill.factor, chill.low, chill.high) == ("chill", -1, 1)
    none = best_point(design, {"liking": slope}, {"liking": Goal("most", 5, 6)})
    assert (none.levels, none.overall, none.meeting, none.spans) == (None, 0, 0, ())


def test_the_longest_yarn() -> None:
    """On the edge without polystyrene, where 11.7a + 16.4c + 11.4ac is largest: c = (16.4 - 11.7 + 11.4) / 22.8."""
    points, scores = zip(*[(p, y) for p, each in YARN.items() for y in each], strict=True)
    design = made(points, YARN_NAMES, "blend", low=0)
    fitted = fit(design, dict(enumerate(scores, 1)))
    found = best_point(design, {"length": fitted}, {"length": Goal("most", 5, 30)})
    c = (16.4 - 11.7 + 11.4) / 22.8
    assert found.levels == pytest.approx((1 - c, 0, c), abs=0.01)
    assert sum(found.levels or ()) == pytest.approx(1, abs=1e-5)


@pytest.mark.parametrize(
    ("goals", "said"),
    [
        ({}, "nothing is asked for; give a goal for some response"),
        ({"snap": Goal("most", 1, 2)}, "'snap' was not scored in this trial; choose one of liking"),
        ({"liking": Goal("most", 2, 2)}, "the goal for liking runs from 2 to 2; give a low that is less than the high"),
        ({"liking": Goal("target", 2, 4, target=5)}, "the target for liking is not between 2 and 4; give one that is"),
        ({"liking": Goal("most", 2, 4, weight=0)}, "the goal for liking has a shape or weight of 0 or less; give more than 0"),
    ],
)  # fmt: skip
def test_goals_that_contradict_themselves(goals: dict[str, Goal], said: str) -> None:
    design = curved()
    with pytest.raises(CannotRun) as problem:
        best_point(design, {"liking": peak(design, (0, 0))}, goals)
    assert str(problem.value) == said
