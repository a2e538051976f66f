"""Formulas side by side: published figures, the laws of the rows, who is odd and how far apart."""

from __future__ import annotations

import re
from collections import defaultdict
from itertools import permutations
from pathlib import Path
from random import Random
from statistics import median

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import median_abs_deviation

from perflour.balance.spread import number_with
from perflour.compare.collect import Collected, Compared, collect
from perflour.compare.distances import distances
from perflour.compare.outliers import SAME_RELATIVE, far_score, judged, outliers
from perflour.compare.table import Row, SideBySide, side_by_side
from perflour.diff.change import LineChange
from perflour.result import CannotRun
from tests.balance.test_balance import EXAMPLES
from tests.conftest import ROOT, examples, formula_text, weigh_text

PUBLISHED = ROOT / "tests" / "published"
BUN = (
    "{item: all-purpose flour, amount: 500 g}",
    "{item: water, amount: 300 g}",
    "{item: granulated sugar, amount: 50 g}",
    "{item: butter, amount: 75 g}",
    "{item: egg, amount: 2 large}",
    "{item: salt, amount: 9 g}",
)


def table_of(*texts: str) -> SideBySide:
    """Formulas given by their text, named as their places in the list."""
    formulas = tuple(
        Compared(f"f{at}.yaml", f"/f{at}.yaml", weigh_text(text)) for at, text in enumerate(texts)
    )
    return side_by_side(Collected(formulas, (), frozenset()))


def row_of(table: SideBySide, name: str, section: str = "ingredient") -> Row:
    return next(row for row in table.rows if (row.section, row.name) == (section, name))


def values(table: SideBySide, name: str, section: str = "ingredient") -> list[float | None]:
    return [cell.value for cell in row_of(table, name, section).cells]


def with_line(line: str, base: tuple[str, ...] = BUN) -> str:
    """BUN with the line of the same item replaced, or the line added."""
    item = line.split(",")[0]
    kept = [each for each in base if each.split(",")[0] != item]
    return formula_text(*kept, line)


# --- published figures --------------------------------------------------------------------------


def test_printed_percentages_stand_side_by_side() -> None:
    """Every printed figure of the one-part worked examples; sources in worked_examples.yaml."""
    table = side_by_side(collect([str(PUBLISHED / "worked")]))
    by_id = {column.formula.id: at for at, column in enumerate(table.columns)}
    checked = 0
    for example in EXAMPLES:
        at = by_id.get(example["id"])
        if at is None or len(table.columns[at].balance.parts) > 1:
            continue  # no formula, or one with a preferment: the print is not of the total formula
        lines = table.columns[at].balance.parts[0].lines
        printed: dict[str, list[float | None]] = defaultdict(list)
        for line, published in zip(lines, example["ingredients"], strict=True):
            right = published.get("published_wrong", {}).get("correct_percent")
            printed[line.name].append(right or published["published_percent"])
        for name, figures in printed.items():
            if None not in figures:
                total = sum(figure or 0.0 for figure in figures)
                # each is cut or rounded to the digits in print, at worst to a whole percent
                assert row_of(table, name).cells[at].value == pytest.approx(
                    total, abs=0.1 * len(figures)
                )
                checked += 1
    assert checked > 25


def test_one_recipe_by_weight_and_by_measure() -> None:
    """USDA PA-1371, 1988, chocolate cake: sugar 2 lb (4 3/4 cups) on flour 1 lb 6 oz (5 cups).

    By measure with the cups of USDA SR28: sugar 200 g (NDB 19335), flour 125 g (NDB 20081).
    """
    recipe = "usda-1988-chocolate-cake"
    table = side_by_side(collect([str(PUBLISHED / way / recipe) for way in ("weight", "measure")]))
    assert [column.label for column in table.columns] == [f"weight/{recipe}", f"measure/{recipe}"]
    sugar = row_of(table, "granulated sugar")
    assert [cell.value for cell in sugar.cells] == pytest.approx(
        [32 / 22 * 100, 4.75 * 200 / (5 * 125) * 100]
    )
    assert sugar.cells[0].spread == 0
    assert sugar.cells[1].spread > 0
    assert values(table, "oven", "bake") == pytest.approx([190.6, 190.6], abs=0.05)  # 375 °F


