"""What a diff says where a side cannot be weighed as a whole: no percentage and no mass that is only part of the truth."""

from __future__ import annotations

import pytest

from perflour.diff.difference import difference_between
from perflour.report.diff.words import change_text
from tests.conftest import formula_text, weigh_text

FLOUR = "all-purpose flour, amount: 300 g"
WHEAT = "whole wheat flour, amount: 100 g"
BUTTER = "unsalted butter, amount: 80 g"
YIELD = "yield: {pieces: 8, piece: scone}\n"


def told(before: tuple[str, ...], after: tuple[str, ...]) -> list[str]:
    """Everything that is said, kind by kind."""
    sides = [
        weigh_text(formula_text(*(f"{{item: {line}}}" for line in lines), extra=YIELD))
        for lines in (before, after)
    ]
    changes = difference_between(*sides).changes
    return [f"{c.kind}: {change_text(c)}" for c in changes]


WHEAT_GG, BUTTER_SOME = "whole wheat flour, amount: 100 gg", "unsalted butter, amount: some"
NOT_WHOLE = "basis-unknown: 100 % not whole any more: whole wheat flour may belong to it; told as typed, not in percent"  # fmt: skip
CASES = {
    "a flour that lost its mass": (
        (FLOUR, WHEAT, BUTTER),
        (FLOUR, WHEAT_GG, BUTTER),
        [NOT_WHOLE, "amount-as-written: whole wheat flour: 100 g -> 100 gg", "piece-unknown: mass per piece not known any more: no weight is known of whole wheat flour"],
    ),
    "a flour that got one": (
        (FLOUR, WHEAT_GG, BUTTER),
        (FLOUR, WHEAT, BUTTER),
        ["basis-unknown: 100 % whole now, before without whole wheat flour; told as typed, not in percent", "amount-as-written: whole wheat flour: 100 gg -> 100 g", "piece-unknown: mass per piece now known: whole wheat flour has a weight"],
    ),
    "all flour without a mass": (
        (WHEAT, BUTTER),
        (WHEAT_GG, BUTTER),
        [NOT_WHOLE, "amount-as-written: whole wheat flour: 100 g -> 100 gg", "piece-unknown: mass per piece not known any more: no weight is known of whole wheat flour"],
    ),
    "butter that lost its mass leaves 100 % as it is": (
        (FLOUR, BUTTER),
        (FLOUR, BUTTER_SOME),
        ["piece-unknown: mass per piece not known any more: no weight is known of unsalted butter"],
    ),
    "a trace of salt is no news": (
        (FLOUR, "table salt, amount: 3 g"),
        (FLOUR, "table salt, amount: to taste"),
        [],
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", CASES)
def test_what_is_not_known_is_said(name: str) -> None:
    before, after, expected = CASES[name]
    said = told(before, after)
    assert [s for s in said if s in expected] == expected
    kinds = {s.partition(":")[0] for s in said}
    assert "mass-per-piece" not in kinds
    assert ("basis-unknown" in kinds) == any(e.startswith("basis-unknown") for e in expected)
    assert ("piece-unknown" in kinds) == any(e.startswith("piece-unknown") for e in expected)


def test_a_piece_that_is_heavier_is_still_told() -> None:
    said = told((FLOUR, BUTTER_SOME), (FLOUR, WHEAT, BUTTER_SOME))
    assert any(s.startswith("mass-per-piece: ") for s in said)


def test_percentages_of_part_of_the_flour_say_so() -> None:
    """Whole on neither side: percent of what is weighed, and every line says that it is not whole."""
    said = told((FLOUR, WHEAT_GG, BUTTER), (FLOUR, WHEAT_GG, "unsalted butter, amount: 120 g"))
    of_flour = [s for s in said if "flour" in s]
    assert of_flour
    assert all("of the batter's flour (not whole)" in s for s in of_flour)
