"""What goes with what: ranks and chance against scipy, the rate of false alarms, and laws."""

from __future__ import annotations

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from perflour.evidence.leveled import ALONE, Score, leveled
from perflour.evidence.matter import Matter
from perflour.evidence.related import ALPHA
from perflour.evidence.relations import moved_together, relations, things_needed
from perflour.evidence.why import answer
from tests.conftest import examples

NOISE = np.random.default_rng(7)


def test_one_look_is_spearmans_with_its_exact_p() -> None:
    """scipy's spearmanr and its exact permutation test over all 7! orders are the reference."""
    figure = [48.0, 55, 63, 60, 72, 80, 68]
    score = [5.0, 6, 5, 7, 8, 8, 6]
    found = relations({"sugar": figure}, {"chew": score}, [0] * 7, most_deals=6000)
    one = found.found[0]
    assert found.is_exact
    assert one.rank == pytest.approx(stats.spearmanr(figure, score).statistic)
    reference = stats.permutation_test(
        (figure,),
        lambda x: stats.spearmanr(x, score).statistic,
        permutation_type="pairings",
        n_resamples=np.inf,
    )
    assert one.p == pytest.approx(reference.pvalue, abs=1e-9)
    assert one.p_of_all == one.p


@pytest.mark.parametrize(
    ("things", "least", "can_tell"), [(3, 2 / 6, False), (4, 2 / 24, False), (5, 2 / 120, True)]
)
def test_so_few_things_cannot_show_anything(things: int, least: float, can_tell: bool) -> None:
    order = list(map(float, range(1, things + 1)))
    found = relations({"fat": order}, {"crumb": order}, [0] * things)
    assert found.least_p == pytest.approx(least)
    assert found.can_tell is can_tell
    assert found.found[0].p == pytest.approx(least)


def test_strata_are_held_against_themselves_alone() -> None:
    """Two sittings of another kindness: over all the ranks rise, within each they fall."""
    figure = [1.0, 2, 3, 4, 5, 11, 12, 13, 14, 15]
    score = [5.0, 4, 3, 2, 1, 9, 8, 7, 6, 5]
    assert relations({"f": figure}, {"s": score}, [0] * 10).found[0].rank > 0.3
    apart = relations({"f": figure}, {"s": score}, [0] * 5 + [1] * 5).found[0]
    assert apart.rank == pytest.approx(-1)
    assert apart.p < 0.001  # 2 of 5! x 5! ways are so strong


def test_what_cannot_be_looked_at_is_named() -> None:
    figures: dict[str, list[float | None]] = {"salt": [1.0, 2, 3, 4, 5], "egg": [1.0, None, 2, 3, 4], "fat": [50.0, 50.2, 50.1, 50, 50.3]}  # fmt: skip
    found = relations(figures, {"crumb": [1.0, 2, 3, 4, 5]}, [0] * 5)
    assert [one.figure for one in found.found] == ["salt"]
    assert (found.not_whole, found.constant) == (("egg",), ("fat",))


def test_figures_of_the_same_ranks_are_one_look() -> None:
    sugar, water = [60.0, 65, 70, 75, 80], [40.0, 38, 36, 34, 32]
    found = relations({"sugar": sugar, "water": water}, {"chew": [1.0, 3, 2, 4, 5]}, [0] * 5)
    assert found.looks == 1
    assert found.found[0].alike == ("water",)


def test_figures_that_moved_together_are_told() -> None:
    rows = {"sugar": [60.0, 65, 70, 75, 80, 62], "fat": [50.0, 54, 57, 60, 66, 52], "egg": [20.0, 30, 22, 21, 29, 25]}  # fmt: skip
    found = moved_together(rows, [0] * 6)
    assert [(one.first, one.second, one.times, one.things) for one in found] == [("sugar", "fat", 6, 6)]  # fmt: skip
    assert moved_together(rows, [0] * 6, of=("egg",)) == ()


def simulated(draw: np.random.Generator, things: int, effect: float = 0.0) -> Matter:
    """Scores of four tasters in two sittings that share things; figures that have nothing to do with them.

    Tasters, sittings and bakes differ by as much as one score from the next. ``effect`` is of the first
    figure, in points for one standard deviation.
    """
    names = tuple(f"f{n}" for n in range(things))
    figures = {f"x{n}": list(draw.normal(60, 10, things)) for n in range(12)}
    first = (np.array(figures["x0"]) - 60) / 10
    scores: dict[str, list[Score]] = {}
    for outcome in ("crumb", "overall"):
        tasters, sittings = draw.normal(0, 1, 4), draw.normal(0, 1, 2)
        bakes = draw.normal(0, 1, things) + effect * first
        scores[outcome] = [
            Score(name, f"s{sitting}", f"t{taster}", 6 + tasters[taster] + sittings[sitting] + bakes[at] + draw.normal())
            for at, name in enumerate(names)
            for sitting in ((0, 1) if at % 5 == 0 else (at % 2,))
            for taster in range(4)
        ]  # fmt: skip
    return Matter("formulas", names, dict.fromkeys(names, ""), 2, scores, figures)