@pytest.mark.parametrize("recipe", sorted(path.name for path in (PUBLISHED / "weight").iterdir()))
def test_a_recipe_is_nearest_to_itself_measured_otherwise(recipe: str) -> None:
    """Among all published recipes by weight, the nearest to one by measure is the same one."""
    table = side_by_side(collect([str(PUBLISHED / "weight"), str(PUBLISHED / "measure" / recipe)]))
    to_weighed = table.distances.matrix[-1][:-1]
    nearest = table.columns[to_weighed.index(min(to_weighed))].formula.id
    assert nearest == recipe


# --- rows -----------------------------------------------------------------------------------------


def test_rows_are_in_the_trades_order_and_say_how_many_have_them() -> None:
    table = table_of(
        formula_text(*BUN),
        with_line("{item: honey, amount: 20 g}"),
        with_line("{item: baking powder, amount: 5 g}"),
    )
    assert [(r.kind, r.name, r.count) for r in table.rows if r.section == "ingredient"] == [
        ("flour and starch", "all-purpose flour", 3),
        ("sugar and syrup", "granulated sugar", 3),
        ("sugar and syrup", "honey", 1),
        ("fat and oil", "unsalted butter", 3),
        ("egg", "egg", 3),
        ("liquid and dairy", "water", 3),
        ("leavening", "baking powder", 1),
        ("salt", "table salt", 3),
    ]
    honey = row_of(table, "honey")
    assert [cell.value for cell in honey.cells] == [None, pytest.approx(4), None]
    assert (honey.median, honey.low, honey.high) == pytest.approx((4, 4, 4))
    leavening = row_of(table, "leavening", "kind")
    assert [cell.value for cell in leavening.cells] == [0, 0, pytest.approx(0.12)]
    assert (leavening.median, leavening.count) == (0, 1)
    assert [row.name for row in table.rows if row.section == "kind"] == list(
        dict.fromkeys(row.kind for row in table.rows if row.section == "ingredient")
    )


def test_names_of_one_ingredient_are_one_row() -> None:
    """Plain flour and all-purpose flour, butter and unsalted butter: names of the catalogue."""
    table = table_of(
        formula_text("{item: plain flour, amount: 100 g}", "{item: butter, amount: 50 g}"),
        formula_text(
            "{item: all-purpose flour, amount: 1 kg}", "{item: sweet butter, amount: 1 kg}"
        ),
    )
    assert [row.name for row in table.rows if row.section == "ingredient"] == [
        "all-purpose flour",
        "unsalted butter",
    ]
    assert values(table, "unsalted butter") == pytest.approx([50, 100])


def test_what_cannot_be_weighed_makes_sums_too_low() -> None:
    table = table_of(
        formula_text(*BUN), with_line("{item: butter, amount: 1 can}"), formula_text(*BUN)
    )
    butter, fat = row_of(table, "unsalted butter"), row_of(table, "fat and oil", "kind")
    assert (butter.cells[1].value, butter.cells[1].too_low) == (None, ("unsalted butter",))
    assert butter.count == 3
    assert (fat.cells[1].value, fat.cells[1].too_low) == (0, ("unsalted butter",))
    assert row_of(table, "egg", "kind").cells[1].too_low == ()
    assert row_of(table, "batch", "batch").cells[1].too_low == ("unsalted butter",)


def test_an_own_basis_is_told_and_a_listed_flour_is_none() -> None:
    nuts = ("{item: almond meal, amount: 200 g}", "{item: granulated sugar, amount: 100 g}")
    table = table_of(
        formula_text(*nuts, extra="basis: [almond meal]\n"),
        formula_text(*BUN, extra="basis: [all-purpose flour]\n"),
    )
    assert [column.own_basis for column in table.columns] == [True, False]
    assert table.columns[0].basis_items == ("almond meal",)
    assert values(table, "granulated sugar") == pytest.approx([50, 10])


def test_bake_rows_take_the_hottest_oven_all_times_and_the_last_core() -> None:
    method = (
        "[{do: preheat, to: 250 °C}, {do: bake, at: 250 °C, for: 15 min}, "
        "{do: bake, at: 210-220 °C, for: 20-25 min, core: 97 °C}]"
    )
    table = table_of(
        formula_text(*BUN, method=method),
        formula_text(*BUN, method="[{do: bake, at: 400 °F}]"),
    )
    assert values(table, "oven", "bake") == pytest.approx([250, 204.4], abs=0.05)
    time = row_of(table, "bake time", "bake")
    assert (time.cells[0].value, time.cells[0].ends, time.cells[1].value) == (37.5, (35, 40), None)
    assert values(table, "core", "bake") == [97, None]


