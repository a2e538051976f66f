"""Neutralising figures of the catalogue and the balance of soda and powder, from their sources."""

from __future__ import annotations

import csv
from functools import cache

import pytest

from perflour.balance.balance import Balance
from perflour.balance.composition import Figure, composition
from perflour.balance.leavening import leavening
from tests.conftest import ROOT, formula_text, weigh_text

TSP_G = 4.6  # baking soda, USDA SR28, NDB 18372
SODA_MOL_G = 84.01  # sodium hydrogen carbonate, IUPAC, from memory
LEAVENING_ROWS = ROOT / "tests" / "published" / "reference" / "leavening.csv"


def figures(weighed: Balance) -> dict[str, Figure]:
    return {figure.name: figure for figure in composition(weighed)}


# --- leavening ---------------------------------------------------------------------------------


@cache
def row(kind: str, item: str) -> dict[str, str]:
    with LEAVENING_ROWS.open(encoding="utf-8", newline="") as file:
        return next(r for r in csv.DictReader(file) if (r["kind"], r["item"]) == (kind, item))


@pytest.mark.parametrize("liquid", ["buttermilk", "whole buttermilk", "plain yogurt"])
def test_half_a_teaspoon_to_a_cup_of_buttermilk(liquid: str) -> None:
    rule = row("rule", "baking soda per cup of buttermilk, sour milk or yogurt")
    assert (rule["typical"], rule["unit"]) == ("0.5", "tsp per US cup acid liquid")
    found = leavening(
        weigh_text(
            formula_text(
                f"{{item: {liquid}, amount: 1 cup}}", "{item: baking soda, amount: 1/2 tsp}"
            )
        )
    )
    assert found.soda_g == pytest.approx(2.3)
    assert found.verdict == "balanced"
    assert found.soda_left.usual_g == pytest.approx(0, abs=0.01)


@pytest.mark.parametrize(("teaspoons", "verdict"), [
    ("1/4 tsp", "acid-left"), ("1/2 tsp", "balanced"), ("3/4 tsp", "balanced"), ("1 tsp", "balanced"),
    ("1 1/4 tsp", "soda-left"),
])  # fmt: skip
def test_half_to_one_teaspoon_to_a_cup_of_molasses(teaspoons: str, verdict: str) -> None:
    rule = row("rule", "baking soda per cup of molasses")
    assert (rule["low"], rule["typical"], rule["high"]) == ("0.5", "0.75", "1")
    lines = ("{item: molasses, amount: 1 cup}", f"{{item: baking soda, amount: {teaspoons}}}")
    found = leavening(weigh_text(formula_text(*lines)))
    if teaspoons not in ("1/2 tsp", "1 tsp"):
        assert found.verdict == verdict
    else:  # at the edge, three digits decide
        assert abs(found.soda_g - found.used_up[0 if teaspoons == "1/2 tsp" else 2]) < 0.02


def test_honey_figures_differ_threefold() -> None:
    assert row("rule", "baking soda per cup of honey")["note"].endswith("threefold")
    acid = leavening(weigh_text(formula_text("{item: honey, amount: 1 cup}"))).acids[0]
    assert acid.soda_g.usual_g == pytest.approx(TSP_G / 12, rel=0.01)
    assert acid.soda_g.high_g == pytest.approx(TSP_G / 4, rel=0.01)


def test_cream_of_tartar_two_and_a_quarter_to_one() -> None:
    """Food Additives Data Book, 2003: 2.24 parts of acid to 1 part of soda."""
    printed = row("neutralising value", "cream of tartar (potassium hydrogen tartrate)")
    assert "2.24 parts acid to 1 part soda" in printed["source"]
    lines = ("{item: cream of tartar, amount: 22.4 g}", "{item: baking soda, amount: 10 g}")
    found = leavening(weigh_text(formula_text(*lines)))
    assert found.verdict == "balanced"
    assert found.soda_left.usual_g == pytest.approx(0, abs=0.02)
    # KHC4H4O6 is 188.18 g/mol and gives one acid group
    assert found.used_up.usual_g / 22.4 == pytest.approx(SODA_MOL_G / 188.18, rel=0.002)


def test_home_baking_powder_leaves_soda_by_weight() -> None:
    """1/4 tsp soda + 1/2 tsp cream of tartar, a custom in spoons, is not in balance by weight.

    SR28 spoons: 4.6 g soda and 3 g cream of tartar. 1.15 g soda against 1.5 / 2.24 = 0.67 g used up.
    """
    assert row("rule", "home baking powder")["unit"].startswith("1/4 tsp soda + 1/2 tsp cream")
    lines = ("{item: cream of tartar, amount: 1/2 tsp}", "{item: baking soda, amount: 1/4 tsp}")
    found = leavening(weigh_text(formula_text(*lines)))
    assert found.used_up.usual_g == pytest.approx(1.5 / 2.24, rel=0.001)
    assert found.verdict == "soda-left"
    assert found.soda_left.usual_g == pytest.approx(1.15 - 1.5 / 2.24, rel=0.002)
    assert found.soda_left.usual_g < found.soda_g / 2


@pytest.mark.parametrize(("teaspoons", "dose"), [
    (0, "none"), (0.9, "below"), (1, "usual"), (1.5, "usual"), (1.9, "high"), (2.1, "too-high"),
])  # fmt: skip
def test_powder_in_teaspoons_to_a_cup(teaspoons: float, dose: str) -> None:
    rule = row("rule", "baking powder per cup of flour")
    assert (rule["low"], rule["high"]) == ("1", "1.5")
    assert rule["note"].endswith("an upper flag at 2 tsp")
    powder = [f"{{item: baking powder, amount: {teaspoons * 4.6:.4f} g}}"] if teaspoons else []
    found = leavening(weigh_text(formula_text("{item: all-purpose flour, amount: 125 g}", *powder)))
    assert found.powder_tsp_per_cup == pytest.approx(teaspoons)
    assert found.powder_percent == pytest.approx(teaspoons * 3.68)  # the note: 3.7 to 5.5 %
    assert found.powder_dose == dose


def test_acids_without_a_figure_are_named() -> None:
    lines = ("raisins", "self-rising flour", "moon dust", "baking soda", "cocoa powder")
    found = leavening(weigh_text(formula_text(*(f"{{item: {n}, amount: 10 g}}" for n in lines))))
    assert found.not_counted == ("raisins", "self-rising flour", "moon dust")
    assert [acid.name for acid in found.acids] == ["cocoa powder"]
    assert found.verdict == "soda-left"


def test_baking_powder_is_no_acid_for_soda() -> None:
    lines = ("{item: baking powder, amount: 10 g}", "{item: baking soda, amount: 5 g}")
    found = leavening(weigh_text(formula_text(*lines)))
    assert (found.acids, found.soda_left.usual_g, found.verdict) == ((), 5, "soda-left")
