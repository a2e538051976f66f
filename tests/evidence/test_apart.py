"""Distances in usual widths, the map and the tree: by hand, against scipy, and by their laws."""

from __future__ import annotations

from itertools import combinations
from math import dist, sqrt
from pathlib import Path
from random import Random
from types import MappingProxyType

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from sklearn.manifold import ClassicalMDS

from perflour.compare.collect import Compared, collect
from perflour.evidence.apart import Apart, NotKnown, Width, apart, nearest_without
from perflour.evidence.maps import Branch, map_of, tree_of
from perflour.kitchen.house import House, ProductClass, Window, kitchen_for
from perflour.result import CannotRun
from tests.conftest import ROOT, examples, formula_text, weigh_text

HOUSE = House(
    classes=MappingProxyType(
        {
            "loaf-cake": ProductClass(
                "Loaf cake",
                True,
                {"sugar": Window(30, 80, "ours"), "fat": Window(20, 40, "ours")},
            )
        }
    )
)


def cake(name: str, sugar: float, butter: float, *more: str) -> Compared:
    lines = (
        "{item: all-purpose flour, amount: 100 g}",
        f"{{item: granulated sugar, amount: {sugar} g}}",
        f"{{item: butter, amount: {butter} g}}",
        *more,
    )
    text = formula_text(*lines).replace("formula: trial", f"formula: {name}")
    return Compared(f"{name}.yaml", f"/{name}.yaml", weigh_text(text))


def points(*places: tuple[float, ...], labels: str = "abcdefghij") -> Apart:
    """Formulas that stand at places of a plane, one usual width a unit."""
    matrix = tuple(tuple(dist(a, b) for b in places) for a in places)
    widths = tuple(Width(name, 1.0, "window") for name in ("sugar", "fat", "egg")[: len(places[0])])
    return Apart((), tuple(labels[: len(places)]), widths, tuple(places), matrix)


# --- distances ------------------------------------------------------------------------------------------


def test_a_window_apart_is_one() -> None:
    """By hand: sugar 50 of a window of 50 is 1, fat 5 of 20 is 1/4; the root of their mean square."""
    found = apart((cake("a", 40, 20), cake("b", 90, 25)), HOUSE)
    assert [(w.ratio, w.percent, w.by) for w in found.widths] == [("sugar", 50, "window"), ("fat", 20, "window")]  # fmt: skip
    assert found.widths[0].classes == ("loaf-cake",)
    assert found.matrix[0][1] == pytest.approx(sqrt((1 + 1 / 16) / 2))


def test_without_a_window_the_spread_of_the_formulas_is_the_width() -> None:
    """Eggs 10, 20, 40: median 20, median distance 10; 10 / 0.6745 standard deviations x 1.349 x 3.4."""
    eggs = (f"{{item: egg, amount: {g} g}}" for g in (10, 20, 40))
    found = apart([cake(f"c{at}", 40, 20, egg) for at, egg in enumerate(eggs)], HOUSE)
    assert found.alike == ("sugar", "fat")
    ((ratio, width, by),) = ((w.ratio, w.percent, w.by) for w in found.widths)
    assert (ratio, by) == ("egg", "spread")
    assert width == pytest.approx(10 / 0.6745 * 1.349 * 3.4)


def test_a_window_of_few_formulas_counts_for_none() -> None:
    """Two of five have the window of loaf cakes: their sugar is held against the spread of all."""
    others = [cake(f"o{at}", 30 + 10 * at, 20) for at in range(3)]
    strangers = [
        Compared(one.shown, one.path, one.balance._replace(formula=one.balance.formula._replace(product_class="rolls")))
        for one in others
    ]  # fmt: skip
    found = apart([cake("a", 40, 20), cake("b", 90, 20), *strangers], HOUSE)
    assert [w.by for w in found.widths] == ["spread"]


def test_what_is_not_known_is_left_out_and_named() -> None:
    can = "{item: butter, amount: 1 can}"
    lines = (
        "{item: all-purpose flour, amount: 100 g}",
        "{item: granulated sugar, amount: 60 g}",
        can,
    )
    text = formula_text(*lines).replace("formula: trial", "formula: c")
    loose = Compared("c.yaml", "/c.yaml", weigh_text(text))
    found = apart((cake("a", 40, 20), cake("b", 90, 40), loose), HOUSE)
    assert found.not_known == (NotKnown("c", "fat", ("butter",)),)
    assert found.percents[2] == (60, None)
    assert found.matrix[0][2] == pytest.approx(20 / 50)  # sugar alone
    assert found.left_out == ()


def test_one_formula_is_far_from_nothing() -> None:
    with pytest.raises(CannotRun, match="name two or more"):
        apart((cake("a", 40, 20),), HOUSE)


@examples(30)
@given(
    st.lists(st.tuples(st.integers(1, 120), st.integers(1, 90)), min_size=3, max_size=8),
    st.randoms(use_true_random=False),
)
def test_distances_are_a_metric_and_do_not_hang_on_the_order(
    figures: list[tuple[int, int]], chance: Random
) -> None:
    formulas = [cake(f"c{at}", *each) for at, each in enumerate(figures)]
    found = apart(formulas, HOUSE)
    for a, b in combinations(range(len(formulas)), 2):
        assert found.matrix[a][b] == found.matrix[b][a] >= 0
        for c in range(len(formulas)):
            assert found.matrix[a][b] <= found.matrix[a][c] + found.matrix[c][b] + 1e-9
    chance.shuffle(formulas)
    other = apart(formulas, HOUSE)
    where = [other.labels.index(label) for label in found.labels]
    assert [[other.matrix[a][b] for b in where] for a in where] == [list(row) for row in found.matrix]  # fmt: skip
    assert tree_of(other) == tree_of(found)
    for axis, moved in zip(map_of(found).axes, map_of(other).axes, strict=True):
        assert [moved.places[at] for at in where] == pytest.approx(axis.places, abs=1e-9)


