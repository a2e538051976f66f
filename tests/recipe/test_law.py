"""Nothing of a recipe is lost: every number is in the formula, or its line is told.

Texts: published ones with their source on the first line, and our own prose (invented, tests/recipe/gold).
"""

from __future__ import annotations

from pathlib import Path
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.recipe.header import Header
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.to_formula import formula_file
from tests.conftest import ROOT, examples
from tests.recipe.law import lost
from tests.recipe.test_import import mutated

KITCHEN = Kitchen(House(), built_in())
TEXTS = sorted([*(ROOT / "tests/published/text").glob("*.txt"), *(ROOT / "tests/recipe/gold").glob("*/*.txt")])  # fmt: skip

LINES = st.sampled_from(["2 cups flour", "1½ tsp salt", "3 eggs", "Bake at 375 for 20 minutes.", "Makes 24.", "gas mark 6", "roll to 5 mm", "about 1,200 g", "a dozen buns", "Scale at 450 g, 12 pieces.", "30 x 20 cm tin", "7 lb 3 oz of batter", "Rest 20.", "first at 240, then 30 min at 210", "two 14 oz tins, drained"])  # fmt: skip


def lost_in(text: str) -> list[tuple[int, str]]:
    made = formula_file(sorted_text(text, "x"), Header(), KITCHEN)
    return lost(text, made.text, {result.place.line for result in made.unclear})


@pytest.mark.parametrize("path", TEXTS, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_nothing_of_a_text_is_lost(path: Path) -> None:
    assert lost_in(path.read_text(encoding="utf-8")) == []


@given(st.randoms(use_true_random=False), st.sampled_from(TEXTS), st.integers(1, 12))
@examples(300)
def test_nothing_of_a_mutated_text_is_lost(chance: Random, path: Path, times: int) -> None:
    assert lost_in(mutated(path.read_text(encoding="utf-8"), chance, times)) == []


@given(st.lists(LINES, min_size=1, max_size=9), st.sampled_from(["\n", "\n\n", " ", ". "]))
@examples(200)
def test_nothing_of_a_made_up_text_is_lost(lines: list[str], between: str) -> None:
    assert lost_in(between.join(lines)) == []


def test_a_number_that_counts_no_list_is_kept() -> None:
    """As where a line was cut in the middle: "Core" and "97. Rack to cool"."""
    seed, times = 203459, 3
    text = (ROOT / "tests/recipe/gold/prose/bakery-sheet-1.txt").read_text(encoding="utf-8")
    assert lost_in(mutated(text, Random(seed), times)) == []
