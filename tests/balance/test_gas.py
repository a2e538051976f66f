"""Leavening in carbon dioxide, against stoichiometry and the sayings of the trade."""

from __future__ import annotations

import pytest

from perflour.balance.contents import contents
from perflour.balance.gas import POWDER_GAS_PERCENT, SODA_GAS, SODA_GAS_BY_HEAT
from perflour.balance.ratios import ratios
from tests.conftest import formula_text, weigh_text

FLOUR = "{item: all-purpose flour, amount: 100 g}"


def gas(*lines: str) -> float:
    """Grams of carbon dioxide for 100 g of flour."""
    weighed = weigh_text(formula_text(FLOUR, *(f"{{item: {line}}}" for line in lines)))
    return ratios(weighed)["leavening-gas"].percent


def test_soda_by_its_formula() -> None:
    """IUPAC standard atomic weights: Na 22.990, H 1.008, C 12.011, O 15.999."""
    bicarbonate = 22.990 + 1.008 + 12.011 + 3 * 15.999
    assert pytest.approx((12.011 + 2 * 15.999) / bicarbonate, rel=1e-4) == SODA_GAS
    assert pytest.approx(SODA_GAS / 2) == SODA_GAS_BY_HEAT


def test_a_gram_of_soda_does_what_three_to_four_of_powder_do() -> None:
    """Common practice, no source: 3 to 4 tsp of powder for 1 of soda; fresh powder gives 16 % (from memory)."""
    assert 3 <= SODA_GAS / 0.16 <= 4
    assert pytest.approx(4.4, abs=0.05) == SODA_GAS / (POWDER_GAS_PERCENT / 100)


CASES = {
    "powder": (("baking powder, amount: 3 g",), 0.36),
    "soda with no acid, by heat alone": (("baking soda, amount: 1 g",), SODA_GAS / 2),
    "soda and as much acid as it needs": (
        ("baking soda, amount: 1 g", "cream of tartar, amount: 2.3 g"),
        SODA_GAS,
    ),
    "half the acid": (
        ("baking soda, amount: 1 g", "cream of tartar, amount: 1.1211 g"),
        SODA_GAS * 0.75,
    ),
    "acid alone": (("cream of tartar, amount: 2 g",), 0.0),
    "both": (("baking powder, amount: 2 g", "baking soda, amount: 1 g"), 0.24 + SODA_GAS / 2),
}


@pytest.mark.parametrize("name", CASES)
def test_gas_of_powder_and_soda(name: str) -> None:
    """2.24 parts of cream of tartar to 1 of soda (Food Additives Data Book, Blackwell 2003)."""
    lines, expected = CASES[name]
    assert gas(*lines) == pytest.approx(expected, rel=1e-3, abs=1e-9)


@pytest.mark.parametrize("line", ["baker's ammonia, amount: 2 g", "baking powder, amount: 1 pouch"])
def test_what_is_not_counted_is_named(line: str) -> None:
    weighed = weigh_text(formula_text(FLOUR, f"{{item: {line}}}"))
    assert ratios(weighed)["leavening-gas"].lacking == (line.partition(",")[0],)


def test_what_may_raise_or_sour_is_named_where_it_has_no_mass() -> None:
    lines = ("baking powder, amount: 1 pouch", "buttermilk, amount: some", "salt, amount: to taste")
    text = formula_text(FLOUR, *(f"{{item: {line}}}" for line in lines))
    assert contents(weigh_text(text)).leavening.not_counted == ("baking powder", "buttermilk")


def test_contents_says_it_in_powder_too() -> None:
    lift = contents(weigh_text(formula_text(FLOUR, "{item: baking powder, amount: 4 g}"))).leavening
    assert (lift.gas_g, lift.as_powder_percent) == (pytest.approx(0.48), pytest.approx(4))