# --- odd values ------------------------------------------------------------------------------------------


def test_an_odd_value_has_its_nearest_without_it() -> None:
    """Nine cakes of like sugar, one very fat: near to it by sugar alone is the one of its own sugar."""
    plain = [cake(f"c{at}", 40 + 2 * at, 20 + at % 3) for at in range(9)]
    found = apart((*plain, cake("rich", 50, 90)), HOUSE)
    (odd,) = nearest_without(found)
    assert (odd.label, odd.ratio, odd.nearest, odd.distance) == ("rich", "fat", "c5", 0.0)
    assert (odd.percent, odd.way) == (90, "median distance")
    assert (
        nearest_without(apart((*plain[:6], cake("rich", 50, 90)), HOUSE)) == ()
    )  # of seven none is odd


# --- the map ----------------------------------------------------------------------------------------------


@examples(60)
@given(
    st.lists(
        st.tuples(st.integers(-50, 50), st.integers(-50, 50)), min_size=3, max_size=9, unique=True
    )
)
def test_distances_of_a_plane_are_recovered(places: list[tuple[float, float]]) -> None:
    """And the eigenvalues are those of classical scaling in scikit-learn."""
    made = map_of(points(*places))
    shown = list(zip(*(axis.places for axis in made.axes), strict=True))
    for a, b in combinations(range(len(places)), 2):
        assert dist(shown[a], shown[b]) == pytest.approx(dist(places[a], places[b]), abs=1e-6)
    theirs = ClassicalMDS(n_components=2).fit(np.array(places)).eigenvalues_
    assert made.eigenvalues[:2] == pytest.approx(theirs, abs=1e-5 * max(theirs))
    assert [axis.share for axis in made.axes] == pytest.approx(
        [value / sum(theirs) for value in theirs][: len(made.axes)], abs=1e-5
    )
    assert made.negative_share == pytest.approx(0, abs=1e-6)


def test_an_axis_says_what_grows_along_it() -> None:
    """A line of sugar with a little fat that falls: right is more sugar, whatever the eigenvector's sign."""
    made = map_of(points((0, 3), (10, 2), (20, 1), (40, 0.5)))
    assert [(m.ratio, m.correlation) for m in made.axes[0].made_of] == [("sugar", 1), ("fat", -1)]
    assert made.axes[0].places == pytest.approx(sorted(made.axes[0].places))


def test_negative_eigenvalues_are_told() -> None:
    """A star of three, each 1 from its middle and 2 from another: no plane has that on a line for all three.

    By hand: the centred matrix has eigenvalues 2, 2 and -1/4, besides 0.
    """
    matrix = ((0, 1, 1, 1), (1, 0, 2, 2), (1, 2, 0, 2), (1, 2, 2, 0))
    star = points((0,), (1,), (2,), (3,))
    made = map_of(Apart((), star.labels, star.widths, star.percents, matrix))
    assert made.eigenvalues == pytest.approx((2, 2, 0, -0.25))
    assert made.negative_share == pytest.approx(0.25 / 4)


def test_formulas_that_are_all_alike_have_no_axis() -> None:
    found = apart([cake(name, 40, 20) for name in "abc"], HOUSE)
    assert found.widths == ()
    assert map_of(found).axes == ()


# --- the tree ----------------------------------------------------------------------------------------------


def test_average_linkage_by_hand() -> None:
    """Places 0, 1, 4, 6 on a line: 0 with 1 at 1, 4 with 6 at 2, both at the mean of 4, 6, 3, 5."""
    tree = tree_of(points((0,), (1,), (4,), (6,)))
    low, high = Branch(1.0, ("a", "b"), ("a", "b")), Branch(2.0, ("c", "d"), ("c", "d"))
    assert tree == Branch(4.5, ("a", "b", "c", "d"), (low, high))


def test_branches_are_told_by_their_first_label() -> None:
    tree = tree_of(points((6,), (4,), (1,), (0,), labels="badc"))
    assert isinstance(tree, Branch)
    assert [part.labels for part in tree.parts if isinstance(part, Branch)] == [
        ("a", "b"),
        ("c", "d"),
    ]


def test_the_demo_and_published_formulas_have_a_map_and_a_tree() -> None:
    """Thirteen published recipes by weight (tests/published/weight, each with its source) and the demo's eight."""
    paths = [str(ROOT / "formulas"), str(ROOT / "tests" / "published" / "weight")]
    formulas = collect(paths).formulas
    assert len(formulas) >= 20
    found = apart(formulas, kitchen_for(str(Path(paths[0]) / "house.yaml")).house)
    made, tree = map_of(found), tree_of(found)
    assert isinstance(tree, Branch)
    assert tree.labels == tuple(sorted(found.labels))
    assert 0 < sum(axis.share for axis in made.axes) <= 1
    assert all(axis.made_of for axis in made.axes)
    assert {one.ratio for one in nearest_without(found)} >= {"yeast-instant"}
