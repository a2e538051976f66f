"""The middle of formulas: medians by hand, its laws, the published recipes by class, and its file."""

from __future__ import annotations

import re
import sys
from dataclasses import replace
from pathlib import Path
from random import Random
from statistics import median
from typing import Any

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from perflour.balance.files import weigh_file
from perflour.balance.ratios import ratios
from perflour.compare.collect import Compared, collect
from perflour.diff.change import RatioChange
from perflour.diff.difference import difference_between
from perflour.evidence.middle import Middle, NotCounted, middle
from perflour.evidence.middle_file import MiddleFile, middle_file
from perflour.evidence.things import things
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen, kitchen_for
from perflour.lint.check import check_content
from perflour.result import CannotRun, Result
from perflour.scale.request import ScaleRequest
from tests.conftest import ROOT, examples, formula_text, weigh_text

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

from write_windows import formula_of  # the path is set above

BARE = Kitchen(House(), built_in())
DEMO = kitchen_for(str(ROOT / "formulas" / "house.yaml"))
FLOUR = "{item: all-purpose flour, amount: 100 g}"


def formula(name: str, *lines: str, method: str = "[]", extra: str = "") -> Compared:
    text = formula_text(*lines, method=method, extra=extra)
    text = text.replace("formula: trial", f"formula: {name}")
    return Compared(f"{name}.yaml", f"/{name}/formula.yaml", weigh_text(text))


def cake(name: str, **grams: float) -> Compared:
    """A cake of 100 g of flour; the names with _ for a space."""
    lines = (
        f"{{item: {item.replace('_', ' ')}, amount: {each} g}}" for item, each in grams.items()
    )
    return formula(name, FLOUR, *lines)


def percents(made: Middle) -> dict[str, float]:
    return {one.name: one.percent for one in made.percents}


# --- by hand -------------------------------------------------------------------------------------------------


def test_medians_by_hand() -> None:
    """Sugar 40 50 90, butter 30 20 10; egg in two of three, median 25; walnuts in one are left out and named."""
    made = middle(
        [
            cake("a", granulated_sugar=40, butter=30, egg=20),
            cake("b", granulated_sugar=50, butter=20, egg=30),
            cake("c", granulated_sugar=90, butter=10, walnuts=60),
        ],
        BARE,
    )
    assert percents(made) == pytest.approx(
        {"all-purpose flour": 100, "granulated sugar": 50, "unsalted butter": 20, "egg": 25}
    )
    (left,) = made.left_out
    assert (left.name, left.formulas, left.percent, left.why) == ("walnuts", 1, 60, "few")
    assert left.share == pytest.approx(1 / 3)
    sugar = next(one for one in made.percents if one.name == "granulated sugar")
    assert (sugar.low, sugar.high, sugar.formulas) == (45, 70, 3)


def test_what_is_left_out_of_a_kind_is_made_up_by_the_others_of_it() -> None:
    """Sugars in all 50, 60, 70: median 60, though the honey of one is left out; salts by mass; yeast as instant:
    1, 1 and 3 g fresh, which is 0.99 (0.33 each, a textbook figure of balance.ratios)."""
    made = middle(
        [
            cake("a", granulated_sugar=50, table_salt=2, instant_yeast=1),
            cake("b", granulated_sugar=60, table_salt=1, instant_yeast=1),
            cake("c", granulated_sugar=30, honey=40, kosher_salt=3, fresh_yeast=3),
        ],
        BARE,
    )
    assert percents(made) == pytest.approx(
        {"all-purpose flour": 100, "granulated sugar": 60, "instant yeast": 1, "table salt": 2}
    )
    assert {one.name for one in made.left_out} == {"honey", "kosher salt", "fresh yeast"}


def test_leavening_is_together_what_it_lifts() -> None:
    """Powder and soda together lift what the middle one of three does, nearly: soda hangs on the acid with it."""
    cakes = [
        cake("a", baking_powder=4, whole_milk=60),
        cake("b", baking_powder=3, baking_soda=0.5, buttermilk=60),
        cake("c", baking_powder=2, baking_soda=1, buttermilk=60),
    ]
    made = middle(cakes, BARE)
    gas = [ratios(one.balance)["leavening-gas"].percent for one in cakes]
    assert ratios(made.balance)["leavening-gas"].percent == pytest.approx(median(gas), rel=0.05)


