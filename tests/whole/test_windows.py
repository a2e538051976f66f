"""The windows of both houses are drawn from custom and published recipes, and hold the recipes.

Sources: each recipe's `source` in published/recipes_by_class.yaml (most from memory, marked so there),
published/weight and published/worked; custom: ratio_windows.csv of the reference, common practice, no source.
"""

from __future__ import annotations

import sys

import pytest
import yaml

from perflour.kitchen.house import house_from, kitchen_for
from perflour.lint.check import check_content
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

from write_windows import (  # the path is set above
    ENOUGH,
    HOUSES,
    ONE_IN,
    PAGE,
    RECIPES,
    customs,
    drawn,
    formula_of,
    house_text,
    outside,
    page,
    published,
)

CARRIED = {recipe["id"]: recipe for recipe in yaml.safe_load(RECIPES.read_text("utf-8"))["recipes"]}
JUDGED = sorted({p.product_class for p in published()} & set(customs()))


def test_houses_and_page_are_up_to_date() -> None:
    for house in HOUSES:
        text = house.read_text(encoding="utf-8")
        assert house_text(text) == text, "run: python tools/maintain/write_windows.py"
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python tools/maintain/write_windows.py"


def test_every_recipe_names_its_source_and_is_weighed_whole() -> None:
    sources = yaml.safe_load(RECIPES.read_text("utf-8"))["sources"]
    assert {recipe["source"] for recipe in CARRIED.values()} == set(sources)
    assert {recipe["provenance"] for recipe in CARRIED.values()} == {"seen", "memory"}
    for recipe in published():
        if recipe.name in CARRIED:
            unknown = [line.name for line in recipe.balance.total if line.ingredient is None]
            assert (recipe.balance.basis_is_whole, unknown) == (True, []), recipe.name


@pytest.mark.parametrize("name", JUDGED)
def test_nine_in_ten_published_recipes_lie_inside(name: str) -> None:
    own = [p for p in published() if p.product_class == name]
    inside = [p for p in own if not outside(p, drawn()[name])]
    assert len(own) < ENOUGH or len(inside) >= len(own) * (1 - 1 / ONE_IN)


def test_windows_still_mean_something() -> None:
    """Of the recipes of other classes, windows let through one in ten at most, in all."""
    windows = drawn()
    pairs = [(p, name) for p in published() for name in windows if name != p.product_class]
    through = sum(not outside(p, windows[name]) for p, name in pairs)
    assert through <= len(pairs) / 10


def test_lint_agrees_with_what_is_counted() -> None:
    """The rule, by the demo house, finds the same ratios of a carried recipe (salt apart, where none is listed)."""
    house = kitchen_for(str(ROOT / "formulas" / "x" / "formula.yaml"))
    assert house_from(yaml.safe_load(HOUSES[0].read_text("utf-8"))).classes == house.house.classes
    compared = 0
    for recipe in published():
        if recipe.name not in CARRIED or recipe.product_class not in house.house.classes:
            continue
        content = yaml.safe_dump(formula_of(CARRIED[recipe.name])).encode()
        found = check_content(content, "formula.yaml", house)
        named = {r.subject for r in found if r.rule == "ratio-outside-window"} - {"salt"}
        assert named == set(outside(recipe, drawn()[recipe.product_class])) - {"salt"}, recipe.name
        compared += 1
    assert compared > 60
