"""What a formula holds: composition, leavening and allergens, against figures from outside."""

from __future__ import annotations

import csv
import json
from functools import cache
from itertools import chain
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from perflour.allergens import Allergens, allergens
from perflour.balance import Balance, balance
from perflour.catalogue import COMPILED, built_in, with_house
from perflour.cautions import texts
from perflour.check import read_formula
from perflour.composition import FIGURES, Figure, composition
from perflour.contents import contents
from perflour.house import kitchen_for
from perflour.leavening import leavening
from perflour.ratios import ratios
from perflour.report.contents import contents_json, contents_text

from .conftest import ROOT, formula_text, weigh_text

LEAVENING_ROWS = Path(__file__).parent / "published" / "reference" / "leavening.csv"
ENTRIES: dict[str, dict[str, Any]] = {
    entry["name"]: entry
    for entry in map(json.loads, Path(COMPILED).read_text(encoding="utf-8").splitlines()[1:])
}
# By hand from USDA SR27: 500 g flour 20081, 300 g whole milk 01077, 100 g egg 01123, 100 g butter
# 01145, 100 g sugar 19335, 10 g salt 02047.
PLAIN = (
    "{item: all-purpose flour, amount: 500 g}",
    "{item: whole milk, amount: 300 g}",
    "{item: egg, amount: 100 g}",
    "{item: unsalted butter, amount: 100 g}",
    "{item: granulated sugar, amount: 100 g}",
    "{item: table salt, amount: 10 g}",
)
BY_HAND = {
    "total-water": 59.6 + 264.39 + 76.15 + 17.94 + 0.02 + 0.02,
    "total-fat": 4.9 + 9.75 + 9.51 + 81.11,
    "fat-dairy": 9.75 + 81.11,
    "fat-vegetable": 4.9,
    "fat-egg": 9.51,
    "fat-animal": 0,
    "fat-cocoa": 0,
    "fat-nut": 0,
    "fat-unsorted": 0,
    "total-sugar": 1.35 + 15.15 + 0.37 + 0.06 + 99.8,
    "lactose": 15.15 + 0.06,
    "sweetening-sugar": 1.35 + 0.37 + 99.8,
    # SR28: a large egg of 50 g is 33 g white and 17 g yolk; water 87.57 and 52.31 % (01124, 01125)
    "egg-white-solids": 2 * 33 * 0.1243,
    "egg-yolk-solids": 2 * 17 * 0.4769,
    "protein": 51.65 + 9.45 + 12.56 + 0.85,
    "salt-weighed": 10,
    # NaCl 35.45 + 22.99 g/mol
    "salt-equivalent": (10 + 129 + 142 + 11 + 1 + 3875.8) / 1000 * (35.45 + 22.99) / 22.99,
    "energy": 1820 + 183 + 143 + 717 + 387,
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


@pytest.mark.parametrize("name", FIGURES)
def test_figures_by_hand_from_usda(name: str) -> None:
    found = figures(weigh_text(formula_text(*PLAIN, extra="yield: {pieces: 4}\n")))[name]
    expected = pytest.approx(BY_HAND[name], rel=5e-4)
    assert found.batch == expected
    assert found.lacking == ()
    assert found.per_piece == pytest.approx(found.batch / 4)
    assert found.per_100_g == pytest.approx(found.batch / 11.10)  # 1,110 g of batch
    if name == "energy":
        assert found.unit == "kcal" and found.percent is None
    else:
        assert found.percent == pytest.approx(found.batch / 5)  # 500 g of flour


def test_salt_equivalent_of_salt_is_salt() -> None:
    """Table salt is NaCl but for its moisture and a little else: USDA 02047 has 38,758 mg sodium."""
    found = figures(weigh_text(formula_text("{item: table salt, amount: 100 g}")))
    assert found["salt-equivalent"].batch == pytest.approx(98.5, abs=0.05)
    assert found["salt-weighed"].batch == 100


def test_what_is_not_known_is_named_and_not_zero() -> None:
    found = figures(
        weigh_text(
            formula_text(
                "{item: all-purpose flour, amount: 100 g}",
                "{item: moon dust, amount: 10 g}",
                "{item: psyllium husk, amount: 5 g}",
                "{item: evaporated milk, amount: 10 g}",
                "{item: sour cream, amount: 1 handful}",
            )
        )
    )
    assert found["total-water"].lacking == ("sour cream", "moon dust", "psyllium husk")
    assert found["lactose"].lacking == ("sour cream", "moon dust", "evaporated milk")
    assert found["salt-weighed"].lacking == ("moon dust",)
    assert found["egg-yolk-solids"].lacking == ("moon dust",)
    assert found["fat-nut"].lacking == ("moon dust", "psyllium husk")
    assert found["total-water"].batch == pytest.approx(11.92 + 7.404)  # NDB 20081, 01153


def test_a_house_ingredient_without_a_kind_of_fat_is_unsorted() -> None:
    own = {"name": "bench flour", "group": "flour", "composition": {"fat": 2.0}}
    text = formula_text("{item: bench flour, amount: 100 g}")
    weighed = balance(read_formula(text.encode(), "f"), with_house(built_in(), [own]))
    found = figures(weighed)
    assert found["fat-unsorted"].batch == 2
    assert found["lactose"].lacking == ("bench flour",)  # it says nothing of milk
    assert allergens(weighed).not_known == ("bench flour",)


def test_total_water_is_the_ratio_of_the_table() -> None:
    """Two ways to one number: true hydration here, total-water of the baker's table there."""
    for path in sorted((ROOT / "formulas").glob("*/formula.yaml")):
        weighed = demo(path.parent.name)
        for name in ("total-water", "total-fat", "total-sugar"):
            found, ratio = figures(weighed)[name], ratios(weighed)[name]
            assert found.percent == pytest.approx(ratio.percent)
            assert set(found.lacking) == set(ratio.lacking)


amounts = st.lists(st.integers(1, 5000), min_size=len(PLAIN), max_size=len(PLAIN))


def grams_of(amounts_g: list[int], pieces: int, times: int = 1) -> dict[str, Figure]:
    lines = [
        line[: line.index("amount:")] + f"amount: {grams * times} g}}"
        for line, grams in zip(PLAIN, amounts_g, strict=True)
    ]
    return figures(weigh_text(formula_text(*lines, extra=f"yield: {{pieces: {pieces}}}\n")))


@settings(max_examples=25)
@given(amounts, st.integers(1, 60), st.integers(2, 50))
def test_scaling_keeps_what_100_g_hold(amounts_g: list[int], pieces: int, times: int) -> None:
    one, many = grams_of(amounts_g, pieces), grams_of(amounts_g, pieces, times)
    for name in FIGURES:
        assert many[name].per_100_g == pytest.approx(one[name].per_100_g)
        assert many[name].percent == pytest.approx(one[name].percent)
        assert many[name].batch == pytest.approx(one[name].batch * times)
        assert (one[name].per_piece or 0) * pieces == pytest.approx(one[name].batch)


@settings(max_examples=25)
@given(amounts)
def test_the_kinds_of_fat_are_all_the_fat(amounts_g: list[int]) -> None:
    found = grams_of(amounts_g, 1)
    kinds = sum(f.batch for f in found.values() if f.name.startswith("fat-"))
    assert kinds == pytest.approx(found["total-fat"].batch)
    sugars = found["lactose"].batch + found["sweetening-sugar"].batch
    assert sugars == pytest.approx(found["total-sugar"].batch)


def test_spreads_only_where_asked_and_only_from_measures() -> None:
    by_cup = weigh_text(formula_text("{item: whole milk, amount: 1 cup}"))
    assert contents(by_cup).spreads == {}
    # 17.2 g of 244 g a cup: the spread in the catalogue, of 3 published values
    assert contents(by_cup, with_spreads=True).spreads["total-water"].batch == pytest.approx(
        17.2 * 0.8813
    )
    by_scale = contents(weigh_text(formula_text(*PLAIN)), with_spreads=True)
    assert all(spread.batch == 0 for spread in by_scale.spreads.values())


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


# --- allergens ---------------------------------------------------------------------------------


def test_allergens_of_the_gluten_free_loaf() -> None:
    found = allergens(demo("gluten-free-currant-loaf"))
    us, eu = brought(found)
    assert us == {"milk": ("unsalted butter", "buttermilk"), "egg": ("egg",)}
    assert eu == {"eggs": ("egg",), "milk": ("unsalted butter", "buttermilk")}
    assert found.not_known == ()
    assert said(found) == {
        "not-a-label", "read-the-label", "cross-contact", "gluten-free", "raw-flour", "raw-egg",
    }  # fmt: skip


def test_allergens_of_the_torte() -> None:
    us, eu = brought(allergens(demo("almond-prune-torte")))
    assert us == {"milk": ("unsalted butter",), "egg": ("egg",), "tree nuts": ("almond meal",)}
    assert eu == {"eggs": ("egg",), "milk": ("unsalted butter",), "nuts": ("almond meal",)}


def test_rye_and_oats_count_in_the_eu_alone() -> None:
    us, eu = brought(allergens(demo("oat-date-loaf")))
    assert us["wheat"] == ("soft white flour",)
    assert eu["cereals containing gluten"] == ("rolled oats", "soft white flour")
    assert "cereals-differ" in said(allergens(demo("oat-date-loaf")))


@pytest.mark.parametrize(("item", "caution"), [
    ("honey", "honey-infants"), ("pine nuts", "pine-nuts-differ"), ("coconut oil", "coconut-differs"),
    ("chestnuts", "chestnuts-differ"), ("golden raisins", "sulphites-from"), ("egg white", "raw-egg"),
    ("vegetable oil", "refined-oil"), ("walnuts", "nuts-by-name"), ("teff flour mix", "raw-flour"),
    ("moon dust", "not-known"), ("rolled oats", "cereals-differ"),
])  # fmt: skip
def test_cautions_come_where_they_belong(item: str, caution: str) -> None:
    with_it = weigh_text(formula_text(f"{{item: {item}, amount: 10 g}}"))
    without = weigh_text(formula_text("{item: water, amount: 10 g}"))
    assert caution in said(allergens(with_it))
    assert said(allergens(without)) == {"not-a-label", "read-the-label", "cross-contact"}


def test_a_line_without_a_mass_still_brings_its_allergens() -> None:
    us, _ = brought(allergens(weigh_text(formula_text("{item: walnuts, amount: 1 handful}"))))
    assert us == {"tree nuts": ("walnuts",)}


@pytest.mark.parametrize("title", ["Gluten-free trial", "Trial without gluten", "GLUTEN FREE"])
def test_a_gluten_free_claim_with_wheat_is_called_out(title: str) -> None:
    text = formula_text("{item: all-purpose flour, amount: 10 g}").replace("Trial", title)
    assert {"gluten-free", "gluten-claim-broken"} <= said(allergens(weigh_text(text)))
    honest = text.replace(f"title: {title}", "title: Trial")
    assert not {"gluten-free", "gluten-claim-broken"} & said(allergens(weigh_text(honest)))


def test_a_house_word_for_an_allergen_is_never_dropped() -> None:
    own = {"name": "shrimp paste", "group": "other", "allergens": {"us": ["shrimp"], "eu": []}}
    text = formula_text("{item: shrimp paste, amount: 10 g}")
    weighed = balance(read_formula(text.encode(), "f"), with_house(built_in(), [own]))
    assert brought(allergens(weighed))[0] == {"shrimp": ("shrimp paste",)}
    assert allergens(weighed).not_known == ()


def test_the_lists_are_nine_and_fourteen_and_hold_the_catalogue() -> None:
    """FALCPA with FASTER names nine; Regulation (EU) 1169/2011, Annex II, fourteen."""
    known = texts()
    assert (len(known.us), len(known.eu)) == (9, 14)
    for list_name, names in (("us", known.us), ("eu", known.eu)):
        used = chain(*(e.get("allergens", {}).get(list_name, ()) for e in ENTRIES.values()))
        assert set(used) <= {name.id for name in names}


def test_every_caution_has_its_source() -> None:
    cautions = texts().cautions
    assert len({c.id for c in cautions}) == len(cautions)
    assert all(c.text.endswith(".") and c.source for c in cautions)


# --- reports -----------------------------------------------------------------------------------


@pytest.mark.parametrize("path", sorted((ROOT / "formulas").glob("*/formula.yaml")), ids=str)
def test_reports_fit_and_hold_what_was_computed(path: Path) -> None:
    found = contents(demo(path.parent.name), with_spreads=True)
    text, data = contents_text(found), json.loads(contents_json(found))
    assert max(map(len, text.splitlines())) <= 80
    assert "before the oven" in " ".join(text.split())
    assert "This is no label and no promise." in text
    for figure in found.figures:
        told = data["figures"][figure.name]
        assert (told["batch"], told["percent"]) == (figure.batch, figure.percent)
        assert told["not_counted"] == list(figure.lacking)
    assert data["leavening"]["verdict"] == found.leavening.verdict
    assert all(caution["source"] for caution in data["cautions"])


def words(*lines: str) -> str:
    """The leavening section on one line."""
    text = contents_text(contents(weigh_text(formula_text(*lines))))
    section = next(s for s in text.split("\n\n") if s.startswith("leavening"))
    return " ".join(section.split()).removeprefix("leavening ")


FLOUR, SODA = "{item: all-purpose flour, amount: 250 g}", "{item: baking soda, amount: 2.3 g}"


@pytest.mark.parametrize(("lines", "expected"), [
    ((FLOUR,), "No baking soda, and no acid counted. No baking powder."),
    ((FLOUR, SODA), "Baking soda 2.3 g, 0.92 % of the basis, 0.25 tsp to a cup (125 g): no acid counted, so all 2.3 g are left over."),
    ((FLOUR, SODA, "{item: buttermilk, amount: 245 g}"), "Baking soda 2.3 g, 0.92 % of the basis, 0.25 tsp to a cup (125 g): in balance with the acids, which use up 2.3 g (1.8 to 2.3 g). Soda used up by each acid: buttermilk 2.3 g."),
    ((SODA, "{item: lemon juice, amount: 100 g}"), "Baking soda 2.3 g: the acids could use up 6.6 g (5.9 to 7.9 g), so acid for 4.3 g more (3.6 to 5.6 g) stays and tastes. Soda used up by each acid: lemon juice 6.6 g."),
    ((SODA, "{item: sour cream, amount: 100 g}", "{item: dates, amount: 50 g}"), "Baking soda 2.3 g: the acids use up 0.84 g (0.75 to 0.93 g); 1.5 g of soda are left over (1.4 to 1.6 g). Soda used up by each acid: sour cream 0.84 g. Not counted, for want of a figure: dates; more soda may be used up than this says."),
    ((FLOUR, "{item: baking powder, amount: 11.5 g}", "{item: orange juice, amount: 100 g}"), "No baking soda; the acids could use up 1.2 g (0.79 to 1.6 g). They stay as taste. Soda used up by each acid: orange juice 1.2 g. Baking powder 11.5 g, 4.60 % of the basis, 1.2 tsp to a cup (125 g): within the usual 1 to 1 1/2 tsp (common practice, no source). Its acid is spent on its own soda."),
])  # fmt: skip
def test_leavening_in_words(lines: tuple[str, ...], expected: str) -> None:
    assert words(*lines) == expected


def test_the_table_of_a_plain_dough() -> None:
    weighed = weigh_text(formula_text(*PLAIN, extra="yield: {pieces: 12, piece: bun}\n"))
    assert contents_text(contents(weighed)).split("\n\n")[1:3] == TABLE.strip().split("\n\n")


# Figures as in BY_HAND, rounded.
TABLE = """
g                              batch  a piece  in 100 g  % of basis
-----------------------------  -----  -------  --------  ----------
water in all (true hydration)    418       35      37.7        83.6
fat in all                       105      8.8       9.5        21.1
  from milk                       91      7.6       8.2        18.2
  from plants                    4.9      0.4       0.4         1.0
  from egg                       9.5      0.8       0.9         1.9
sugar in all                     117      9.7      10.5        23.3
  lactose, hardly sweet         15.2      1.3       1.4        3.04
  sugar that sweetens            102      8.5       9.1        20.3
egg white solids                 8.2      0.7       0.7         1.6
egg yolk solids                 16.2      1.4       1.5         3.2
protein                           75      6.2       6.7        14.9
salt weighed in                 10.0      0.8       0.9        2.00
salt from all sodium            10.6      0.9       1.0        2.12
energy, kcal                   3,250      271       293

batch 1,110 g, 12 x bun of 93 g
basis 500 g = 100 % (all-purpose flour)
"""