# --- laws -------------------------------------------------------------------------------------------

amounts = st.integers(min_value=1, max_value=900)


@st.composite
def bun_texts(draw: st.DrawFn, fewest: int = 2) -> list[str]:
    """Formulas of a few ingredients each, in grams and in cups."""
    texts = []
    for at in range(draw(st.integers(min_value=fewest, max_value=6))):
        lines = [f"{{item: all-purpose flour, amount: {draw(amounts)} g}}"]
        for item in ("granulated sugar", "butter", "egg", "water", "salt", "walnuts"):
            if draw(st.booleans()):
                unit = draw(st.sampled_from(("g", "cup", "tbsp")))
                lines.append(f"{{item: {item}, amount: {draw(amounts)} {unit}}}")
        texts.append(formula_text(*lines).replace("trial", f"trial-{at}"))
    return texts


def odd_label(table: SideBySide) -> str | None:
    odd = table.distances.odd
    return None if odd is None else table.columns[odd].label


@examples(25)
@given(bun_texts(), st.randoms(use_true_random=False))
def test_the_order_of_files_changes_no_number(texts: list[str], chance: Random) -> None:
    order = list(range(len(texts)))
    chance.shuffle(order)
    one, other = table_of(*texts), table_of(*(texts[at] for at in order))
    where = [order.index(at) for at in range(len(texts))]
    assert {(r.section, r.name) for r in one.rows} == {(r.section, r.name) for r in other.rows}
    for row in one.rows:
        same = row_of(other, row.name, row.section)
        assert [same.cells[at].value for at in where] == [cell.value for cell in row.cells]
        assert (same.median, same.low, same.high, same.count) == (
            row.median,
            row.low,
            row.high,
            row.count,
        )
        assert same.odd == {where[at] for at in row.odd}
    nearest = [{t.columns[at].label for at in t.distances.nearest} for t in (one, other)]
    assert nearest[0] == nearest[1]
    assert odd_label(one) == odd_label(other)


@examples(25)
@given(bun_texts(fewest=4), st.integers(min_value=2, max_value=40))
def test_scaling_a_formula_changes_only_the_batch(texts: list[str], factor: int) -> None:
    scaled = re.sub(r"amount: (\d+)", lambda m: f"amount: {int(m[1]) * factor}", texts[0])
    before, after = table_of(*texts), table_of(scaled, *texts[1:])
    for row in before.rows:
        same = row_of(after, row.name, row.section)
        expected = [cell.value for cell in row.cells]
        if row.section == "batch":
            expected[0] = expected[0] and expected[0] * (factor if row.name != "pieces" else 1)
        assert [cell.value for cell in same.cells] == pytest.approx(expected)
        if row.section != "batch":
            assert same.odd == row.odd
    for one, other in zip(before.distances.matrix, after.distances.matrix, strict=True):
        assert other == pytest.approx(one, abs=1e-9)


@pytest.mark.parametrize("count", [2, 3, 4, 9])
def test_identical_formulas_have_no_odd_one(count: int) -> None:
    table = table_of(*[formula_text(*BUN)] * count)
    assert [row.name for row in table.rows if row.outliers] == []
    assert table.distances.odd is None
    assert {distance for row in table.distances.matrix for distance in row} == {0.0}


points = st.lists(st.floats(min_value=0, max_value=500), min_size=13, max_size=13)


@given(st.lists(points, min_size=3, max_size=6))
def test_the_distance_is_a_metric(formulas: list[list[float]]) -> None:
    matrix = distances(formulas, [str(at) for at in range(len(formulas))]).matrix
    for a, b, c in permutations(range(len(formulas)), 3):
        assert matrix[a][a] == 0
        assert matrix[a][b] == matrix[b][a] >= 0
        assert matrix[a][c] <= matrix[a][b] + matrix[b][c] + 1e-9


def test_distance_in_points_of_the_basis() -> None:
    """By hand: fat 13 and sugar 0 points apart over 13 kinds: 13 / square root of 13."""
    apart = distances([[100, 50, 20] + [0] * 10, [100, 50, 33] + [0] * 10], ["a", "b"])
    assert apart.nearest_distance == pytest.approx(13 / 13**0.5)
    assert apart.odd is None  # of two each is as odd as the other


