"""Neutralising figures of the catalogue and the balance of soda and powder, from their sources."""

from __future__ import annotations

import csv
import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from perflour.allergens import Allergens
from perflour.balance import Balance, balance
from perflour.catalogue import COMPILED, built_in
from perflour.check import read_formula
from perflour.composition import Figure, composition
from perflour.house import kitchen_for
from perflour.leavening import leavening

from .conftest import ROOT, formula_text, weigh_text

LEAVENING_ROWS = Path(__file__).parent / "published" / "reference" / "leavening.csv"
ENTRIES: dict[str, dict[str, Any]] = {
    entry["name"]: entry
    for entry in map(json.loads, Path(COMPILED).read_text(encoding="utf-8").splitlines()[1:])
}


def figures(weighed: Balance) -> dict[str, Figure]:
    return {figure.name: figure for figure in composition(weighed)}


def demo(name: str) -> Balance:
    path = ROOT / "formulas" / name / "formula.yaml"
    return balance(read_formula(path.read_bytes(), path.name), kitchen_for(str(path)).catalogue)


def brought(found: Allergens) -> tuple[dict[str, tuple[str, ...]], dict[str, tuple[str, ...]]]:
    return dict(found.us), dict(found.eu)


def said(found: Allergens) -> set[str]:
    return {caution.id for caution in found.cautions}


# --- the catalogue's own figures ---------------------------------------------------------------

TSP_G = 4.6  # baking soda, USDA SR28, NDB 18372
SODA_MOL_G = 84.01
# Grams of soda a gram of each acid uses up: molar mass of soda times acid groups over molar mass.
LACTIC, ACETIC = SODA_MOL_G / 90.08, SODA_MOL_G / 60.05
CITRIC, MALIC = 3 * SODA_MOL_G / 192.12, 2 * SODA_MOL_G / 134.09
TARTARIC, CARBONATE = 2 * SODA_MOL_G / 150.09, 2 * SODA_MOL_G / 138.21
Three = tuple[float, float, float]


def of_acid(per_gram: float, *percents: float) -> Three:
    low, usual, high = (percent * per_gram for percent in percents)
    return low, usual, high


def share(of: Three, part: float) -> Three:
    return of[0] * part, of[1] * part, of[2] * part


HALF_TSP_A_CUP = TSP_G / 2 / 245 * 100  # 245 g: USDA SR28, NDB 01088, 01230, 01116 to 01118
CULTURED: Three = (0.8 * LACTIC, HALF_TSP_A_CUP, HALF_TSP_A_CUP)
SPOONED_DAIRY = of_acid(LACTIC, 0.8, 0.9, 1.0)
MOLASSES: Three = (TSP_G / 2 / 2.93, TSP_G * 0.75 / 2.93, TSP_G / 2.93)  # 293 g a cup
TWELFTH_TSP = TSP_G / 12 / 3.40  # 340 g a cup
APPLE = of_acid(MALIC, 0.25, 0.4, 0.6)
# Low, usual, high; the basis of each stands in its source in the catalogue.
NEUTRALISES: dict[str, Three] = {
    "buttermilk": CULTURED,
    "whole buttermilk": CULTURED,
    "plain yogurt": CULTURED,
    "low-fat yogurt": CULTURED,
    "nonfat yogurt": CULTURED,
    "dried buttermilk": share(CULTURED, (100 - 2.97) / (100 - 90.13)),  # NDB 01094, 01088
    "sour cream": SPOONED_DAIRY,
    "reduced-fat sour cream": SPOONED_DAIRY,
    "nonfat Greek yogurt": SPOONED_DAIRY,
    "whole-milk Greek yogurt": SPOONED_DAIRY,
    "molasses": MOLASSES,
    "light brown sugar": share(MOLASSES, 0.035),
    "dark brown sugar": share(MOLASSES, 0.065),
    "honey": (TWELFTH_TSP, TWELFTH_TSP, 3 * TWELFTH_TSP),
    "cream of tartar": (100 / 2.24, 100 / 2.24, 50),
    "cocoa powder": of_acid(CARBONATE, 1, 2, 3),
    "lemon juice": of_acid(CITRIC, 4.5, 5, 6),
    "lime juice": of_acid(CITRIC, 4.5, 5, 6),
    "orange juice": of_acid(CITRIC, 0.6, 0.9, 1.2),
    "cider vinegar": of_acid(ACETIC, 4, 5, 6),
    "white vinegar": of_acid(ACETIC, 4, 5, 6),
    "banana": of_acid(MALIC, 0.25, 0.35, 0.5),
    "applesauce": APPLE,
    "sweetened applesauce": APPLE,
    "apple juice": APPLE,
    "red wine": of_acid(TARTARIC, 0.5, 0.6, 0.8),
}


