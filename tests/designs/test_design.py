"""Planned trials against published designs, and laws of drawing and of days and ovens."""

from __future__ import annotations

import os
import subprocess
import sys
from itertools import combinations, product

import numpy as np
import pydoe
import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.designs.design import Design, Factor, draw
from perflour.designs.layout.blocking import cells
from perflour.designs.layout.exchange import best_points, told
from perflour.designs.layout.points import reach
from perflour.designs.layout.terms import MODELS, Array, columns, model_terms
from perflour.result import CannotRun
from tests.conftest import ROOT, examples

NAMES = ["butter", "sugar", "chill", "salt", "heat", "egg", "milk", "rye", "oats"]


def factors(count: int) -> list[Factor]:
    return [Factor(name, 10 * at, 10 * at + 5) for at, name in enumerate(NAMES[:count])]


def resolution(design: Design) -> int:
    """The length of the shortest word: fewest columns whose product is constant."""
    points = design.points()
    for length in range(1, points.shape[1] + 1):
        for chosen in combinations(range(points.shape[1]), length):
            if abs(points[:, chosen].prod(axis=1).mean()) > 0.999:
                return length
    return 99


# NIST/SEMATECH e-Handbook 5.3.3.4.7, summary table of fractional factorial designs (from memory)
@pytest.mark.parametrize(
    ("count", "bakes", "expected"),
    [(3, 4, 3), (4, 8, 4), (5, 16, 5), (5, 8, 3), (6, 16, 4), (7, 16, 4), (7, 8, 3), (8, 16, 4)],
)
def test_fractions_reach_the_resolution_of_the_handbook(
    count: int, bakes: int, expected: int
) -> None:
    design = draw(factors(count), bakes=bakes)
    assert (design.kind, len(design.runs)) == ("fraction", bakes)
    assert resolution(design) == expected


def test_a_half_of_four_factors_is_abcd() -> None:
    """NIST 5.3.3.4.4: 2^(4-1), I = ABCD, pairs confounded two by two."""
    design = draw(factors(4), bakes=8)
    assert abs(design.points().prod(axis=1).sum()) == 8
    pairs = {frozenset([a.term, a.other]) for a in design.aliases}
    assert {abs(a.share) for a in design.aliases} == {1.0}
    b, s, c, t = NAMES[:4]
    assert pairs == {
        frozenset([(b, s), (c, t)]), frozenset([(b, c), (s, t)]), frozenset([(b, t), (s, c)])
    }  # fmt: skip


