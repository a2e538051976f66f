"""What scale and spoon add to the spread of a ratio is what a gram more of each line does to it, weighed anew."""

from __future__ import annotations

from math import sqrt

import pytest

from perflour.balance.balance import Balance
from perflour.balance.ratios import ratios
from perflour.balance.spread import Measures
from perflour.diff.placed_lines import side_of
from perflour.diff.residual import reading_spread_g
from perflour.diff.standing import Standing
from tests.conftest import weigh_text

#: Parts with their kind and lines in g; the dough takes half of the poolish.
PARTS = (
    ("poolish", "preferment", (("bread flour", 200.0), ("water", 190.0))),
    ("dough", "dough", (("bread flour", 500.0), ("whole milk", 120.0), ("egg", 55.0), ("unsalted butter", 60.0), ("table salt", 11.0), ("instant yeast", 4.0))),
)  # fmt: skip
STEP_G = 0.5


def weighed(more_of: tuple[str, int] | None = None, more_g: float = 0.0) -> Balance:
    listed = ""
    for name, kind, lines in PARTS:
        said = [
            f"{{item: {item}, amount: {grams + more_g * (more_of == (name, at)):.6f} g}}"
            for at, (item, grams) in enumerate(lines)
        ]
        said += ["{part: poolish, amount: half}"] if name == "dough" else []
        listed += f"  - part: {name}\n    kind: {kind}\n    ingredients: [{', '.join(said)}]\n"
    return weigh_text(f"formula: t\ntitle: T\nclass: c\nstatus: draft\nparts:\n{listed}method: []\n")  # fmt: skip


@pytest.mark.parametrize("name", ["hydration", "total-water", "total-fat", "egg", "salt", "yeast-instant", "prefermented-flour"])  # fmt: skip
def test_a_reading_moves_a_ratio_as_more_of_a_line_does(name: str) -> None:
    """First order, one line after the other, none of which knows of another."""
    base = weighed()
    standing = Standing(side_of(base, "here", {}, {}), Measures(), STEP_G)
    tiny_g, square = 0.01, 0.0
    for entry in standing.side.placed:
        if not entry.is_part:
            more = ratios(weighed(entry.key, tiny_g))[name].percent
            by_gram = (more - ratios(base)[name].percent) / tiny_g
            square += (by_gram * reading_spread_g(entry, STEP_G)) ** 2
    assert square > 0
    assert standing.reading(name) == pytest.approx(sqrt(square), rel=1e-3)