def test_nearest_and_odd_one_out() -> None:
    """One kind: 10, 11, 13, 40. The pair 10, 11; 40 is 30, 29, 27 from the others, median 29."""
    apart = distances([[10.0], [11.0], [13.0], [40.0]], list("abcd"))
    assert (apart.nearest, apart.nearest_distance) == ((0, 1), 1)
    assert (apart.odd, apart.odd_distance) == (3, 29)


# --- outliers -----------------------------------------------------------------------------------------


def test_a_far_value_by_hand() -> None:
    """Median 12.5; distances 2.5 1.5 1.5 0.5 0.5 0.5 1.5 27.5 with median 1.5; 0.6745 x 27.5 / 1.5."""
    (far,) = outliers([10, 11, 11, 12, 13, 13, 14, 40])
    assert far.at == 7
    assert far.score == pytest.approx(12.3658, abs=1e-4)


def test_one_among_equals_by_hand() -> None:
    """MAD 0, mean distance 18 / 8; 0.7979 x 18 / 2.25. Two of eight are not told apart that way."""
    way, (far,) = judged([*[2] * 7, 20])
    assert (way, far.at) == ("mean distance", 7)
    assert far.score == pytest.approx(6.3832)
    assert judged([*[2] * 6, 20, 20]) == ("mean distance", ())


@pytest.mark.parametrize("numbers", [
    [], [1, 50, 3, 2, 1, 2, 3], [5] * 8, [1, 2, 3, 4, 5, 6, 7, 8], [None, 1, None, 50, 3, 1, 2, 3, 2],
    [*[100] * 8, 100.1],  # nearer than a kitchen rounds
])  # fmt: skip
def test_no_far_value(numbers: list[float | None]) -> None:
    assert outliers(numbers) == ()


@given(st.lists(st.integers(min_value=1, max_value=1000), min_size=8, max_size=30))
def test_far_values_are_those_of_a_statistics_library(numbers: list[int]) -> None:
    """scipy's median absolute deviation, scaled for a normal spread: beyond the limit times it."""
    usual = median_abs_deviation(numbers, scale="normal")
    middle, limit = median(numbers), far_score(len(numbers))
    scores = [abs(n - middle) / usual for n in numbers] if usual else []
    # the two write 0.6745 with more or fewer digits: leave the very edge alone
    assume(usual > 0 and all(abs(score - limit) > 0.001 for score in scores))
    assume(all(n == middle or abs(n - middle) > SAME_RELATIVE * max(n, middle) for n in numbers))
    found = outliers(numbers)
    assert {o.at for o in found} == {at for at, score in enumerate(scores) if score > limit}
    assert list(found) == sorted(found, key=lambda o: -o.score)
    for outlier in found:
        assert outlier.score == pytest.approx(scores[outlier.at], rel=1e-4)


def test_a_difference_within_the_measuring_spread_is_not_odd() -> None:
    near = [100, 101, 102, 103, 100, 101, 102]
    assert outliers([*near, number_with(130, 20)]) == ()
    assert [o.at for o in outliers([*near, number_with(130, 5)])] == [7]


def test_a_shared_spoon_cancels_out() -> None:
    """Salt by one teaspoon that is a fifth off or so: it is off in all formulas together.

    By hand: 1.7 is 0.7 from the median, two spreads of that are 2 x 0.2 x 0.7; of eight spoons each
    off by itself they are 2 x 0.2 x the root of 1.7 x 1.7 + 1 / 2, the middle being that of two.
    """
    spoons = (0.9, 0.95, 1, 1, 1, 1.05, 1.1, 1.7)
    one = number_with(1, 0.2)
    assert [o.at for o in outliers([one * n for n in spoons])] == [7]
    assert outliers([number_with(n, 0.2 * n) for n in spoons]) == ()


def test_what_is_low_for_want_of_a_mass_is_not_odd() -> None:
    masses = (75, 76, 77, 78, 75, 76, 77)
    buns = [with_line(f"{{item: butter, amount: {g} g}}") for g in masses]
    fat = row_of(table_of(*buns, with_line("{item: butter, amount: 1 can}")), "fat and oil", "kind")
    assert fat.cells[7].too_low
    assert fat.odd == frozenset()
    none = row_of(table_of(*buns, formula_text(*BUN[:3])), "fat and oil", "kind")
    assert none.odd == {7}