def test_a_kind_that_half_have_keeps_its_most_usual_thing() -> None:
    fats = ({"butter": 40}, {"butter": 50}, {"lard": 30}, {"shortening": 60}, {"canola_oil": 70})
    made = middle([cake(f"c{at}", **fat) for at, fat in enumerate(fats)], BARE)
    (butter,) = (one for one in made.percents if one.kind == "fat and oil")
    assert (butter.name, butter.percent, butter.for_its_kind) == ("unsalted butter", 50, True)


def test_fruits_do_not_stand_in_for_each_other() -> None:
    """Raisins in one, dates in another: no fruit in the middle of three, and that is told."""
    made = middle([cake("a", raisins=60), cake("b", dates=60), cake("c", butter=20)], BARE)
    assert [(one.kind, one.formulas) for one in made.kinds_missing] == [("fruit", 2)]
    assert "fruit" not in {one.kind for one in made.percents}


def test_a_blend_by_hand() -> None:
    """Three to one: sugar (3 x 40 + 80) / 4; the egg of one quarter is left out of the blend."""
    a, b = cake("a", granulated_sugar=40, butter=20), cake("b", granulated_sugar=80, butter=40, egg=30)  # fmt: skip
    made = middle([a, b], BARE, {a.path: 3, b.path: 1})
    assert percents(made) == pytest.approx({"all-purpose flour": 100, "granulated sugar": 50, "unsalted butter": 25})  # fmt: skip
    assert [parent.weight for parent in made.parents] == [0.75, 0.25]
    assert made.nearest_label == "a"


def test_where_ours_stands() -> None:
    formulas = [cake(f"c{at}", granulated_sugar=sugar) for at, sugar in enumerate((40, 50, 50, 90))]
    made = middle(formulas, BARE, ours=formulas[1])
    sugar = next(one for one in made.ratios if one.ratio == "sugar")
    assert (sugar.below, sugar.equal, sugar.above) == (1, 1, 1)
    assert sugar.ours == pytest.approx(50)
    stranger = cake("ours", granulated_sugar=95)
    made = middle(formulas, BARE, ours=stranger)
    sugar = next(one for one in made.ratios if one.ratio == "sugar")
    assert (made.ours_label, sugar.below, sugar.equal, sugar.above) == ("ours", 4, 0, 0)


def test_a_ratio_that_is_too_low_says_by_what() -> None:
    """Nobody knows what is in figgy jam: the sugar of the middle is that of the rest."""
    formulas = [cake(f"c{at}", granulated_sugar=40, figgy_jam=20) for at in range(2)]
    made = middle([*formulas, cake("plain", granulated_sugar=50)], BARE)
    (total,) = (one for one in made.ratios if one.ratio == "total-sugar")
    assert (total.lacking, total.known) == (("figgy jam",), 1)


def test_the_oven_is_the_median_where_all_say_one() -> None:
    def baked(name: str, step: str) -> Compared:
        return formula(name, FLOUR, method=f"[{{do: bake, {step}}}]")

    said = [baked("a", "at: 160 °C, for: 20 min"), baked("b", "at: 170-180 °C"), baked("c", "at: 200 °C, for: 30 min")]  # fmt: skip
    made = middle(said, BARE)
    assert made.oven and made.bake_time
    assert (made.oven.value, made.oven.of, made.oven.said) == (175, "all", 3)
    assert (made.bake_time.value, made.bake_time.of, made.bake_time.said) == (20, "nearest", 2)


def test_what_is_of_another_basis_or_not_whole_is_set_aside() -> None:
    nuts = formula("nuts", "{item: almond meal, amount: 100 g}", extra="basis: [almond meal]\n")
    can = formula("can", FLOUR, "{item: rye flour, amount: 1 can}")
    made = middle([nuts, can, cake("a", butter=20), cake("b", butter=30)], BARE)
    assert made.not_counted == (NotCounted("nuts", "another basis"), NotCounted("can", "basis not whole"))  # fmt: skip
    own = middle([nuts], BARE)
    assert own.basis == ("almond meal",)
    assert percents(own) == pytest.approx({"almond meal": 100})
    with pytest.raises(CannotRun, match="no formula is left to make a middle of"):
        middle([can], BARE)


