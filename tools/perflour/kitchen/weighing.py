"""Amounts to masses in grams, each with its measuring spread."""

import re
from math import hypot, log, sqrt
from typing import NamedTuple

from perflour.kitchen.catalogue import Ingredient, Measure
from perflour.kitchen.quantity import Amount, Term
from perflour.kitchen.units import find_unit, unit_named

# One standard spread of a household measure where no published disagreement is known, in percent
# of the mass. Common practice, no source: what two careful people differ by with one measure.
# Powders pack, liquids hardly do, pieces leave gaps.
DEFAULT_SPREAD_PERCENT = {
    "flour": 8.0, "starch": 8.0, "chocolate": 8.0, "sugar": 4.0, "syrup": 4.0, "fat": 4.0,
    "oil": 2.0, "liquid": 2.0, "dairy": 3.0, "egg": 4.0, "leavening": 8.0, "yeast": 8.0,
    "salt": 8.0, "fruit": 10.0, "flavouring": 5.0, "nut": 10.0, "spice": 15.0, "other": 10.0,
}  # fmt: skip
# Two or three published figures that agree, often copied from each other, say little about a hand and
# a cup: a published spread counts from half the default of its kind on. Common practice, no source.
LEAST_SHARE_OF_DEFAULT = 0.5
# A counted piece (an egg, a banana): common practice, no source.
COUNT_SPREAD_PERCENT = 6.0
# Published values of a pinch run from 1/24 to 1/8 teaspoon: about half of 1/16 either way.
PINCH_SPREAD_PERCENT = 50.0
# Common practice, no source: a US stick of butter is half a cup.
STICK_IN_CUPS = 0.5


class Mass(NamedTuple):
    """A mass and its standard spread, both in g."""

    grams: float
    spread_g: float


class Unweighable(NamedTuple):
    """Why an amount has no mass, with what to do. ``wrong_dimension``: no mass is even possible."""

    reason: str
    wrong_dimension: bool = False


def weigh(amount: Amount, ingredient: Ingredient | None, state: str) -> Mass | Unweighable:
    """The mass of an amount of an ingredient; masses need no ingredient.

    The spread of the terms of one amount adds linearly (the same hand and spoon), that of a range
    is taken as uniform between its ends.
    """
    total = spread = 0.0
    for term in amount.terms:
        content = amount.drained or amount.content
        each = _content_mass(content) if content else _one(term, ingredient, state)
        if isinstance(each, Unweighable):
            return each
        low, high = float(term.low), float(term.high)
        mean = (low + high) / 2
        total += mean * each.grams
        half_width_g = (high - low) / 2 * each.grams
        spread += hypot(mean * each.spread_g, half_width_g / sqrt(3))
    return Mass(total, spread)


def _content_mass(term: Term) -> Mass:
    return Mass(float(term.mean) * term.unit.factor, 0.0)


def _one(term: Term, ingredient: Ingredient | None, state: str) -> Mass | Unweighable:
    """The mass of one unit of a term."""
    unit = term.unit
    match unit.kind:
        case "mass":
            return Mass(unit.factor, 0.0)
        case "temperature" | "time" | "length":
            return Unweighable(
                f"{unit.name} measures a {unit.kind}, not an amount; write a mass, a measure or a count",
                wrong_dimension=True,
            )
    if ingredient is None:
        return Unweighable("the ingredient is not known; only a mass can be taken as it is")
    if unit.kind in ("volume", "pinch"):
        return _volume(unit.name, unit.factor, unit.kind == "pinch", ingredient, state)
    return _count(unit.name, unit.kind, ingredient, state)


def _volume(
    name: str, ml: float, pinch: bool, ingredient: Ingredient, state: str
) -> Mass | Unweighable:
    measure = nearest_volume_measure(ingredient, ml, state)
    if measure is None:
        return Unweighable(
            f"no published mass of a {name} of {ingredient.name}; weigh it, or add a measure to ingredients.yaml"
        )
    per = find_unit(measure.per)
    assert per is not None  # nearest_volume_measure looked it up
    grams = measure.grams * ml / per.factor
    if pinch:
        return Mass(grams, grams * PINCH_SPREAD_PERCENT / 100)
    return Mass(grams, _spread(measure, ingredient.group) * ml / per.factor)


def _spread(measure: Measure, group: str) -> float:
    """The spread of one measure: published disagreement, else the default of the group."""
    return _at_least(measure, DEFAULT_SPREAD_PERCENT.get(group, 10.0))


def _at_least(measure: Measure, default_percent: float) -> float:
    default_g = measure.grams * default_percent / 100
    if measure.spread_g is None:
        return default_g
    if measure.settled:
        return measure.spread_g
    return max(measure.spread_g, default_g * LEAST_SHARE_OF_DEFAULT)


def _in_state(measure: Measure, state: str) -> bool:
    """Whether the stated words hold the measure's state: "unsifted" is not "sifted"."""
    return bool(measure.state) and set(measure.state.lower().split()) <= set(
        re.findall(r"\w+", state.lower())
    )


def nearest_volume_measure(ingredient: Ingredient, ml: float, state: str) -> Measure | None:
    """The measure in the stated state, else in none, that is nearest to ``ml`` in size.

    A spoon of flour is not a small cup: spoons are read by the spoon where that is published. With
    neither the state nor a plain measure known, the first measure stands in.
    """
    sized = [
        (m, u.factor) for m in ingredient.measures if (u := find_unit(m.per)) and u.kind == "volume"
    ]
    stated = [(m, f) for m, f in sized if _in_state(m, state)]
    plain = [(m, f) for m, f in sized if not m.state]
    best = min(stated or plain or sized, key=lambda pair: abs(log(pair[1] / ml)), default=None)
    return best[0] if best else None


def _count(name: str, kind: str, ingredient: Ingredient, state: str) -> Mass | Unweighable:
    counted = [m for m in ingredient.measures if m.per == name]
    stated = [m for m in counted if _in_state(m, state)]
    plain = [m for m in counted if not m.state]
    for measure in (*stated, *plain, *counted):
        if name == "stick":  # half a cup, packed and weighed by the dairy: no piece that grew
            return Mass(measure.grams, _spread(measure, ingredient.group))
        return Mass(measure.grams, _at_least(measure, COUNT_SPREAD_PERCENT))
    if name == "stick":
        return _volume("stick", STICK_IN_CUPS * unit_named("cup").factor, False, ingredient, state)
    if kind == "container":
        return Unweighable(
            f"a {name} of {ingredient.name} has no fixed mass; write it, like `1 {name} 400 g drained 240 g`"
        )
    sizes = sorted(
        {m.per for m in ingredient.measures if (u := find_unit(m.per)) and u.kind == "count"}
    )
    known = (
        f"known here: {', '.join(sizes)}"
        if sizes
        else "weigh it, or add a measure to ingredients.yaml"
    )
    return Unweighable(f"no published mass of one '{name}' of {ingredient.name}; {known}")