def test_every_neutralising_figure_is_in_the_table() -> None:
    assert {name for name, entry in ENTRIES.items() if "neutralises" in entry} == set(NEUTRALISES)


@pytest.mark.parametrize("name", NEUTRALISES)
def test_neutralising_figures_follow_from_their_basis(name: str) -> None:
    ingredient = built_in().find(name)
    assert ingredient and ingredient.neutralises and ingredient.reacts == "acid"
    soda, low, high = ingredient.neutralises
    assert (low, soda, high) == pytest.approx(NEUTRALISES[name], rel=0.006)  # three digits
    assert low <= soda <= high
    assert ENTRIES[name]["neutralises"]["source"]


# Dairy whose sugar figure is left without a lactose figure, and why.
NO_LACTOSE = {
    "reduced-fat sour cream",  # NDB 01055: 0.16 g sugar against 4.26 g carbohydrate
    "evaporated milk",  # NDB 01153 has no sugar figure
    "whole-milk Greek yogurt",  # no USDA item
    "milk chocolate",
    "white chocolate",
}


def test_lactose_is_the_sugar_of_plain_dairy() -> None:
    with_milk = {n for n, e in ENTRIES.items() if "milk" in e.get("allergens", {}).get("eu", ())}
    stated = {name for name, entry in ENTRIES.items() if "lactose" in entry}
    assert stated == with_milk - NO_LACTOSE
    for name in stated - {"sweetened condensed milk"}:
        assert ENTRIES[name]["lactose"]["grams"] == ENTRIES[name]["composition"]["sugar"], name
    # condensed from milk: lactose to protein as in whole milk, 4.80 to 3.15 (NDB 01077)
    condensed = ENTRIES["sweetened condensed milk"]["lactose"]["grams"]
    assert condensed == pytest.approx(7.91 * 4.80 / 3.15, rel=0.006)


def test_egg_solids_are_what_is_not_water() -> None:
    stated = {name: entry["egg-solids"] for name, entry in ENTRIES.items() if "egg-solids" in entry}
    white, yolk = 0.66 * (100 - 87.57), 0.34 * (100 - 52.31)
    expected = {
        "egg": (white, yolk),
        "egg white": (100 - 87.57, 0),
        "egg yolk": (0, 100 - 52.31),
        "frozen whole egg": (24.8 * white / (white + yolk), 24.8 * yolk / (white + yolk)),
        "dried whole egg": (96.33 * white / (white + yolk), 96.33 * yolk / (white + yolk)),
        "dried egg white": (94.2, 0),
        "dried egg yolk": (0, 97.27),
    }
    assert stated.keys() == expected.keys()
    for name, solids in stated.items():
        assert (solids["white"], solids["yolk"]) == pytest.approx(expected[name], abs=0.006), name
    # White and yolk together are within a gram of the dry matter of whole egg, NDB 01123.
    assert white + yolk == pytest.approx(100 - 76.15, abs=1)


KIND_OF_GROUP = {"dairy": "dairy", "egg": "egg", "chocolate": "cocoa", "nut": "nut"}
OTHER_KIND = {
    **dict.fromkeys(
        ("unsalted butter", "salted butter", "whipped butter", "clarified butter"), "dairy"
    ),
    **dict.fromkeys(("lard", "gelatin", "marshmallows"), "animal"),
    **dict.fromkeys(("almond meal", "blanched almond flour", "peanut flour"), "nut"),
    **dict.fromkeys(
        (
            "desiccated coconut", "sweetened shredded coconut", "sweetened flaked coconut", "tahini",
            "sesame seeds", "flaxseed", "ground flaxseed", "chia seeds", "sunflower seeds",
            "pumpkin seeds", "butterscotch chips",
        ),
        "vegetable",
    ),
    "cocoa butter": "cocoa",
}  # fmt: skip


def test_everything_with_fat_says_which_kind() -> None:
    """By the group, and by name where that misleads; the rest is of plants."""
    for name, entry in ENTRIES.items():
        kind = OTHER_KIND.get(name, KIND_OF_GROUP.get(entry["group"], "vegetable"))
        fat = entry.get("composition", {}).get("fat", 0)
        assert entry.get("fat-type") == (kind if fat > 0 else None), name


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