def test_what_nobody_weighs_is_left_out_and_named() -> None:
    loose = formula("a", FLOUR, "{item: salt, amount: to taste}")
    (left,) = middle([loose], BARE).left_out
    assert (left.name, left.percent, left.why) == ("table salt", None, "not weighed")


@pytest.mark.parametrize("weight", [-1.0, float("nan"), float("inf")])
def test_a_weight_is_a_number_of_0_or_more(weight: float) -> None:
    one = cake("a", butter=20)
    with pytest.raises(CannotRun, match="is no weight; give a number of 0 or more"):
        middle([one], BARE, {one.path: weight})


# --- laws ------------------------------------------------------------------------------------------------------

ITEMS = ("granulated sugar", "honey", "butter", "lard", "egg", "whole milk", "water", "salt", "baking powder", "walnuts", "dates")  # fmt: skip
amounts = st.integers(min_value=5, max_value=300)


@st.composite
def sets(draw: st.DrawFn, fewest: int = 1) -> list[Compared]:
    """Formulas of one or two flours and a few other things, by mass."""
    made = []
    for at in range(draw(st.integers(fewest, 6))):
        lines = [f"{{item: all-purpose flour, amount: {draw(amounts)} g}}"]
        chosen = [item for item in ("rye flour", *ITEMS) if draw(st.booleans())]
        lines += [f"{{item: {item}, amount: {draw(amounts)} g}}" for item in chosen]
        made.append(formula(f"f{at}", *lines))
    return made


def own_percents(one: Compared) -> dict[str, float]:
    return {line.name: line.percent or 0.0 for line in one.balance.total}


@examples(40)
@given(sets())
def test_the_middle_of_one_is_itself(formulas: list[Compared]) -> None:
    one = formulas[0]
    assert percents(middle([one], BARE)) == pytest.approx(own_percents(one))
    weights = {other.path: 0.0 for other in formulas} | {one.path: 2.5}
    blend = middle(formulas, BARE, weights)
    assert percents(blend) == pytest.approx(own_percents(one))
    assert [parent.label for parent in blend.parents] == [one.balance.formula.id]
    assert blend.nearest == one


@examples(40)
@given(sets(fewest=2), st.randoms(use_true_random=False), st.integers(2, 30))
def test_order_and_size_of_the_batch_change_nothing(
    formulas: list[Compared], chance: Random, times: int
) -> None:
    made = middle(formulas, BARE)
    assert sum(one.percent for one in made.percents if one.kind == "basis") == pytest.approx(100)
    shuffled = [*formulas[1:], _scaled(formulas[0], times)]
    chance.shuffle(shuffled)
    other = middle(shuffled, BARE)
    assert percents(other) == pytest.approx(percents(made))
    assert {(o.name, o.formulas) for o in other.left_out} == {(o.name, o.formulas) for o in made.left_out}  # fmt: skip
    assert other.nearest_label == made.nearest_label


def _scaled(one: Compared, times: int) -> Compared:
    lines = (f"{{item: {w.line.name}, amount: {w.grams * times:g} g}}" for w in one.balance.lines)
    return replace(formula(one.balance.formula.id, *lines), shown=one.shown, path=one.path)


@examples(25)
@given(sets(fewest=2), st.lists(st.integers(1, 9), min_size=6, max_size=6))
def test_a_blend_of_what_all_have_is_their_mean(formulas: list[Compared], given_weights: list[int]) -> None:  # fmt: skip
    weights = {one.path: float(w) for one, w in zip(formulas, given_weights, strict=False)}
    made = middle(formulas, BARE, weights)
    whole = sum(weights.values())
    sugars = [sum(p for name, p in own_percents(one).items() if name in ("granulated sugar", "honey")) for one in formulas]  # fmt: skip
    has = sum(w for one, w in zip(formulas, weights.values(), strict=True) if sugars[formulas.index(one)])  # fmt: skip
    if has >= whole / 2:
        mean = sum(s * w for s, w in zip(sugars, weights.values(), strict=True)) / whole
        assert sum(p.percent for p in made.percents if p.kind == "sugar and syrup") == pytest.approx(mean)  # fmt: skip