def test_noise_is_called_real_in_no_more_than_1_of_20_sets() -> None:
    """2,000 sets without any effect: anything called real is a false alarm. 5 % and three standard errors."""
    alarms = sum(
        any(one.is_real for one in answer(simulated(NOISE, 9), deals=99).relations.found)
        for _ in range(2000)
    )
    assert alarms / 2000 <= ALPHA + 3 * sqrt(ALPHA * (1 - ALPHA) / 2000)
    assert alarms / 2000 >= 0.03  # nor is it a rule that never speaks


def test_a_strong_effect_is_found() -> None:
    found = 0
    for _ in range(30):
        level = answer(simulated(NOISE, 30, effect=2.5), deals=199)
        found += any(one.is_real and one.figure == "x0" for one in level.relations.found)
    assert found >= 27


def test_the_things_needed_do_show_it() -> None:
    """Normal pairs of the correlation whose rank correlation is 0.6; one look; found in about 4 of 5."""
    needed = things_needed(0.6, 1)
    assert needed is not None
    rho = 2 * np.sin(
        np.pi * 0.6 / 6
    )  # K. Pearson 1907: rank correlation of normal pairs (from memory)
    found = 0
    for _ in range(1500):
        first = NOISE.normal(size=needed)
        second = rho * first + sqrt(1 - rho**2) * NOISE.normal(size=needed)
        found += stats.spearmanr(first, second).pvalue <= ALPHA
    assert 0.76 <= found / 1500 <= 0.9
    assert things_needed(0.01, 1) is None


@examples(60)
@given(
    st.lists(st.tuples(st.integers(0, 90), st.integers(1, 9)), min_size=5, max_size=9), st.randoms()
)
def test_neither_order_nor_names_nor_units_matter(
    rows: list[tuple[int, int]], dice: object
) -> None:
    figure = [float(3 * f + 10) for f, _ in rows]
    score = [float(s) for _, s in rows]
    one = relations({"f": figure}, {"s": score}, [0] * len(rows), most_deals=400)
    order = list(range(len(rows)))
    dice.shuffle(order)  # type: ignore[attr-defined]
    other = relations(
        {"f": [figure[at] * 28.35 for at in order]}, {"s": [score[at] - 3 for at in order]}, [0] * len(rows), most_deals=400
    )  # fmt: skip
    assert [r.rank for r in one.found] == pytest.approx([r.rank for r in other.found])
    if one.is_exact:
        assert [r.p for r in one.found] == pytest.approx([r.p for r in other.found])


def scored(*rows: tuple[str, str, str, float]) -> list[Score]:
    return [Score(*row) for row in rows]


def test_kind_sittings_and_kind_tasters_are_taken_out() -> None:
    """By hand: b is 2 above a, c 1 above b; the second sitting is 3 kinder, taster T 1 stricter than S."""
    truth = {"a": 4.0, "b": 6.0, "c": 7.0}
    rows = [
        Score(thing, sitting, taster, truth[thing] + kind + (0 if taster == "S" else -1))
        for sitting, kind, things in (("one", 0.0, "ab"), ("two", 3.0, "bc"))
        for thing in things
        for taster in "ST"
        if (thing, sitting, taster) != ("a", "one", "T")  # who misses a sample shifts nothing
    ]
    found = leveled(rows)
    assert found.values == pytest.approx({"a": 4 - 17 / 3, "b": 6 - 17 / 3, "c": 7 - 17 / 3})
    assert set(found.groups.values()) == {0}


def test_who_shares_no_sitting_has_no_partner() -> None:
    rows = scored(("a", "1", "S", 5), ("b", "2", "S", 7), ("c", "3", "S", 6), ("d", "3", "S", 8))
    found = leveled(rows)
    assert [found.groups[thing] for thing in "ab"] == [ALONE, ALONE]
    assert found.groups["c"] == found.groups["d"] != ALONE
    assert found.values == pytest.approx({"a": -1, "b": 1, "c": -1, "d": 1})


def test_only_a_family_is_compared() -> None:
    """Revisions of two formulas, one of each a day: days link the formulas, never the revisions of one."""
    rows = scored(
        ("a1", "1", "S", 5), ("b1", "1", "S", 9), ("a2", "2", "S", 7), ("b2", "2", "S", 9)
    )
    found = leveled(rows, {"a1": "a", "a2": "a", "b1": "b", "b2": "b"})
    assert set(found.groups.values()) == {ALONE}
    assert found.values == pytest.approx({"a1": -1, "a2": 1, "b1": 0, "b2": 0})
