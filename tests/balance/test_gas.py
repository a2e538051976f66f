"""Leavening in carbon dioxide, against stoichiometry and the sayings of the trade."""

from __future__ import annotations

import pytest

from perflour.balance.balance import balance
from perflour.balance.contents import contents
from perflour.balance.gas import POWDER_GAS_PERCENT, SODA_GAS, SODA_GAS_BY_HEAT
from perflour.balance.leavening import leavening
from perflour.balance.ratios import ratios
from perflour.formula.file import read_formula
from perflour.kitchen.catalogue import built_in, with_house
from perflour.kitchen.house import House, Kitchen, ProductClass, Window
from perflour.lint.check import check_content
from perflour.report.contents import leavening_words
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


DECLARED = [
    {"name": "strong powder", "group": "leavening", "gas": {"percent": 15, "source": "house choice"}},
    {"name": "baking powder", "group": "leavening", "gas": {"percent": 16, "source": "house choice"}},
    {"name": "self-rising flour", "group": "flour", "gas": {"percent": 0.5, "source": "house choice"}},
]  # fmt: skip


@pytest.mark.parametrize(
    ("line", "percent"),
    [("strong powder, amount: 2 g", 0.3), ("baking powder, amount: 2 g", 0.32), ("phosphate baking powder, amount: 2 g", 0.24), ("self-rising flour, amount: 100 g", 0.25)],
)  # fmt: skip
def test_a_house_declares_the_strength_of_its_powder(line: str, percent: float) -> None:
    read = read_formula(formula_text(FLOUR, f"{{item: {line}}}").encode(), "formula.yaml")
    weighed = balance(read, with_house(built_in(), DECLARED))
    ratio = ratios(weighed)["leavening-gas"]
    assert (ratio.percent, ratio.lacking) == (pytest.approx(percent), ())
    lift = leavening(weighed)
    assert (lift.gas_percent, lift.leavened) == (pytest.approx(percent), ())


def test_a_declared_powder_without_a_mass_may_lift() -> None:
    text = formula_text(FLOUR, "{item: strong powder, amount: 1 pouch}")
    weighed = balance(read_formula(text.encode(), "formula.yaml"), with_house(built_in(), DECLARED))
    assert ratios(weighed)["leavening-gas"].lacking == ("strong powder",)


def test_leavening_mixed_into_flour_is_said() -> None:
    weighed = weigh_text(formula_text("{item: self-rising flour, amount: 100 g}"))
    (said,) = (s for s in leavening_words(leavening(weighed), "the flour") if "mixed in" in s)
    assert said == "self-rising flour: leavening is mixed in and not counted; say its `gas` in ingredients.yaml."  # fmt: skip
    assert ratios(weighed)["leavening-gas"].lacking == ("self-rising flour",)


#: The window is 3 to 6 % of baking powder, or with soda's own, 1 to 2 %.
WINDOWS = {
    "powder inside": (("baking powder, amount: 4 g",), "powder", None),
    "powder under": (("baking powder, amount: 2 g",), "powder", "baking-powder is 2.0 % of the batter's flour, under the window 3 to 6 %"),
    "soda in its place": (("baking soda, amount: 1.5 g",), "powder", None),
    "soda on top": (
        ("baking powder, amount: 5 g", "baking soda, amount: 1 g"),
        "powder",
        "baking-powder is 5.0 % of the batter's flour, and all that lifts gives as much carbon dioxide as 7.2 % of it, over the window 3 to 6 %",
    ),
    "not known": (("baking powder, amount: 2 g", "baking soda, amount: 1 pouch"), "powder", None),
    "powder for soda": (("baking powder, amount: 2.5 g",), "soda", None),
    "too little powder for soda": (("baking powder, amount: 2 g",), "soda", "baking-soda is 0.0 % of the batter's flour, under the window 1 to 2 %"),
    "each by itself": (("baking powder, amount: 5 g", "baking soda, amount: 1.5 g"), "both", None),
    "soda over": (("baking soda, amount: 2.1 g",), "both", "baking-soda is 2.1 % of the batter's flour, over the window 1 to 2 %"),
}  # fmt: skip


@pytest.mark.parametrize("name", WINDOWS)
def test_windows_of_leavening_speak_in_gas(name: str) -> None:
    """At 12 % for powder and 26.2 % for soda without acid, as in this module's first tests."""
    lines, of, expected = WINDOWS[name]
    windows = {"baking-powder": Window(3, 6, "house choice"), "baking-soda": Window(1, 2, "house choice")}  # fmt: skip
    of_class = {n: w for n, w in windows.items() if of == "both" or n.endswith(of)}
    classes = {"loaf-cake": ProductClass("Loaf cake", True, of_class)}
    kitchen = Kitchen(House(classes=classes), built_in())
    text = formula_text(FLOUR, *(f"{{item: {line}}}" for line in lines))
    found = check_content(text.encode(), "formula.yaml", kitchen)
    said = [r.message for r in found if r.rule == "ratio-outside-window"]
    assert [s.partition(" of Loaf cake")[0] for s in said] == ([expected] if expected else [])
