"""What to bake next: expected improvement by integration, hills whose top is known, and the way uphill."""

from __future__ import annotations

import os
import subprocess
import sys
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import integrate, stats

from perflour.designs.design import Design, Factor, draw
from perflour.designs.effects import fit
from perflour.designs.next_point import NEGLIGIBLE, Aim, Proposal, improvement, propose, uphill
from perflour.result import CannotRun
from tests.conftest import ROOT, examples
from tests.designs.made import YARN, YARN_NAMES, made


@given(st.floats(-2, 2), st.floats(0.1, 2), st.floats(-2, 2), st.sampled_from(["most", "least", "target"]))  # fmt: skip
@examples(40)
def test_expected_improvement_is_the_integral(
    mean: float, spread: float, best: float, aim: Aim
) -> None:
    def better(score: float) -> float:
        gained = {"most": score - best, "least": best - score, "target": abs(best) - abs(score)}
        return max(gained[aim], 0.0) * float(stats.norm.pdf(score, mean, spread))

    whole = integrate.quad(better, mean - 9 * spread, mean + 9 * spread, points=sorted([best, -best, 0.0]), limit=200)[0]  # fmt: skip
    found = improvement(np.array([mean]), np.array([spread]), best, aim, 0.0)[0]
    assert found == pytest.approx(whole, abs=1e-5)


def square(seed: int = 1, **asked: object) -> Design:
    factors = [Factor("butter", 100, 140), Factor("chill", 0, 60)]
    return draw(factors, bakes=12, kind="faced", centre=4, model="curved", seed=seed, **asked)  # type: ignore[arg-type]


def scored(
    design: Design, at: tuple[float, float], slip: float, seed: int = 0
) -> dict[int, float | None]:
    rng = np.random.default_rng(seed)
    return {
        r.number: float(7 - ((r.levels[0] - at[0]) ** 2 + (r.levels[1] - at[1]) ** 2) + rng.normal(0, slip))
        for r in design.runs
    }  # fmt: skip


def test_the_next_bake_is_near_the_top() -> None:
    design = square()
    found = propose(design, scored(design, (0.4, -0.4), 0.05))
    assert found.levels == pytest.approx((0.4, -0.4), abs=0.25)
    assert found.mean == pytest.approx(7, abs=0.2)
    assert found.worth


@pytest.mark.parametrize("seed", [0, 1, 4, 5])
def test_nothing_is_to_be_gained_where_the_best_was_baked(seed: int) -> None:
    """The top in the middle, baked four times."""
    design = square()
    found = propose(design, scored(design, (0, 0), 0.3, seed))
    assert found.gain < NEGLIGIBLE * found.noise and not found.worth
    middle = {run.number for run in design.runs if run.is_centre}
    assert found.best_run in middle


def test_a_target_and_the_least() -> None:
    design = square()
    slope = {run.number: 5 + 2 * run.levels[0] for run in design.runs}
    aimed = propose(design, slope, "target", target=6.0)
    assert aimed.levels[0] == pytest.approx(0.5, abs=0.15)
    assert propose(design, slope, "least").levels[0] < -0.5


def test_days_are_taken_out() -> None:
    design = square(days=2)
    plain = scored(design, (0.4, -0.4), 0.05)
    moved = {n: y + 3 * (design.runs[n - 1].day == 2) for n, y in plain.items() if y is not None}
    one, other = propose(design, plain), propose(design, moved)
    assert one.levels == pytest.approx(other.levels, abs=1e-3)


@given(st.integers(0, 10**6), st.sampled_from(["most", "least", "target"]), st.floats(-3, 3))
@examples(8)
def test_no_proposal_leaves_the_ranges_and_seeds_reproduce(
    seed: int, aim: Aim, slope: float
) -> None:
    design = square(seed % 7)
    rng = np.random.default_rng(seed)
    scores: dict[int, float | None] = {
        run.number: float(5 + slope * run.levels[0] + rng.normal()) for run in design.runs
    }
    found: Proposal = propose(design, scores, aim, target=6.0, seed=seed)
    assert all(-1 <= level <= 1 for level in found.levels)
    assert found.gain >= 0 and found.spread >= 0
    assert found == propose(design, scores, aim, target=6.0, seed=seed)


def test_a_blend_stays_a_blend() -> None:
    points, scores = zip(*[(p, y) for p, each in YARN.items() for y in each], strict=True)
    design = made(points, YARN_NAMES, "blend", low=0)
    found = propose(design, dict(enumerate(scores, 1)))
    assert sum(found.levels) == pytest.approx(1, abs=1e-5) and min(found.levels) >= 0
    assert found.levels[1] < 0.2  # polystyrene shortens it


# D. C. Montgomery, Design and Analysis of Experiments, example 11.1 (from memory): 40.44 + 0.775 time + 0.325 heat; on
# the way uphill heat goes 0.42 for each 1 of time
def test_the_way_uphill() -> None:
    points = [[-1, -1], [1, -1], [-1, 1], [1, 1], *[[0, 0]] * 5]
    scores = dict(enumerate([39.3, 40.9, 40.0, 41.5, 40.3, 40.5, 40.7, 40.2, 40.6], 1))
    fitted = fit(made(points, ("time", "heat"), "main"), scores)
    assert fitted.coefficients == pytest.approx((40.44, 0.775, 0.325), abs=5e-3)
    way = uphill(fitted, step=0.25)
    assert {round(s.levels[1] / s.levels[0], 2) for s in way} == {0.42}
    assert [s.distance for s in way] == sorted(s.distance for s in way)
    assert way[0].distance == 0.25 and way[-1].levels[0] == 1  # to the edge, and no further
    for step in way:
        e = step.expected
        assert e.low and e.bake_low and e.bake_low < e.low < e.value
        assert e.value == pytest.approx(40.444 + 0.775 * step.levels[0] + 0.325 * step.levels[1], abs=1e-2)  # fmt: skip
    down = uphill(fitted, "least")
    assert down[-1].levels[0] == -1


@pytest.mark.parametrize(
    ("scores", "aim", "said"),
    [
        ({1: 5.0, 2: 6.0, 3: 7.0}, "most", "3 bakes with a score tell no surface; score 4 or more"),
        (dict.fromkeys(range(1, 13), 5.0), "most", "all bakes have the same score, so none is better; widen the ranges or ask more of the tasters"),
        ({}, "target", "a target is asked for but not given; say which score it is to be"),
    ],
)  # fmt: skip
def test_what_tells_nothing_is_refused(
    scores: dict[int, float | None], aim: Aim, said: str
) -> None:
    with pytest.raises(CannotRun) as problem:
        propose(square(), scores, aim)
    assert str(problem.value) == said
    fitted = fit(square(), scored(square(), (0, 0), 0.1))
    for wrong in (0.0, -inf):
        with pytest.raises(CannotRun):
            uphill(fitted, step=wrong)


def test_only_a_proposal_loads_scikit_learn() -> None:
    code = "import sys; import perflour.designs.next_point; print('sklearn' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, env={**os.environ, "PYTHONPATH": str(ROOT / "tools")})  # fmt: skip
    assert done.stdout == "False\n"
