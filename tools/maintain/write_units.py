"""Write tools/perflour/data/units.json from pint.

pint is the authority for every factor, but importing it and building its registry costs more than
a whole lint, so the factors are written out once. tests/kitchen/test_quantity.py writes them again and
compares.

    python tools/maintain/write_units.py
"""

from __future__ import annotations

import json
from pathlib import Path

DATA = Path(__file__).parents[1] / "perflour" / "data"

# name as we spell it, pint unit, kind, other spellings. A pint unit of "" is a word that counts.
KITCHEN_UNITS: tuple[tuple[str, str, str, tuple[str, ...]], ...] = (
    ("mg", "milligram", "mass", ("milligram", "milligrams")),
    ("g", "gram", "mass", ("gram", "grams", "gm", "gms", "gr", "gramme", "grammes")),
    ("kg", "kilogram", "mass", ("kilo", "kilos", "kgs", "kilogram", "kilograms")),
    ("oz", "ounce", "mass", ("ounce", "ounces", "ozs")),
    ("lb", "pound", "mass", ("lbs", "pound", "pounds")),
    ("ml", "milliliter", "volume", ("mL", "millilitre", "millilitres", "milliliter", "milliliters", "cc")),
    ("cl", "centiliter", "volume", ("centilitre", "centiliter")),
    ("dl", "deciliter", "volume", ("decilitre", "deciliter")),
    ("l", "liter", "volume", ("L", "litre", "litres", "liter", "liters")),
    ("tsp", "teaspoon", "volume", ("tsps", "teasp", "teaspoon", "teaspoons", "teaspoonful", "teaspoonfuls", "teaspoonsful")),
    ("tbsp", "tablespoon", "volume", ("tbsps", "tbs", "tb", "tbl", "tbls", "tblsp", "tblsps", "tablespoon", "tablespoons", "tablespoonful", "tablespoonfuls", "tablespoonsful")),
    ("fl oz", "fluid_ounce", "volume", ("floz", "fluid ounce", "fluid ounces")),
    ("cup", "cup", "volume", ("cups", "c", "cupful", "cupfuls", "cupsful")),
    ("pint", "pint", "volume", ("pints", "pt")),
    ("qt", "quart", "volume", ("quart", "quarts")),
    ("gal", "gallon", "volume", ("gallon", "gallons")),
    ("metric tsp", "kitchen_metric_teaspoon", "volume", ("metric teaspoon", "metric teaspoons", "tsp metric", "UK tsp", "AU tsp", "Australian tsp")),
    ("metric tbsp", "kitchen_metric_tablespoon", "volume", ("metric tablespoon", "metric tablespoons", "tbsp metric", "UK tbsp")),
    ("metric cup", "kitchen_metric_cup", "volume", ("metric cups", "cup metric", "cups metric", "AU cup", "AU cups", "Australian cup", "Australian cups")),
    ("dessertspoon", "kitchen_dessertspoon", "volume", ("dsp", "dssp", "dessertspoons", "dessertspoonful")),
    ("Australian tbsp", "kitchen_australian_tablespoon", "volume", ("AU tbsp", "Australian tablespoon", "Australian tablespoons")),
    ("US tsp", "teaspoon", "volume", ("US teaspoon", "US teaspoons")),
    ("US tbsp", "tablespoon", "volume", ("US tablespoon", "US tablespoons")),
    ("US fl oz", "fluid_ounce", "volume", ("US fluid ounce", "US fluid ounces")),
    ("US cup", "cup", "volume", ("US cups", "cup US", "cups US")),
    ("US pint", "pint", "volume", ("US pints",)),
    ("US qt", "quart", "volume", ("US quart", "US quarts")),
    ("US gal", "gallon", "volume", ("US gallon", "US gallons")),
    ("US gill", "kitchen_us_gill", "volume", ("US gills",)),
    ("imperial fl oz", "imperial_fluid_ounce", "volume", ("imp fl oz", "UK fl oz", "imperial fluid ounce", "imperial fluid ounces")),
    ("imperial cup", "imperial_cup", "volume", ("imp cup", "imperial cups")),
    ("imperial pint", "imperial_pint", "volume", ("imp pint", "imp pints", "imperial pints", "UK pint", "UK pints", "British pint", "British pints")),
    ("imperial qt", "imperial_quart", "volume", ("imp quart", "imperial quart", "imperial quarts", "UK quart", "UK quarts")),
    ("imperial gal", "imperial_gallon", "volume", ("imp gallon", "imperial gallon", "imperial gallons", "UK gallon", "UK gallons")),
    ("gill", "imperial_gill", "volume", ("gills", "UK gill", "UK gills", "imperial gill", "imperial gills")),
    ("Japanese cup", "kitchen_japanese_cup", "volume", ("Japanese cups", "JP cup", "JP cups")),
    ("jigger", "kitchen_jigger", "volume", ("jiggers",)),
    ("dash", "kitchen_dash", "pinch", ("dashes",)),
    ("pinch", "kitchen_pinch", "pinch", ("pinches",)),
    ("smidgen", "kitchen_smidgen", "pinch", ("smidgens",)),
    ("s", "second", "time", ("sec", "secs", "second", "seconds")),
    ("min", "minute", "time", ("mins", "minute", "minutes")),
    ("h", "hour", "time", ("hr", "hrs", "hour", "hours")),
    ("d", "day", "time", ("day", "days")),
    ("mm", "millimeter", "length", ()),
    ("cm", "centimeter", "length", ()),
    ("inch", "inch", "length", ("in", "inches")),
    ("°C", "", "temperature", ("C", "° C", "degC", "degrees C", "celsius")),
    ("°F", "", "temperature", ("F", "° F", "degF", "degrees F", "fahrenheit")),
    ("jumbo", "", "count", ()),
    ("extra large", "", "count", ("extra-large", "XL")),
    ("large", "", "count", ()),
    ("medium", "", "count", ("M",)),
    ("small", "", "count", ()),
    ("extra small", "", "count", ("extra-small",)),
    ("each", "", "count", ("ea", "whole", "piece", "pieces")),
    ("stick", "", "count", ("sticks",)),
    ("clove", "", "count", ("cloves",)),
    ("slice", "", "count", ("slices",)),
    ("stalk", "", "count", ("stalks",)),
    ("sheet", "", "count", ("sheets",)),
    ("square", "", "count", ("squares",)),
    ("cake", "", "count", ("cakes", "yeast cake")),
    ("pat", "", "count", ("pats",)),
    ("can", "", "container", ("cans", "tin", "tins")),
    ("jar", "", "container", ("jars",)),
    ("packet", "", "container", ("packets", "package", "packages", "pkg", "pkgs", "pk", "pkt", "sachet", "sachets", "envelope", "envelopes")),
    ("bag", "", "container", ("bags",)),
    ("box", "", "container", ("boxes",)),
)  # fmt: skip

_BASE = {"mass": "gram", "volume": "milliliter", "pinch": "milliliter", "time": "second", "length": "millimeter"}  # fmt: skip


def kitchen_units() -> dict[str, dict[str, object]]:
    """Every unit with its kind, its factor to g, mL, s or mm as pint has it, and its spellings."""
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry()
    registry.load_definitions(DATA / "units.txt")
    units: dict[str, dict[str, object]] = {}
    for name, pint_unit, kind, spellings in KITCHEN_UNITS:
        factor = registry.Quantity(1.0, pint_unit).to(_BASE[kind]).magnitude if pint_unit else 1.0
        # Twelve digits: exact as far as any kitchen goes, and free of the last bit's noise.
        units[name] = {"kind": kind, "factor": float(f"{factor:.12g}"), "spellings": list(spellings)}  # fmt: skip
    return units


def as_text() -> str:
    """The content of units.json."""
    rows = [f"{json.dumps(k, ensure_ascii=False)}: {json.dumps(v, ensure_ascii=False)}" for k, v in kitchen_units().items()]  # fmt: skip
    return "{\n" + ",\n".join(rows) + "\n}\n"


if __name__ == "__main__":
    (DATA / "units.json").write_text(as_text(), encoding="utf-8")
