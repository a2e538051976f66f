"""Spreads of masses and percentages, against sums that can be done by hand."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.balance.balance import Balance, balance
from perflour.balance.ratios import ratios
from perflour.balance.spread import Measures, spread_of, uncertain, value_of
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in, with_house
from perflour.kitchen.names import fold
from tests.conftest import ROOT, formula_text

CUP = {
    "name": "granulated sugar", "group": "sugar",
    "measures": [{"per": "cup", "grams": 100, "spread": 1, "source": "house choice"}],
}  # fmt: skip


def weigh(text: str) -> Balance:
    return balance(read_formula(text.encode(), "formula.yaml"), with_house(built_in(), [CUP]))


@pytest.mark.parametrize("path", sorted(ROOT.glob("formulas/*/formula.yaml")), ids=lambda p: p.parent.name)  # fmt: skip
def test_numbers_with_a_spread_are_the_numbers_without(path: Path) -> None:
    weighed = weigh(path.read_text(encoding="utf-8"))
    numbers = uncertain(weighed, Measures())
    assert value_of(numbers.batch_g) == pytest.approx(weighed.batch_g)
    assert value_of(numbers.basis_g) == pytest.approx(weighed.basis_g)
    for name, ratio in ratios(weighed).items():
        assert value_of(numbers.ratios[name]) == pytest.approx(ratio.percent)
    lines = [(fold(p.part.name), p, at, w) for p in weighed.parts for at, w in enumerate(p.lines)]
    for name, part, at, line in lines:
        if line.mass is None:
            assert (name, at) not in numbers.masses
            continue
        assert value_of(numbers.masses[name, at]) == pytest.approx(line.mass.grams)
        if part.own_basis:
            expected = line.mass.grams / part.basis_g * 100
            assert value_of(numbers.percents[name, at]) == pytest.approx(expected)


@pytest.mark.parametrize("flour_g", [0.5, 1, 200])
def test_the_spread_of_a_cup_over_weighed_flour(flour_g: float) -> None:
    """A cup of 100 g ± 1 g: its percentage is as far off as 1 g of the flour is."""
    text = formula_text(
        f"{{item: all-purpose flour, amount: {flour_g} g}}",
        "{item: granulated sugar, amount: 1 cup}",
    )
    numbers = uncertain(weigh(text), Measures())
    assert spread_of(numbers.masses["batter", 1]) == pytest.approx(1)
    assert spread_of(numbers.batch_g) == pytest.approx(1)
    sugar = numbers.percents["batter", 1]
    assert (value_of(sugar), spread_of(sugar)) == (
        pytest.approx(100 / flour_g * 100),
        pytest.approx(1 / flour_g * 100),
    )
    assert spread_of(numbers.percents["batter", 0]) == 0