def test_main_effects_of_twelve_bakes_hold_a_third_of_every_pair_of_others() -> None:
    """Plackett and Burman's 12 runs: NIST 5.3.3.5 (from memory: partly confounded, by a third)."""
    design = draw(factors(9), kind="screening", bakes=12)
    assert len(design.runs) == 12
    points = design.points()
    assert np.allclose(points.T @ points, 12 * np.eye(9))
    shares = [abs(a.share) for a in design.aliases if len(set(a.term)) == 1 and a.term != a.other]
    assert shares and np.allclose(shares, 1 / 3, atol=1e-6)
    assert len(shares) == 9 * (8 * 7 // 2)


# NIST 5.3.3.6.1 and 5.3.3.6.4, rotatable alpha (from memory); 16 corners are also those of 2^(5-1)
@pytest.mark.parametrize(("corners", "alpha"), [(4, 1.414), (8, 1.682), (16, 2.0), (32, 2.378)])
def test_how_far_a_rotatable_composite_reaches(corners: int, alpha: float) -> None:
    assert reach(corners) == pytest.approx(alpha, abs=5e-4)


# Runs beside those in the middle: Box and Behnken (1960), NIST 5.3.3.6.3 (from memory); composites by counting
@pytest.mark.parametrize(
    ("kind", "count", "expected"),
    [("edges", 3, 12), ("edges", 4, 24), ("edges", 5, 40), ("faced", 2, 8), ("faced", 3, 14), ("faced", 5, 26), ("inscribed", 3, 14), ("curved", 3, 12), ("curved", 5, 26)],
)  # fmt: skip
def test_curved_trials_have_the_published_number_of_bakes(
    kind: str, count: int, expected: int
) -> None:
    design = draw(factors(count), kind=kind, bakes=50, centre=3, model="curved")
    assert len(design.runs) == expected + 3
    assert sum(run.is_centre for run in design.runs) == 3
    assert np.abs(design.points()).max() == 1


def test_variance_of_a_rotatable_composite_depends_on_the_distance_alone() -> None:
    """Box and Hunter (1957)."""
    design = draw(factors(3), kind="inscribed", bakes=30, centre=6, model="curved")
    fitted = design.model_columns()
    inverse = np.linalg.inv(fitted.T @ fitted)
    ring = np.array([[0.5, 0, 0], [0, -0.5, 0], np.full(3, 0.5 / np.sqrt(3))])
    at = columns(ring, design.names, design.terms())
    variance = np.einsum("ij,jk,ik->i", at, inverse, at)
    assert np.allclose(variance, variance[0])


def test_a_definitive_trial_keeps_main_effects_clear() -> None:
    """Jones and Nachtsheim (2011): of pairs and of curves."""
    design = draw(factors(6), kind="definitive", bakes=13)
    assert len(design.runs) == 13
    assert not [a for a in design.aliases if len(a.term) == 1]


def test_blends_are_lattices_where_they_can_be() -> None:
    """Scheffé's {3, 2} lattice: NIST 5.5.4.2."""
    design = draw([Factor(n, 0, 1) for n in NAMES[:3]], bakes=7, centre=1, model="blend")
    got = sorted(run.levels for run in design.runs if not run.is_centre)
    assert got == sorted(p for p in product((0, 0.5, 1), repeat=3) if sum(p) == 1)
    assert [sum(r.levels) for r in design.runs if r.is_centre] == [pytest.approx(1)]


def test_blends_stay_within_their_limits() -> None:
    shares = [Factor("rye", 0.1, 0.5), Factor("oats", 0.1, 0.6), Factor("wheat", 0.2, 0.7)]
    design = draw(shares, bakes=10, days=2, model="blend")
    assert len(design.runs) == 10
    for run in design.runs:
        assert sum(run.levels) == pytest.approx(1)
        assert all(f.low - 1e-9 <= x <= f.high + 1e-9 for f, x in zip(shares, run.levels, strict=True))  # fmt: skip


@pytest.mark.parametrize(("model", "degree"), [("main", 1), ("curved", 2)])
def test_our_exchange_is_no_worse_than_that_of_pydoe(model: str, degree: int) -> None:
    from random import Random

    points = np.array(list(product((-1.0, 0.0, 1.0), repeat=3)))
    rows = columns(points, NAMES[:3], model_terms(NAMES[:3], model))
    ours = best_points(rows, 12, rows[:0], Random(1))
    peer = pydoe.modified_fedorov(points, 12, degree)
    there = columns(peer, NAMES[:3], model_terms(NAMES[:3], model))
    assert told(rows[ours]) >= told(there) - 1e-9


def test_the_best_of_twelve_bakes_of_eleven_terms_is_orthogonal() -> None:
    """J. Hadamard's bound, which the 12 runs of Plackett and Burman reach."""
    design = draw(factors(3), kind="best-for", bakes=12)
    assert design.d_efficiency == pytest.approx(1)


# -- days and ovens


@pytest.mark.parametrize(
    ("count", "bakes", "days", "ovens", "model"),
    [(3, 8, 2, 1, "pairs"), (3, 8, 4, 1, "main"), (4, 16, 2, 1, "pairs"), (4, 16, 4, 1, "main"), (5, 16, 2, 2, "main"), (5, 32, 4, 1, "pairs"), (5, 32, 2, 2, "pairs")],
)  # fmt: skip
def test_regular_trials_lose_nothing_of_their_model(
    count: int, bakes: int, days: int, ovens: int, model: str
) -> None:
    """The highest interactions are given up: NIST 5.3.3.3.3, e.g. ABC of 2^3 in two blocks."""
    design = draw(factors(count), bakes=bakes, days=days, ovens=ovens, model=model)
    kept = set(design.terms())
    assert not [term for term, _ in design.lost if term in kept]
    assert design.d_efficiency == pytest.approx(1)


def test_two_days_of_a_full_trial_are_the_halves_of_its_triple() -> None:
    design = draw(factors(3), bakes=8, days=2)
    signs = {(r.day, float(np.prod(r.levels))) for r in design.runs}
    assert len(signs) == 2 and {sign for _, sign in signs} == {-1, 1}


@pytest.mark.parametrize(
    ("runs", "days", "ovens"), [(16, 3, 2), (2, 3, 1), (7, 2, 2), (9, 4, 1), (5, 2, 3)]
)
def test_bakes_are_dealt_evenly(runs: int, days: int, ovens: int) -> None:
    places = cells(runs, days, ovens)
    for side, count in ((0, days), (1, ovens)):
        each = [sum(place[side] == at + 1 for place in places) for at in range(count)]
        assert sum(each) == runs and max(each) - min(each) <= 1


# -- laws


@given(st.floats(-50, 50), st.floats(0.01, 100), st.floats(-1, 1))
@examples(100)
def test_coded_and_actual_go_round(low: float, width: float, coded: float) -> None:
    factor = Factor("butter", low, low + width)
    assert factor.actual(-1) == factor.low and factor.actual(1) == factor.high
    assert factor.coded(factor.actual(coded)) == pytest.approx(coded, abs=1e-6)


@given(
    st.integers(2, 5), st.integers(6, 26), st.integers(1, 3), st.integers(1, 2), st.integers(1, 2),
    st.integers(0, 2), st.sampled_from(MODELS[:3]), st.integers(0, 99),
)  # fmt: skip
@examples(40)
def test_whatever_is_drawn_can_be_baked_and_told(
    count: int, bakes: int, days: int, ovens: int, twice: int, centre: int, model: str, seed: int
) -> None:
    def drawn() -> Design | str:
        try:
            return draw(factors(count), bakes=bakes, days=days, ovens=ovens, replicates=twice, centre=centre, model=model, seed=seed)  # fmt: skip
        except CannotRun as problem:
            return str(problem)

    design = drawn()
    assert repr(design) == repr(drawn())  # the same seed, the same bytes
    if isinstance(design, str):
        assert "; " in design
        return
    assert len(design.runs) <= bakes
    assert [run.number for run in design.runs] == list(range(1, len(design.runs) + 1))
    assert len({(run.day, run.oven, run.place) for run in design.runs}) == len(design.runs)
    assert np.abs(design.points()).max() <= 1
    assert sum(run.is_centre for run in design.runs) >= centre
    whole = np.hstack([design.model_columns(), design.block_columns()])
    assert np.linalg.matrix_rank(whole) == whole.shape[1]


def test_machines_that_round_differently_draw_the_same() -> None:
    """Other routines of linear algebra, as another processor would take; wheels of numpy bring OpenBLAS."""
    code = "from tests.designs.test_design import *; print(draw(factors(6), bakes=26, days=2, centre=2, model='pairs').runs)"
    said = {
        subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, check=True, env={**os.environ, "PYTHONPATH": f"{ROOT / 'tools'}:{ROOT}", "OPENBLAS_CORETYPE": kind}).stdout
        for kind in ("Nehalem", "Haswell")
    }  # fmt: skip
    assert len(said) == 1


