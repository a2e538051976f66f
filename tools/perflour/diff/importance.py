"""How much a change does to the bake: its move in usual widths of its figure.

One is a move across the whole range that a figure usually has. The width of a ratio is that of its
window in the product class of the house; without one, the table below. So half a point of salt (of a
width of 1) comes before two points of sugar (of 40).
"""

from __future__ import annotations

from collections.abc import Mapping
from math import log

from perflour.balance.ratios import INSTANT_EQUIVALENT
from perflour.kitchen.catalogue import Ingredient
from perflour.kitchen.house import House, Window
from perflour.kitchen.quantity import OVEN_FROM_CELSIUS

# Usual widths in percent of the basis. "n windows": median of high less low over n windows of product
# classes: common practice, no source, but for the breads (bread formulas by type, baking notes at
# thefoxclick.com, undated). The rest is common practice, no source.
WIDTHS = {
    "hydration": 14.0,  # 15 windows
    "liquid": 60.0,  # 4 windows
    "sugar": 40.0,  # 26 windows
    "fat": 30.0,  # 21 windows
    "egg": 35.0,  # 23 windows
    "salt": 1.0,  # 19 windows
    "baking-powder": 3.0,  # 13 windows
    "baking-soda": 1.5,  # 5 windows
    "leavening-gas": 0.36,  # as baking powder, 12 g of gas in 100 g
    "yeast-instant": 1.4,  # 6 windows
    "fruit": 90.0,  # 1 window
    "chocolate": 90.0,  # 1 window
    "cocoa": 31.5,  # 2 windows
    "milk": 40.0,  # 5 windows
    "blend": 30.0,  # 1 window: cornmeal in cornbread
    "xanthan gum": 1.6,  # 2 windows
    "guar gum": 1.6,  # as xanthan gum
    "psyllium husk": 5.0,  # 1 window
    "cream of tartar": 4.0,  # 1 window
    "sourdough starter": 10.0,  # 1 window
    "nut": 60.0,
    "prefermented-flour": 20.0,
    "spice": 2.0,
    "flavouring": 3.0,
    "other": 10.0,
}
# Ratios of what ingredients contain are as wide as those of the ingredients.
_AS = {"total-water": "liquid", "total-fat": "fat", "total-sugar": "sugar"}
# The ratios that an ingredient of a group counts in, the first with a window first.
_BY_GROUP = {
    "flour": ("blend",), "starch": ("blend",), "sugar": ("sugar",), "syrup": ("sugar",),
    "fat": ("fat",), "oil": ("fat",), "egg": ("egg",), "salt": ("salt",), "yeast": ("yeast-instant",),
    "liquid": ("hydration", "liquid"), "dairy": ("liquid", "milk"), "fruit": ("fruit",),
    "nut": ("nut",), "chocolate": ("chocolate",), "spice": ("spice",), "flavouring": ("flavouring",),
}  # fmt: skip
_BY_NAME = {
    "cocoa powder": "cocoa", "Dutch-process cocoa powder": "cocoa", "baking powder": "baking-powder",
    "phosphate baking powder": "baking-powder", "low-sodium baking powder": "baking-powder",
    "baking soda": "baking-soda",
}  # fmt: skip

# Ovens, and what is colder than an oven (dough, proof, core): °C. Times: the factor that counts as
# one width, of baking and of anything else. A piece: a tenth. Flour against all the rest: an eighth.
# A topping against what carries it: a quarter. All common practice, no source.
OVEN_CELSIUS, COOL_CELSIUS = 15.0, 3.0
BAKING_TIME, OTHER_TIME, PIECE_MASS, BASIS_MASS, BESIDE_MASS = 1.2, 1.5, 1.1, 1.125, 1.25
# What has no number: a step more or less counts as a whole width, the rest by what it may do.
STEP_LONE, STEP_MOVED, NUMBER_LONE, PAN, SIGN, USES, WORDS = 1.0, 0.5, 0.5, 0.4, 0.25, 0.25, 0.05
UNWEIGHED, PART_LONE, LINE_DIVIDED, STATE, YIELD_SAID = 0.5, 0.5, 0.3, 0.25, 0.1


class Widths:
    """The usual width of every figure, for one product class."""

    def __init__(self, windows: Mapping[str, Window]) -> None:
        self._windows = {name: w.high - w.low for name, w in windows.items() if w.high > w.low}

    def of_ratio(self, name: str) -> float:
        """Percent of the basis."""
        for known in (name, _AS.get(name, name)):
            if known in self._windows:
                return self._windows[known]
        return WIDTHS.get(_AS.get(name, name), WIDTHS["other"])

    def of_ingredient(self, ingredient: Ingredient | None) -> float:
        """Percent of the basis; yeast is read as instant."""
        if ingredient is None:
            return WIDTHS["other"]
        name = ingredient.name
        if name in WIDTHS:
            return WIDTHS[name]
        group = "yeast" if name in INSTANT_EQUIVALENT else ingredient.group
        ratios = (_BY_NAME[name],) if name in _BY_NAME else _BY_GROUP.get(group, ("other",))
        known = next((r for r in ratios if r in self._windows), None)
        width = (
            self._windows[known] if known else WIDTHS[ratios[-1] if group == "dairy" else ratios[0]]
        )
        return width / INSTANT_EQUIVALENT.get(name, 1.0)


def widths_for(house: House | None, product_class: str) -> Widths:
    """The widths of a product class of a house; of the table where the house has no window."""
    known = house.classes.get(product_class) if house else None
    return Widths(known.windows if known else {})


def by_factor(before: float, after: float, one_width: float) -> float:
    """A move of a figure that counts by its factor."""
    if before <= 0 or after <= 0:
        return 0.0 if before == after else 1.0
    return abs(log(after / before)) / log(one_width)


def by_degrees(before: float, after: float) -> float:
    """A move of a temperature in °C."""
    hot = max(before, after) >= OVEN_FROM_CELSIUS
    return abs(after - before) / (OVEN_CELSIUS if hot else COOL_CELSIUS)