# --- published recipes ------------------------------------------------------------------------------------------

RECIPES: list[dict[str, Any]] = yaml.safe_load(
    (ROOT / "tests" / "published" / "recipes_by_class.yaml").read_text(encoding="utf-8")
)["recipes"]


def published(product_class: str) -> list[Compared]:
    return [
        Compared(r["id"], f"/{r['id']}/formula.yaml", weigh_file(yaml.safe_dump(formula_of(r)).encode(), r["id"], DEMO))
        for r in RECIPES
        if r["class"] == product_class
    ]  # fmt: skip


@pytest.mark.parametrize("product_class", sorted({r["class"] for r in RECIPES}))
def test_the_middle_of_a_class_of_published_recipes(product_class: str) -> None:
    """Within the range of the recipes in every kind; in its file too, as far as its scale rounds."""
    formulas = published(product_class)
    made = middle(formulas, DEMO)
    assert len(made.parents) + len(made.not_counted) == len(formulas)
    for one in made.ratios:
        if one.ratio in ("sugar", "fat", "egg", "salt") and one.percent is not None:
            values = [ratios(f.balance)[one.ratio].percent for f in formulas]
            assert min(values) - 1e-6 <= one.percent <= max(values) + 1e-6, one.ratio
    _as_said(made, middle_file(made, "The middle", DEMO, ScaleRequest(flour="2 kg")))


def test_twelve_rolled_cookies_by_hand() -> None:
    """Sugar of the class by its recipes (their sources in recipes_by_class.yaml): the median of twelve."""
    formulas = published("rolled-cookie")
    assert len(formulas) >= 10
    made = middle(formulas, DEMO)
    sugars = [ratios(one.balance)["sugar"].percent for one in formulas]
    assert next(r for r in made.ratios if r.ratio == "sugar").percent == pytest.approx(
        median(sugars)
    )
    assert {one.name for one in made.left_out} >= {"lard", "almonds"}


def _as_said(made: Middle, file: MiddleFile) -> None:
    """The file's percentages are the middle's, each as far as the scale rounds it and the flour."""
    told = {line.name: line.percent or 0.0 for line in file.balance.total}
    step = DEMO.house.scale_resolution_g / file.balance.basis_g * 100
    flours = sum(one.kind == "basis" for one in made.percents)
    for one in made.percents:
        assert told.pop(one.name) == pytest.approx(one.percent, abs=step * (1 + flours * one.percent / 100))  # fmt: skip
    assert not told


# --- its file -----------------------------------------------------------------------------------------------------

LOAVES = ("oat-date-loaf", "oat-and-treacle-loaf")
ALONE = ("caraway-cream-biscuit", "oat-and-treacle-loaf", "oat-date-loaf", "rye-ginger-cookie", "rye-poolish-loaf")  # fmt: skip


def demo(*names: str) -> list[Compared]:
    return list(collect([str(ROOT / "formulas" / name) for name in names]).formulas)


@pytest.mark.parametrize("names", [LOAVES, *((name,) for name in ALONE)])
def test_a_file_of_the_demo_lints_without_errors(names: tuple[str, ...]) -> None:
    made = middle(demo(*names), DEMO)
    file = middle_file(made, "The middle of ours", DEMO, into=str(ROOT / "formulas"))
    found = check_content(file.content, str(file.path), DEMO)
    assert [r.message for r in found if r.level == "error"] == []
    _as_said(made, file)
    own = check_content(
        (ROOT / "formulas" / made.nearest_label / "formula.yaml").read_bytes(), "own", DEMO
    )
    assert _unused(found) <= _unused(own) | set(file.without_step)


def _unused(found: tuple[Result, ...]) -> set[str]:
    """The ingredients that lint says no step takes."""
    return {m[1] for r in found if (m := re.match(r"(.*) is listed but no step", r.message))}


@pytest.mark.parametrize("name", ALONE)
def test_the_file_of_one_formula_is_that_formula(name: str) -> None:
    (one,) = demo(name)
    file = middle_file(middle([one], DEMO), "The middle of ours", DEMO)
    difference = difference_between(one.balance, file.balance, house=DEMO.house)
    assert things(difference) == ()
    assert not [
        c.subject for c in difference.changes if isinstance(c, RatioChange) and c.beyond_spread
    ]
    text = file.content.decode()
    assert "status: draft\norigin: adapted\n" in text
    assert f"Median of {name} (" in text