def test_another_seed_bakes_in_another_order() -> None:
    orders = {draw(factors(4), bakes=16, days=2, seed=seed).runs for seed in range(5)}
    assert len(orders) == 5


def test_what_does_not_go_together_is_never_baked() -> None:
    def goes(levels: tuple[float, ...]) -> bool:
        return levels[0] + levels[1] < 18  # butter 5 never with sugar 15

    design = draw(factors(3), bakes=8, goes_with=goes)
    assert design.kind == "best-for"
    assert all(goes(design.actual(run.levels)) for run in design.runs)


# -- what cannot be run


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"bakes": 15, "model": "pairs"}, "15 bakes are too few to tell 16 terms of the model pairs; plan bakes 16 at least, by the kind best-for"),
        ({"bakes": 17, "days": 3, "model": "pairs"}, "17 bakes are too few to tell 16 terms of the model pairs and 2 differences of days and ovens; plan bakes 18 at least, by the kind best-for"),
        ({"bakes": 16, "days": 3, "per_oven": 5}, "16 bakes are more than the 15 places of days 3, ovens 1 and per oven 5; raise days, ovens or per oven, or lower bakes to 15"),
        ({"bakes": 16, "kind": "full"}, "a trial of the kind full with 5 factors takes 32 different bakes, but there is room for 16; raise bakes or choose the kind best-for"),
        ({"bakes": 16, "kind": "nice"}, "kind 'nice' is no kind of trial; choose one of screening, definitive, full, fraction, curved, faced, inscribed, edges, blend, best-for"),
        ({"bakes": 16, "kind": "full", "model": "curved"}, "kind full bakes two levels, which show no curve; choose the kind curved"),
        ({"bakes": 16, "kind": "blend"}, "kind blend does not go with model main; give both as blend, or neither"),
        ({"bakes": 60, "kind": "edges", "model": "curved"}, "a trial on the edges needs the middle; give centre 1 or more"),
        ({"bakes": 16, "days": 0}, "days 0 is no number to bake with; give 1 or more"),
    ],
)  # fmt: skip
def test_what_cannot_be_run_says_why_and_what_to_do(asked: dict[str, object], said: str) -> None:
    with pytest.raises(CannotRun) as problem:
        draw(factors(5), **asked)  # type: ignore[arg-type]
    assert str(problem.value) == said


@pytest.mark.parametrize("model", MODELS[:3])
def test_the_fewest_that_is_named_will_do(model: str) -> None:
    with pytest.raises(CannotRun) as problem:
        draw(factors(4), kind="best-for", bakes=4, days=2, model=model)
    fewest = int(str(problem.value).split("plan bakes ")[1].split()[0])
    design = draw(factors(4), kind="best-for", bakes=fewest, days=2, model=model)
    assert len(design.runs) == fewest


def test_the_aliases_are_what_least_squares_would_mistake() -> None:
    """Whatever the trial: an effect of 1 outside the model moves each estimate by the share that is told."""
    design = draw(factors(4), kind="best-for", bakes=7, days=2)
    fitted = np.hstack([design.model_columns(), design.block_columns()])
    for other in {a.other for a in design.aliases if len(set(a.term)) == 1}:
        scores: Array = columns(design.points(), design.names, [other])[:, 0]
        seen = np.linalg.lstsq(fitted, scores, rcond=None)[0]
        for alias in design.aliases:
            if alias.other == other and len(set(alias.term)) == 1 and alias.term in design.terms():
                at = design.terms().index(alias.term)
                assert seen[at] == pytest.approx(alias.share, abs=1e-5)
