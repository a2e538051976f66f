"""Composition, eggs, units, leavening and names of the catalogue against what was published."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from perflour.balance.ratios import ratios
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.units import celsius, fahrenheit, find_unit, unit_named
from tests.conftest import formula_text, weigh_text
from tests.kitchen.usda_tables import (
    BY_KEY,
    ENTRIES,
    INGREDIENTS,
    failures,
    ndb_in,
    stems,
    table,
    usda_foods,
)

# ---- composition ----

COLUMNS = {
    "water": "water_pct",
    "fat": "fat_pct",
    "sugar": "sugar_pct",
    "protein": "protein_pct",
    "carbohydrate": "carbohydrate_pct",
    "fibre": "fibre_pct",
    "ash": "ash_pct",
    "sodium-mg": "sodium_mg_per_100g",
    "energy-kcal": "energy_kcal_per_100g",
}
SR27 = {row["ndb_no"]: {k: float(row[c]) for k, c in COLUMNS.items() if row[c]} for row in INGREDIENTS}  # fmt: skip
USDA_NAME = {row["ndb_no"]: row["usda_description"] for row in INGREDIENTS if row["ndb_no"]}
STARTER = "sourdough starter"  # computed: half flour (USDA SR27, NDB 20081), half water


def composed() -> dict[str, tuple[str, dict[str, float]]]:
    """The NDB number and composition of every ingredient that has one."""
    return {
        e["name"]: (ndb_in(e["composition-source"]), e["composition"])
        for e in ENTRIES
        if "composition" in e and ndb_in(e["composition-source"])
    }


def test_composition_is_that_of_sr27() -> None:
    wrong = [
        ((name, figure, ""), f"{own.get(figure)}, USDA SR27 has {SR27[ndb].get(figure)}")
        for name, (ndb, own) in composed().items()
        for figure in COLUMNS
        if name != STARTER and own.get(figure) != SR27[ndb].get(figure)
    ]
    assert not failures(wrong)
    assert len(composed()) >= 250


def test_what_has_no_usda_item_says_so() -> None:
    """Figures from memory say so, and what 100 g hold is no more than 100 g and near their energy."""
    others = [e for e in ENTRIES if "composition" in e and not ndb_in(e["composition-source"])]
    others = [e for e in others if not legacy_item(e)]
    for entry in others:
        own, name = entry["composition"], entry["name"]
        assert re.match("(from memory|computed|common practice): ", entry["composition-source"]), (
            name
        )
        parts = [own[k] for k in ("water", "fat", "protein", "carbohydrate", "ash")]
        assert sum(parts) == pytest.approx(100, abs=2), name
        assert own.get("sugar", 0) <= own["carbohydrate"], name
        kcal = 9 * own["fat"] + 4 * own["protein"] + 4 * own["carbohydrate"] - 2 * own["fibre"]
        assert own["energy-kcal"] == pytest.approx(kcal, abs=0.06 * kcal + 8), name


def test_composition_of_the_starter_is_half_flour_half_water() -> None:
    flour = SR27["20081"]
    half = {figure: value / 2 + (50 if figure == "water" else 0) for figure, value in flour.items()}
    assert composed()[STARTER][1] == pytest.approx(half, abs=0.0051)


def test_the_usda_item_is_the_ingredient() -> None:
    """A wrong NDB number would bring a consistent set of wrong figures."""
    for entry in ENTRIES:
        ndb = ndb_in(entry.get("composition-source", ""))
        if ndb and entry["name"] != STARTER:
            names = stems(" ".join([entry["name"], *entry.get("aliases", ())]))
            assert names & stems(USDA_NAME[ndb]), f"{entry['name']}: {USDA_NAME[ndb]}"


LEGACY_COLUMNS = {
    "fat": "Total fat",
    "sugar": "Total Sugars",
    "protein": "Protein",
    "carbohydrate": "Carbohydrate",
    "fibre": "Fiber",
    "sodium-mg": "Sodium",
    "energy-kcal": "Energy",
}
# SR27 is of 2014, SR Legacy of 2018: 5 % or this much may lie between the two.
LEGACY_SLACK = {"sodium-mg": 5.0, "energy-kcal": 10.0}
LEGACY_SLACK_G = 0.5
# Items that USDA analysed anew between the releases, with the figures that moved further.
REANALYSED = {
    "buttermilk": {"sugar", "sodium-mg"},
    "heavy cream": {"protein", "sodium-mg"},
    "half-and-half": {"sodium-mg"},
    "sour cream": {"sugar", "carbohydrate", "sodium-mg"},
    "cream cheese": {"sugar", "carbohydrate", "sodium-mg"},
    "ricotta": {"fat", "protein", "carbohydrate", "sodium-mg", "energy-kcal"},
    "dried egg yolk": {"carbohydrate", "sodium-mg"},
    "whipped butter": {"sodium-mg"},
    "soy flour": {"protein", "carbohydrate"},
    "defatted soy flour": {"sugar", "protein", "carbohydrate"},
    "cranberries": {"fibre"},
    "currants": {"sugar", "protein", "fibre", "sodium-mg"},
}


def legacy_table() -> dict[str, dict[str, str]]:
    """USDA SR Legacy by description in lower case (it has no NDB numbers, water or ash)."""
    return usda_foods("sr_legacy_food")


def legacy_item(entry: dict[str, Any]) -> str:
    """The item of SR Legacy whose composition an entry has, in lower case; "" for none."""
    found = re.match(r"USDA SR Legacy \(2018\), '(.*)'", entry.get("composition-source", ""))
    return found[1].lower() if found else ""


def test_composition_of_the_later_release_is_as_it_says() -> None:
    legacy = legacy_table()
    taken = [e for e in ENTRIES if legacy_item(e)]
    assert len(taken) >= 10
    for entry in taken:
        row, own = legacy[legacy_item(entry)], entry["composition"]
        for figure, column in LEGACY_COLUMNS.items():
            if figure in own:
                assert own[figure] == pytest.approx(
                    float(row[column]), abs=0.5 if "kcal" in figure else 0
                ), entry["name"]
        parts = [own[k] for k in ("water", "fat", "protein", "carbohydrate", "ash")]
        assert sum(parts) == pytest.approx(100, abs=0.05), entry["name"]


def test_composition_agrees_with_the_later_release() -> None:
    legacy = legacy_table()
    compared, moved = 0, {}
    for name, (ndb, own) in composed().items():
        row = legacy.get(USDA_NAME[ndb].lower())
        if row is None or name == STARTER:
            continue
        compared += 1
        far = {
            figure
            for figure, column in LEGACY_COLUMNS.items()
            if figure in own and row[column]
            and abs(own[figure] - float(row[column]))
            > max(0.05 * own[figure], LEGACY_SLACK.get(figure, LEGACY_SLACK_G))
        }  # fmt: skip
        if far:
            moved[name] = far
    assert moved == REANALYSED
    assert compared >= 190


# ---- eggs ----

EDIBLE_SHARE = 0.88  # USDA SR28, NDB 01123: refuse (shell) 12 %, from memory
SHELL_EGGS = {r["size"]: r for r in table("eggs") if r["system"] == "US" and r["part"].startswith("whole egg in")}  # fmt: skip


@pytest.mark.parametrize(
    ("size", "next_up"),
    [("small", "medium"), ("medium", "large"), ("large", "extra large"), ("extra large", "jumbo"), ("jumbo", "")],
)  # fmt: skip
def test_eggs_lie_within_their_weight_class(size: str, next_up: str) -> None:
    egg = built_in().find("egg")
    assert egg
    grams = next(m.grams for m in egg.measures if m.per == size)
    assert grams == float(SHELL_EGGS[size]["edible_g_each"])  # USDA SR28, NDB 01123

    # 7 Pa. Code 87.42 (the classes of USDA AMS 56); SR28 prints whole grams.
    def least(of: str) -> float:
        return float(SHELL_EGGS[of]["mean_shell_egg_g_at_minimum"]) * EDIBLE_SHARE

    assert grams >= least(size) - 0.5
    assert not next_up or grams < least(next_up)


def test_white_and_yolk_make_an_egg() -> None:
    """USDA SR28, NDB 01123 to 01125."""
    parts = {r["part"]: float(r["edible_g_each"]) for r in table("eggs") if "only" in r["part"]}
    found = {name: built_in().find(f"egg {name}") for name in ("white", "yolk")}
    large = {
        n: next(m.grams for m in i.measures if m.per == "large") for n, i in found.items() if i
    }
    assert large == {"white": parts["white only"], "yolk": parts["yolk only"]}
    assert sum(large.values()) == 50


# ---- units ----

UNITS = {row["id"]: row for row in table("units")}
NUMBERS = {i: r for i, r in UNITS.items() if r["kind"] in ("mass", "volume") and r["value"]}
# Not a unit of volume or mass with us: weighed by ingredient.
BY_INGREDIENT = {"butter-stick"}
NOT_OURS = {"us-dry-pint", "us-dry-quart", "cubic-inch"}


@pytest.mark.parametrize("row", [i for i in NUMBERS if not i.startswith("label-")])
def test_units_are_worth_what_is_published(row: str) -> None:
    """NIST Handbook 44, UK Weights and Measures, SI; customary ones as units.csv says."""
    unit = find_unit(UNITS[row]["unit"])
    if row in NOT_OURS:
        assert unit is None
    elif row not in BY_INGREDIENT:
        assert unit and unit.factor == pytest.approx(float(UNITS[row]["value"]), rel=1e-5)


@pytest.mark.parametrize(
    ("row", "unit", "percent"),
    [
        ("label-teaspoon", "tsp", 1.44),
        ("label-tablespoon", "tbsp", 1.44),
        ("label-cup", "cup", 1.44),
        ("label-fluid-ounce", "fl oz", 1.44),
        ("label-ounce", "oz", -1.23),
    ],
)
def test_label_measures_are_not_kitchen_measures(row: str, unit: str, percent: float) -> None:
    """21 CFR 101.9(b)(5)(viii), from memory; a US cup is 236.588 mL, an ounce 28.3495 g."""
    label = float(UNITS[row]["value"])
    assert (label / unit_named(unit).factor - 1) * 100 == pytest.approx(percent, abs=0.01)


@pytest.mark.parametrize(("c", "f"), [(100, 212), (0, 32), (-40, -40), (37, 98.6), (180, 356)])
def test_temperatures_convert(c: float, f: float) -> None:
    """NIST Special Publication 811: F = C x 9/5 + 32."""
    assert UNITS["celsius-fahrenheit"]["value"] == "C*9/5+32"
    assert fahrenheit(c) == pytest.approx(f)
    assert celsius(f) == pytest.approx(c)


# ---- leavening ----


def leavening(kind: str, item: str) -> float:
    (row,) = (r for r in table("leavening") if (r["kind"], r["item"]) == (kind, item))
    return float(row["typical"])


def test_yeast_equivalents() -> None:
    """A professional bread textbook; USDA PA-1371, 1988."""
    published = {
        "instant yeast": 1,
        "fresh yeast": leavening("yeast", "instant for fresh"),
        "active dry yeast": leavening("yeast", "instant for active dry"),
    }
    for name, share in published.items():
        dough = formula_text(
            "{item: bread flour, amount: 500 g}", f"{{item: {name}, amount: 10 g}}"
        )
        found = ratios(weigh_text(dough))["yeast-instant"]
        assert found.percent == pytest.approx(2 * share), name


@pytest.mark.parametrize(
    ("name", "per", "item"),
    [
        ("active dry yeast", "packet", "envelope of dry yeast"),
        ("fresh yeast", "cake", "cake of fresh yeast"),
    ],
)
def test_yeast_as_it_is_sold(name: str, per: str, item: str) -> None:
    """USDA SR28, NDB 18374 and 18375: 7.2 g a packet, 7.09 g by its 1/4 oz."""
    found = built_in().find(name)
    assert found
    grams = next(m.grams for m in found.measures if m.per == per)
    assert grams == pytest.approx(leavening("yeast", item), abs=0.11)


SODA_TSP_G = BY_KEY["18372", "tsp", ""].grams  # 4.6, USDA SR28
# Molar masses in g (IUPAC, from memory) over the protons an acid gives up.
SODA, LACTIC, ACETIC = 84.007, 90.08, 60.05
MALIC, TARTARIC, POTASSIUM_CARBONATE, CITRIC = 134.09 / 2, 150.09 / 2, 138.205 / 2, 192.12 / 3


def by_acid(of: float, *percent: float) -> list[float]:
    """Soda used up by so many percent of an acid; the percentages are from memory."""
    return [p * SODA / of for p in percent]


def by_spoon(cup_g: float, *tsp: float) -> list[float]:
    """Soda used up by so many teaspoons a cup: leavening.csv, common practice or from memory."""
    return [t * SODA_TSP_G / cup_g * 100 for t in tsp]


APPLE = by_acid(MALIC, 0.4, 0.25, 0.6)
SOUR_CREAM = by_acid(LACTIC, 0.9, 0.8, 1.0)
SOUR_MILK = by_spoon(245, 0.5) + by_acid(LACTIC, 0.8)  # USDA SR28, NDB 01088, 01116 to 01118, 01230
MOLASSES = by_spoon(337, 0.75, 0.5, 1)  # USDA SR28, NDB 19304, a cup, from memory
# g of soda to 100 g: usual, low, high (0 where none is said).
NEUTRALISES: dict[str, list[float]] = {
    "cream of tartar": [100 / 2.24, 0, 50],  # Food Additives Data Book, 2003; trade, from memory
    "cocoa powder": by_acid(POTASSIUM_CARBONATE, 2, 1, 3),
    "buttermilk": SOUR_MILK,
    "whole buttermilk": SOUR_MILK,
    "plain yogurt": SOUR_MILK,
    "low-fat yogurt": SOUR_MILK,
    "nonfat yogurt": SOUR_MILK,
    "dried buttermilk": [v * (100 - SR27["01094"]["water"]) / (100 - SR27["01088"]["water"]) for v in SOUR_MILK],
    "sour cream": SOUR_CREAM,
    "reduced-fat sour cream": SOUR_CREAM,
    "nonfat Greek yogurt": SOUR_CREAM,
    "whole-milk Greek yogurt": SOUR_CREAM,
    "banana": by_acid(MALIC, 0.35, 0.25, 0.5),
    "applesauce": APPLE,
    "sweetened applesauce": APPLE,
    "apple juice": APPLE,
    "lemon juice": by_acid(CITRIC, 5, 4.5, 6),
    "lime juice": by_acid(CITRIC, 5, 4.5, 6),
    "orange juice": by_acid(CITRIC, 0.9, 0.6, 1.2),
    "red wine": by_acid(TARTARIC, 0.6, 0.5, 0.8),
    "cider vinegar": by_acid(ACETIC, 5, 4, 6),
    "white vinegar": by_acid(ACETIC, 5, 4, 6),
    "molasses": MOLASSES,
    "light brown sugar": [v * 0.035 for v in MOLASSES],  # molasses in it: from memory
    "dark brown sugar": [v * 0.065 for v in MOLASSES],
    "honey": [*by_spoon(340, 1 / 12), 0, *by_spoon(340, 1 / 4)],
}  # fmt: skip


def test_acids_use_up_the_soda_that_is_published_or_follows_from_the_acid() -> None:
    acids = {e["name"]: e["neutralises"] for e in ENTRIES if "neutralises" in e}
    assert acids.keys() == NEUTRALISES.keys()
    for name, own in acids.items():
        figures = [own.get(k, 0) for k in ("soda", "low", "high")]
        expected = [*NEUTRALISES[name], 0][:3]
        assert figures == pytest.approx(expected, rel=0.006), name
    acid = "cream of tartar (potassium hydrogen tartrate)"
    assert acids["cream of tartar"]["soda"] == leavening("neutralising value", acid)


# ---- what is computed from the composition ----


def test_lactose_is_the_sugar_of_plain_dairy() -> None:
    """USDA SR27. Condensed milk: its protein with the carbohydrate that whole milk has to it."""
    dairy = {e["name"]: e for e in ENTRIES if "lactose" in e}
    assert len(dairy) >= 30
    for name, entry in dairy.items():
        ndb, milk = ndb_in(entry["composition-source"]), SR27["01077"]
        own = SR27[ndb] if ndb else entry["composition"]
        if name == "sweetened condensed milk":
            expected = own["protein"] * milk["carbohydrate"] / milk["protein"]
        else:
            expected = own["sugar"]
        assert entry["lactose"]["grams"] == pytest.approx(expected, rel=0.006), name


def test_egg_solids_are_what_is_not_water() -> None:
    """USDA SR27; a large egg is 33 g of white and 17 g of yolk (USDA SR28)."""
    white, yolk = (100 - SR27[ndb]["water"] for ndb in ("01124", "01125"))
    share = 33 * white / (33 * white + 17 * yolk)
    eggs = {e["name"]: e for e in ENTRIES if "egg-solids" in e}
    assert len(eggs) >= 7
    for name, entry in eggs.items():
        solids = 100 - SR27[ndb_in(entry["composition-source"])]["water"]
        if name == "egg":
            solids = (33 * white + 17 * yolk) / 50
        part = 1.0 if "white" in name else 0.0 if "yolk" in name else share
        figures = entry["egg-solids"]["white"], entry["egg-solids"]["yolk"]
        assert figures == pytest.approx((solids * part, solids * (1 - part)), abs=0.0051), name


def test_no_figure_goes_unchecked() -> None:
    """A new kind of figure in the catalogue needs a check against something published here."""
    checked = {"composition", "measures", "neutralises", "lactose", "egg-solids"}
    for entry in ENTRIES:
        for key, value in entry.items():
            has_figure = any(c.isdigit() for c in re.sub(r'"[^"]*"', "", json.dumps(value)))
            assert key in checked or not has_figure, f"{entry['name']}: {key}"
        for measure in entry.get("measures", ()):
            assert measure.keys() <= {"per", "state", "grams", "spread", "source"}


# ---- names ----


@pytest.mark.parametrize(
    ("us", "uk"),
    [
        # Common practice, no source.
        ("all-purpose flour", "plain flour"),
        ("self-rising flour", "self-raising flour"),
        ("bread flour", "strong white flour"),
        ("whole wheat flour", "wholemeal flour"),
        ("whole wheat pastry flour", "wholemeal pastry flour"),
        ("dark rye flour", "wholemeal rye flour"),
        ("corn flour", "maize flour"),
        ("cornstarch", "cornflour"),
        ("cornstarch", "maize starch"),
        ("chickpea flour", "gram flour"),
        ("soy flour", "soya flour"),
        ("superfine sugar", "caster sugar"),
        ("confectioners' sugar", "icing sugar"),
        ("raw sugar", "demerara sugar"),
        ("dark brown sugar", "dark muscovado sugar"),
        ("molasses", "black treacle"),
        ("baking soda", "bicarbonate of soda"),
        ("active dry yeast", "dried active yeast"),
        ("instant yeast", "fast-action dried yeast"),
        ("heavy cream", "whipping cream"),
        ("light cream", "single cream"),
        ("whole milk", "full-fat milk"),
        ("2% milk", "semi-skimmed milk"),
        ("skim milk", "skimmed milk"),
        ("soy milk", "soya milk"),
        ("golden raisins", "sultanas"),
        ("zucchini", "courgette"),
        ("ground almonds", "almond meal"),
        ("sliced almonds", "flaked almonds"),
        ("filberts", "hazelnuts"),
        ("peanut oil", "groundnut oil"),
        ("canola oil", "rapeseed oil"),
        ("vegetable oil", "soya oil"),
        ("semisweet chocolate", "plain chocolate"),
        ("alkalized cocoa", "alkalised cocoa"),
        ("vanilla flavouring", "imitation vanilla"),
        ("egg yolk", "yolks of eggs"),
    ],
)
def test_us_and_uk_names_mean_one_ingredient(us: str, uk: str) -> None:
    catalogue = built_in()
    assert catalogue.find(us) == catalogue.find(uk) is not None