def test_the_file_is_for_the_flour_that_is_asked_for_and_names_its_parents() -> None:
    made = middle(demo(*LOAVES), DEMO)
    file = middle_file(made, "Middle loaf", DEMO, ScaleRequest(flour="1 kg"), "drafts")
    assert file.path == Path("drafts/middle-loaf/formula.yaml")
    assert file.balance.basis_g == pytest.approx(1000, abs=1)
    text = file.content.decode()
    for parent in made.parents:
        assert f"#   {parent.label}, revision {parent.revision}\n" in text
    assert "#   egg 43.2 % (42.8 to 43.6), in 2 of 2\n" in text
    assert "  - part: oat soaker\n" in text


def test_how_a_dough_is_parted_is_no_figure_of_the_middle() -> None:
    (preferment,) = (one for one in middle(demo("rye-poolish-loaf"), DEMO).ratios if one.ratio == "prefermented-flour")  # fmt: skip
    assert (preferment.percent, preferment.median) == (None, 20)


def test_a_topping_is_left_out_and_named() -> None:
    (one,) = demo("peach-cardamom-crumb-cake")
    made = middle([one], DEMO)
    assert [(b.kind, b.formulas, b.known) for b in made.beside] == [("topping", 1, 1)]
    file = middle_file(made, "Middle cake", DEMO)
    (topping,) = file.left_parts
    assert topping not in file.content.decode()
    found = check_content(file.content, str(file.path), DEMO)
    assert [r.message for r in found if r.level == "error"] == []


PARTLY = """\
formula: partly
title: Partly
class: lean-bread
status: draft
parts:
  - part: sponge
    kind: preferment
    ingredients: [{item: bread flour, amount: 100 g}, {item: water, amount: 100 g}, {item: fresh yeast, amount: 2 g}]
  - part: dough
    ingredients: [{item: bread flour, amount: 200 g}, {item: water, amount: 100 g}, {part: sponge, amount: 101 g}]
method:
  - {do: mix, uses: [bread flour, water, fresh yeast], makes: sponge}
  - {do: mix, uses: [bread flour, water, sponge]}
"""


def test_parts_that_go_in_only_in_part_become_one() -> None:
    """Half of the sponge is for another day: its flour, water and yeast stand in the dough, and the yeast in no step."""
    made = middle([Compared("partly.yaml", "/partly/formula.yaml", weigh_text(PARTLY))], BARE)
    file = middle_file(made, "Whole", BARE, ScaleRequest(flour="1 kg"))
    assert file.flattened
    assert (file.without_step, file.placed) == (("fresh yeast",), ())
    text = file.content.decode()
    assert text.count("- part:") == 1
    assert "makes: sponge" not in text
    assert {line.name: line.percent for line in file.balance.total} == pytest.approx(percents(made), abs=0.1)  # fmt: skip


def test_what_the_nearest_lacks_goes_to_a_thing_of_its_kind() -> None:
    """Honey is put where the sugar goes in; cocoa, of no kind that a step takes, has no step. Names stay as they are."""
    method = "[{do: mix, uses: [all-purpose flour, sugar]}, {do: bake, at: 180 °C}]"
    near = formula("near", FLOUR, "{item: sugar, amount: 50 g}", method=method)
    rich = ("{item: sugar, amount: 40 g}", "{item: honey, amount: 10 g}", "{item: Dutch-process cocoa powder, amount: 9 g}")  # fmt: skip
    made = middle([near, formula("rich", FLOUR, *rich)], BARE)
    assert made.nearest_label == "near"
    file = middle_file(made, "Middle", BARE)
    assert (file.placed, file.without_step) == (("honey",), ("Dutch-process cocoa powder",))
    assert "uses: [all-purpose flour, sugar, honey]" in file.content.decode()


def test_a_formula_needs_a_title() -> None:
    with pytest.raises(CannotRun, match="a formula needs a title; write one like"):
        middle_file(middle([cake("a", butter=20)], BARE), "!", BARE)
