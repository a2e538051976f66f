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


def cup(name: str, group: str, spread_g: int) -> dict[str, object]:
    """A house's cup of 100 g."""
    measure = {"per": "cup", "grams": 100, "spread": spread_g, "source": "house choice"}
    return {"name": name, "group": group, "measures": [measure]}


CUPS = [
    cup("granulated sugar", "sugar", 1),
    cup("honey", "syrup", 1),
    cup("all-purpose flour", "flour", 2),
]


def weigh(text: str) -> Balance:
    return balance(read_formula(text.encode(), "formula.yaml"), with_house(built_in(), CUPS))


def of_parts(*parts: tuple[str, str, str]) -> Balance:
    """Parts with name, kind and lines, weighed."""
    listed = "".join(
        f"  - part: {name}\n    kind: {kind}\n    ingredients: [{lines}]\n"
        for name, kind, lines in parts
    )
    return weigh(f"formula: t\ntitle: T\nclass: c\nstatus: draft\nparts:\n{listed}method: []\n")


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


def test_half_of_two_preferments_counts_in_what_100_percent_is() -> None:
    """400 g and half of 100 g twice are 500 g of flour; a fifth of it is fermented before."""
    half = "{item: all-purpose flour, amount: 1 cup}, {item: water, amount: 100 g}"
    weighed = of_parts(
        ("poolish", "preferment", half),
        ("sponge", "preferment", half),
        (
            "dough",
            "dough",
            "{item: all-purpose flour, amount: 400 g}, {part: poolish, amount: 1/2}, {part: sponge, amount: half}",
        ),
    )
    assert (weighed.basis_g, weighed.batch_g) == (500, 600)
    assert ratios(weighed)["prefermented-flour"].percent == pytest.approx(20)
    assert ratios(weighed)["hydration"].percent == pytest.approx(20)
    numbers = uncertain(weighed, Measures())
    # the same cup twice, 2 g off each time in one direction; half of both is used
    assert (value_of(numbers.basis_g), spread_of(numbers.basis_g)) == (500, pytest.approx(2))


SYRUP = "{item: granulated sugar, amount: 1 cup}, {item: honey, amount: 1 cup}"


def test_a_part_that_is_used_brings_its_share_of_its_spread() -> None:
    """Two cups of two things, ± 1 g each and apart: ± 1.41 g; in half of them, ± 0.71 g."""
    dough = "{item: bread flour, amount: 200 g}, {part: syrup, amount: half}"
    weighed = of_parts(("syrup", "other", SYRUP), ("dough", "dough", dough))
    taken = weighed.parts[1].lines[1].mass
    assert taken is not None
    assert (taken.grams, taken.spread_g) == (100, pytest.approx(0.5**0.5))
    numbers = uncertain(weighed, Measures())
    assert spread_of(numbers.masses["dough", 1]) == pytest.approx(0.5**0.5)
    assert spread_of(numbers.batch_g) == pytest.approx(0.5**0.5)


def test_a_part_without_flour_is_in_percent_of_what_takes_it() -> None:
    """Half of 100 g ± 1 g in 200 g ± 4 g of flour: 25 %, off by the root of 1 % and 2 % squared."""
    dough = "{item: all-purpose flour, amount: 2 cup}, {part: syrup, amount: half}"
    numbers = uncertain(of_parts(("syrup", "other", SYRUP), ("dough", "dough", dough)), Measures())
    sugar = numbers.percents["syrup", 0]
    off = (0.01**2 + 0.02**2) ** 0.5
    assert (value_of(sugar), spread_of(sugar)) == (pytest.approx(25), pytest.approx(25 * off))


def test_an_icing_is_in_percent_of_what_it_has_most_of() -> None:
    """Beside the dough, of 200 g of butter: a cup of 100 g ± 1 g of sugar is 50 % ± 0.5 %."""
    icing = "{item: unsalted butter, amount: 200 g}, {item: granulated sugar, amount: 1 cup}"
    dough = "{item: bread flour, amount: 400 g}"
    numbers = uncertain(of_parts(("dough", "dough", dough), ("icing", "icing", icing)), Measures())
    sugar = numbers.percents["icing", 1]
    assert (value_of(sugar), spread_of(sugar)) == (pytest.approx(50), pytest.approx(0.5))


def test_the_width_of_a_range_is_shared_with_no_other_line() -> None:
    """Twice 1 to 2 cups: 50 g of half a width over the root of 3, and 1.5 g of the cup, twice and apart."""
    line = "{item: granulated sugar, amount: 1-2 cup}"
    numbers = uncertain(weigh(formula_text(line, line)), Measures())
    one = (50**2 / 3 + 1.5**2) ** 0.5
    assert spread_of(numbers.batch_g) == pytest.approx(one * 2**0.5)
    same = "{item: granulated sugar, amount: 1 cup}"
    assert spread_of(
        uncertain(weigh(formula_text(same, same)), Measures()).batch_g
    ) == pytest.approx(2)
