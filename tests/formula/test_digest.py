"""What names a revision: everything that is weighed or done, and no more."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.formula.digests import digest
from perflour.formula.formula import Formula
from tests.conftest import weigh_text

BATTER = (
    "{item: all-purpose flour, amount: 250 g}",
    "{item: granulated sugar, amount: 120 g}",
    "{item: egg, amount: 2 large}",
    "{item: egg, amount: 2 large}",
    "{part: soaker, amount: all}",
)
SOAKER = ("{item: rolled oats, amount: 90 g}", "{item: water, amount: 100 g}")
METHOD = ("{do: soak, uses: [rolled oats, water]}", "{do: mix, uses: [egg]}", "{do: bake}")


def formula(
    batter: tuple[str, ...] = BATTER,
    soaker: tuple[str, ...] = SOAKER,
    method: tuple[str, ...] = METHOD,
) -> Formula:
    def listed(lines: tuple[str, ...], indent: int) -> str:
        return "".join(f"{' ' * indent}- {line}\n" for line in lines)

    return weigh_text(
        "formula: trial\ntitle: Trial\nclass: loaf-cake\nstatus: draft\nparts:\n"
        f"  - part: soaker\n    ingredients:\n{listed(soaker, 6)}"
        f"  - part: batter\n    ingredients:\n{listed(batter, 6)}"
        f"method:\n{listed(method, 2)}"
    ).formula


@given(st.permutations(BATTER), st.permutations(SOAKER))
def test_the_order_of_lines_in_a_part_does_not_count(batter: list[str], soaker: list[str]) -> None:
    assert digest(formula(tuple(batter), tuple(soaker))) == digest(formula())


@pytest.mark.parametrize(
    "added",
    ["notes: Keeps well.\n", "corrections: [{item: egg, because: one egg too many was printed}]\n"],
)
def test_what_is_only_said_does_not_count(added: str) -> None:
    text = "formula: a\ntitle: A\nclass: loaf-cake\nstatus: draft\nparts: [{part: b, ingredients: [{item: egg, amount: 2 large}]}]\nmethod: []\n"
    assert digest(weigh_text(text + added).formula) == digest(weigh_text(text).formula)


@pytest.mark.parametrize(
    "changed",
    [
        {"soaker": (SOAKER[0], SOAKER[1].replace("100 g", "101 g"))},
        {"soaker": SOAKER[:1], "batter": (*BATTER, SOAKER[1])},
        {"batter": BATTER[:3] + BATTER[4:]},
        {"batter": (*BATTER, BATTER[2])},
        {"batter": (*BATTER[:4], "{part: soaker, amount: half}")},
        {"method": (METHOD[1], METHOD[0], METHOD[2])},
        {"method": METHOD[:2]},
    ],
    ids=["amount", "moved to another part", "one egg line less", "one more", "share", "steps swapped", "a step less"],
)  # fmt: skip
def test_everything_that_is_weighed_or_done_counts(changed: dict[str, Any]) -> None:
    assert digest(formula(**changed)) != digest(formula())