def test_sizes_of_batches_and_rows_of_equals_are_not_judged() -> None:
    table = table_of(*[with_line(f"{{item: butter, amount: {g} g}}") for g in range(70, 78)])
    ways = {(row.section, row.name): row.judged for row in table.rows}
    assert ways["kind", "fat and oil"] == "median distance"
    assert ways["kind", "salt"] == ways["batch", "batch"] == ways["basis", "flour basis"] == ""


# --- which formulas ------------------------------------------------------------------------------------


def written(folder: Path, **texts: str) -> list[str]:
    for name, text in texts.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return [str(folder / f"{name}.yaml") for name in texts]


def test_what_cannot_be_compared_is_left_out_and_told(tmp_path: Path) -> None:
    sugar = formula_text("{item: granulated sugar, amount: 100 g}")
    cupless = formula_text("{item: all-purpose flour, amount: 1 can}")
    mill = formula_text("{item: miller's own, amount: 100 g}")
    bun = formula_text(*BUN)
    files = written(tmp_path, a=bun, b="formula: [", c=sugar, d=cupless, e=bun, f=mill)
    found = collect(files)
    assert [Path(one.path).stem for one in found.formulas] == ["a", "e"]
    assert [(Path(r.place.path).stem, r.message.split(";")[0]) for r in found.results[-3:]] == [
        ("c", "no flour to take percentages of"),
        ("d", "what is 100 % cannot be weighed, so there are no percentages"),
        ("f", "no flour that is known, and 'miller's own' is not in the catalogue"),
    ]
    assert Path(found.results[0].place.path).stem == "b"
    assert len(found.paths) == 6


def test_fewer_than_two_cannot_be_compared(tmp_path: Path) -> None:
    (one,) = written(tmp_path, a=formula_text(*BUN))
    with pytest.raises(CannotRun, match=r"^only .*a\.yaml is left to compare; name two formulas"):
        side_by_side(collect([one]))
    with pytest.raises(CannotRun, match=r"^no formula is left to compare"):
        side_by_side(Collected((), (), frozenset()))


def test_the_target_is_compared_once_and_never_with_itself(tmp_path: Path) -> None:
    rich = with_line("{item: butter, amount: 150 g}")
    a, b, c = written(tmp_path, a=formula_text(*BUN), b=rich, c=formula_text(*BUN))
    assert (len(collect([a, b, c], b).formulas), collect([a, b, c], b).target) == (3, 1)
    assert (len(collect([a, c], b).formulas), collect([a, c], b).target) == (3, 2)
    with pytest.raises(CannotRun, match="cannot be turned into itself"):
        collect([a, b], a)
    with pytest.raises(CannotRun, match="0 formulas there; name one formula with to"):
        collect([a, b], str(tmp_path))
    table = side_by_side(collect([a], b))
    assert table.turn is not None
    moved = next(c for c in table.turn.changes if c.subject == "butter")
    assert isinstance(moved, LineChange)
    assert (moved.before_percent, moved.after_percent) == pytest.approx((15, 30))


def test_the_first_formula_must_be_there_to_be_turned(tmp_path: Path) -> None:
    a, b, c = written(tmp_path, a="formula: [", b=formula_text(*BUN), c=formula_text(*BUN))
    with pytest.raises(CannotRun, match=r"^the first formula cannot be turned into another: "):
        collect([a, b], c)


def test_labels_are_ids_and_paths_where_ids_are_alike(tmp_path: Path) -> None:
    for place in ("one/bun", "two/bun", "two/roll"):
        folder = tmp_path / place
        folder.mkdir(parents=True)
        text = formula_text(*BUN).replace("trial", folder.name)
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
    table = side_by_side(collect([str(tmp_path)]))
    assert [column.label for column in table.columns] == ["one/bun", "two/bun", "roll"]


def test_a_formula_that_says_no_pieces_has_no_mass_per_piece_that_is_too_low() -> None:
    nuts = "{item: pecans, amount: some}"
    made = formula_text(*BUN, nuts, extra="yield: {pieces: 12, piece: bun}\n")
    row = row_of(table_of(made, formula_text(*BUN, nuts)), "mass per piece", "batch")
    assert (row.count, [cell.too_low for cell in row.cells]) == (1, [("pecans",), ()])
