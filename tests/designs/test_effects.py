"""Fits of trials against published worked examples, and laws."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.designs import lenth
from perflour.designs.design import Design, Factor, draw
from perflour.designs.effects import Fit, fit, holm, predict
from perflour.designs.layout.terms import columns, model_terms
from perflour.result import CannotRun
from tests.conftest import examples, times
from tests.designs.made import (
    FILTRATION,
    FILTRATION_NAMES,
    FILTRATION_POINTS,
    YARN,
    YARN_NAMES,
    made,
)

NAMES = ["butter", "sugar", "chill", "salt", "heat"]


def factors(count: int) -> list[Factor]:
    return [Factor(name, 10, 20) for name in NAMES[:count]]


def by_number(values: list[float]) -> dict[int, float | None]:
    return dict(enumerate(values, 1))


def estimates(found: Fit) -> dict[str, float]:
    return {"".join(e.term): e.estimate for e in found.effects}


# Montgomery, example 6.2 (from memory)
FILTRATION_EFFECTS = {"A": 21.625, "B": 3.125, "C": 9.875, "D": 14.625, "AB": 0.125, "AC": -18.125, "AD": 16.625, "BC": 2.375, "BD": -0.375, "CD": -1.125}  # fmt: skip


def filtration(model: str = "pairs") -> Fit:
    design = made(FILTRATION_POINTS, FILTRATION_NAMES, model)
    return fit(design, by_number([float(y) for y in FILTRATION]))


def test_effects_of_the_filtration_rate() -> None:
    found = filtration()
    assert estimates(found) == pytest.approx(FILTRATION_EFFECTS)
    assert (found.method, found.family, found.freedom) == ("t", "Holm", 5)
    each = {"".join(e.term) for e in found.effects if e.p is not None and e.p <= 0.05}
    assert each == {"A", "C", "D", "AC", "AD"}  # those that he keeps
    assert {"".join(e.term) for e in found.effects if e.real} == {"A", "D", "AC", "AD"}


def test_lenths_error_of_the_filtration_rate() -> None:
    """All fifteen effects of the same data: pseudo standard error 2.625; his margins, 6.75 for each and 13.70 for all,
    part them alike (Montgomery, from memory)."""
    points = np.array(FILTRATION_POINTS, dtype=float)
    words = [[bit for bit in range(4) if at >> bit & 1] for at in range(1, 16)]
    effects = [float(points[:, word].prod(axis=1) @ FILTRATION) / 8 for word in words]
    found = lenth.judge(effects)
    assert found and found.error == pytest.approx(2.625)
    named = ["".join("ABCD"[bit] for bit in word) for word in words]
    each = {n for n, p in zip(named, found.p, strict=True) if p <= 0.05}
    assert each == {"A", "C", "D", "AC", "AD"}
    assert each == {n for n, e in zip(named, effects, strict=True) if abs(e) > 6.75}
    family = {n for n, p in zip(named, found.family_p, strict=True) if p <= 0.05}
    assert family == {n for n, e in zip(named, effects, strict=True) if abs(e) > 13.70}


# Ye and Hamada (2000), critical values of 7 and 15 effects at 1 in 20: each for itself, the largest (from memory)
@pytest.mark.parametrize(("effects", "each", "largest"), [(7, 2.30, 4.87), (15, 2.16, 4.24)])
def test_critical_values_of_lenths_error(effects: int, each: float, largest: float) -> None:
    one, most = lenth.of_noise(effects)
    assert np.quantile(one, 0.95) == pytest.approx(each, abs=0.03)
    assert np.quantile(most, 0.95) == pytest.approx(largest, abs=0.12)


def test_without_a_bake_left_over_lenth_is_named() -> None:
    """Half of the filtration rate, I = ABCD: eight bakes, seven effects, nothing left."""
    half = [at for at in range(16) if np.prod(FILTRATION_POINTS[at]) > 0]
    design = made([FILTRATION_POINTS[at] for at in half], FILTRATION_NAMES, "main")
    scores = by_number([float(FILTRATION[at]) for at in half])
    # Montgomery, example 8.1: A 19, B 1.5, C 14, D 16.5 (from memory)
    assert estimates(fit(design, scores)) == pytest.approx({"A": 19, "B": 1.5, "C": 14, "D": 16.5})
    three = replace(
        made([FILTRATION_POINTS[at][:3] for at in half], NAMES[:3], "pairs"), kind="full"
    )
    full = {n: y for n, y in scores.items() if n != 1}
    found = fit(three, full)
    assert (found.method, found.family, found.freedom) == ("Lenth", "largest", 0)
    assert found.adjusted_r2 is None and predict(found, [[0, 0, 0]])[0].low is None
    few = fit(made([[-1, -1], [1, -1], [-1, 1]], NAMES[:2], "main"), by_number([1.0, 2.0, 4.0]))
    assert (few.method, few.spread, [e.p for e in few.effects]) == ("", None, [None, None])


def test_the_blend_of_the_yarn() -> None:
    """Coefficients and standard deviation 0.85 as NIST 5.5.4.2 has them (from memory)."""
    points, scores = zip(*[(p, y) for p, each in YARN.items() for y in each], strict=True)
    found = fit(made(points, YARN_NAMES, "blend", low=0), by_number(list(scores)))
    expected = [11.7, 9.4, 16.4, 19.0, 11.4, -9.6]
    assert [round(c, 1) for c in found.coefficients] == expected
    assert found.spread == pytest.approx(0.85, abs=0.01) and found.freedom == 9
    assert [e.p is None for e in found.effects] == [True] * 3 + [False] * 3
    assert predict(found, [[1, 0, 0]])[0].value == pytest.approx(11.7)


# Nine bakes on a two-level square with five in the middle: Montgomery, example 6.7 (from memory): yield 39.3, 40.0,
# 40.9, 41.5 in the corners; 40.3, 40.5, 40.7, 40.2, 40.6 in the middle; pure error 0.0430, curvature F 0.06
def test_the_middle_tells_a_bend_and_pure_error() -> None:
    points = [[-1, -1], [1, -1], [-1, 1], [1, 1], *[[0, 0]] * 5]
    scores = by_number([39.3, 40.9, 40.0, 41.5, 40.3, 40.5, 40.7, 40.2, 40.6])
    found = fit(made(points, ("time", "heat"), "pairs"), scores)
    assert estimates(found) == pytest.approx({"time": 1.55, "heat": 0.65, "timeheat": -0.05})
    assert found.bend
    assert found.bend.difference == pytest.approx(40.46 - 40.425)
    assert found.lack and (found.lack.freedom, found.lack.freedom_below) == (1, 4)
    assert found.lack.f == pytest.approx(0.0027 / 0.0430, abs=1e-3)
    assert found.lack.p == pytest.approx(found.bend.p)
    (middle,) = predict(found, [[0, 0]])
    assert middle.low and middle.bake_low and middle.bake_low < middle.low < middle.value


def test_missing_bakes_are_left_out_and_told_where_too_many() -> None:
    design = draw(factors(3), bakes=8, days=2)
    scores: dict[int, float | None] = {run.number: 5 + run.levels[0] for run in design.runs}
    scores[3] = None
    del scores[8]
    noise = {n: y + 0.1 * (n % 3) for n, y in scores.items() if y is not None}
    found = fit(design, noise)
    assert len(found.points) == 6 and found.freedom == 1
    with pytest.raises(CannotRun) as problem:
        fit(design, scores, "pairs")
    assert str(problem.value) == "6 of 8 bakes have a score, but model pairs with its days and ovens takes 8; score more bakes, or give model main"  # fmt: skip


def test_bakes_without_any_spread_judge_nothing() -> None:
    """All is explained to the last digit: no spread is known, so nothing is called real."""
    design = draw(factors(2), bakes=4)
    found = fit(design, {run.number: 5 + run.levels[0] for run in design.runs})
    assert (found.method, found.spread) == ("", 0.0)
    assert not any(e.real for e in found.effects)


# S. Holm (1979); worked by hand
@pytest.mark.parametrize(
    ("each", "raised"),
    [([0.01, 0.04, 0.03], [0.03, 0.06, 0.06]), ([0.5], [0.5]), ([0.9, 0.8], [1, 1]), ([], [])],
)
def test_holm(each: list[float], raised: list[float]) -> None:
    assert holm(each) == pytest.approx(raised)


# -- laws


def noisy(design: Design, seed: int) -> dict[int, float | None]:
    rng = np.random.default_rng(seed)
    return {run.number: float(rng.normal(5, 1)) for run in design.runs}


@given(st.integers(0, 10**6), st.randoms(use_true_random=False))
@examples(20)
def test_the_order_of_runs_changes_nothing(seed: int, rng: object) -> None:
    design = draw(factors(4), bakes=12, kind="best-for", days=2, seed=seed % 50)
    runs = list(design.runs)
    rng.shuffle(runs)  # type: ignore[attr-defined]
    scores = noisy(design, seed)
    one, other = fit(design, scores), fit(replace(design, runs=tuple(runs)), scores)
    for a, b in zip(one.effects, other.effects, strict=True):
        assert a.estimate == pytest.approx(b.estimate)
        assert a.p == pytest.approx(b.p)


@given(st.integers(0, 10**6), st.permutations(range(4)))
@examples(20)
def test_the_order_and_the_direction_of_factors_change_nothing(seed: int, order: list[int]) -> None:
    """High called low turns the sign of a main effect, and of every pair it is in."""
    design = draw(factors(4), bakes=14, kind="best-for", model="pairs", seed=seed % 50)
    scores = noisy(design, seed)
    turned = tuple(
        replace(run, levels=tuple(run.levels[at] * (-1 if at == 0 else 1) for at in order)) for run in design.runs
    )  # fmt: skip
    other = replace(design, factors=tuple(design.factors[at] for at in order), runs=turned)
    expected = {frozenset(e.term): e for e in fit(design, scores).effects}
    for e in fit(other, scores).effects:
        was = expected[frozenset(e.term)]
        sign = -1 if design.names[0] in e.term else 1
        assert e.estimate == pytest.approx(sign * was.estimate, abs=1e-8)
        assert e.p == pytest.approx(was.p, abs=1e-8)


@given(st.floats(-1e3, 1e3), st.integers(0, 10**6))
@examples(20)
def test_a_day_of_any_size_moves_no_effect(size: float, seed: int) -> None:
    """And no p: it is fitted, and the trial is orthogonal to it."""
    design = draw(factors(3), bakes=16, replicates=2, days=2, seed=seed % 20)
    scores = {n: y for n, y in noisy(design, seed).items() if y is not None}
    moved = {run.number: scores[run.number] + size * (run.day == 2) for run in design.runs}
    for a, b in zip(fit(design, scores).effects, fit(design, moved).effects, strict=True):
        assert a.estimate == pytest.approx(b.estimate, abs=1e-8)
        assert a.p == pytest.approx(b.p, abs=1e-6)


@pytest.mark.nightly
def test_pure_noise_is_rarely_called_real() -> None:
    """In at most 1 of 20 trials any effect, whatever their number; 3 standard errors of simulation allowed."""
    design = draw(factors(5), bakes=16, days=2)
    often = times(2000)
    called = sum(any(e.real for e in fit(design, noisy(design, at)).effects) for at in range(often))
    assert called / often <= 0.05 + 3 * (0.05 * 0.95 / often) ** 0.5


@pytest.mark.parametrize("effects", [3, 5, 7, 15])
def test_pure_noise_is_rarely_called_real_by_lenth(effects: int) -> None:
    """2,000 trials, not those that critical values are taken from."""
    limit = np.quantile(lenth.of_noise(effects)[1], 0.95)
    noise = np.random.default_rng(1).standard_normal((2000, effects))
    largest = (np.abs(noise) / lenth.pseudo_error(noise)[:, None]).max(axis=1)
    share = float((largest > limit).mean())
    assert abs(share - 0.05) <= 3 * (0.05 * 0.95 / 2000) ** 0.5


@pytest.mark.nightly
def test_intervals_hold_the_truth() -> None:
    """95 of 100, also with a day and of a model with curves; within 3 standard errors of simulation."""
    design = draw(factors(2), bakes=12, kind="faced", centre=4, days=2, model="curved")
    terms = model_terms(design.names, "curved")
    truth = columns(design.points(), design.names, terms) @ np.arange(len(terms))
    often, held = times(200), 0
    for at in range(often):
        scores = {run.number: float(t) + (noisy(design, at)[run.number] or 0) for run, t in zip(design.runs, truth, strict=True)}  # fmt: skip
        effect = fit(design, scores).effects[0]
        assert effect.low is not None and effect.high is not None
        held += effect.low <= 2.0 <= effect.high
    assert abs(held / often - 0.95) <= 3 * (0.05 * 0.95 / often) ** 0.5
