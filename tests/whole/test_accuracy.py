"""Conversion of published measures against the published weights of the same lines.

Sources: the `source` of each recipe in published/weight_and_measure.yaml (USDA 1988 and 2004, US
Armed Forces recipe cards, CACFP collection, US Food Administration 1918).
"""

from __future__ import annotations

import sys
from statistics import median

import pytest

from perflour.balance.balance import balance
from perflour.diff.difference import difference_between
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import kitchen_for
from perflour.lint.check import check_content
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))

from write_accuracy import (  # the path is set above
    EXPLANATIONS,
    NEEDS_EXPLAINING_PERCENT,
    PAGE,
    conversions,
    in_sample,
    page,
)

PUBLISHED = ROOT / "tests" / "published"
RECIPES = sorted(path.name for path in (PUBLISHED / "weight").iterdir())


def test_at_least_ten_recipes_and_their_table_is_up_to_date() -> None:
    assert len(RECIPES) >= 10
    assert PAGE.read_text(encoding="utf-8") == page()


def test_median_error_of_volume_to_mass_is_small() -> None:
    found = conversions()
    assert median(abs(c.error_percent) for c in found) <= 5
    assert median(abs(c.error_percent) for c in found if not in_sample(c)) <= 5


def test_every_large_error_is_explained_and_no_explanation_is_idle() -> None:
    large = {
        (c.recipe, c.item) for c in conversions() if abs(c.error_percent) > NEEDS_EXPLAINING_PERCENT
    }
    assert large == set(EXPLANATIONS)


@pytest.mark.parametrize("recipe", RECIPES)
def test_by_weight_and_by_measure_differ_only_in_measuring(recipe: str) -> None:
    """The diff of one recipe's two files adds, removes and moves nothing; lint finds no error."""
    paths = [PUBLISHED / way / recipe / "formula.yaml" for way in ("weight", "measure")]
    before, after = (balance(read_formula(p.read_bytes(), str(p)), built_in()) for p in paths)
    changes = difference_between(before, after).changes
    results = [
        check_content(path.read_bytes(), str(path), kitchen_for(str(path))) for path in paths
    ]
    assert [r.message for found in results for r in found if r.level == "error"] == []
    assert {c.kind for c in changes} <= {
        "basis",
        "re-measured",
        "amount",
        "ratio",
        "mass-per-piece",
        "follows-basis",
        "blend",
    }
    assert any(c.kind == "re-measured" for c in changes)
