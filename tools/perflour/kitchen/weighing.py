"""Amounts to masses in grams, each with its measuring spread."""

import re
from collections.abc import Sequence
from math import hypot, log, sqrt

from perflour.kitchen.catalogue import Ingredient, Measure
from perflour.kitchen.filling import apart, heaped_or_scant, laid, share_of_level
from perflour.kitchen.quantity import Amount, Term
from perflour.kitchen.units import find_unit, unit_named
from perflour.kitchen.whose import meant
from perflour.tuples import NamedTuple

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


# With a state that nobody has published: the range of the known ones, and at least this.
# Common practice, no source.
UNKNOWN_STATE_SPREAD_PERCENT = 20.0
# A neighbouring state in place of the one that is said: at least this spread. Common practice, no source.
NEIGHBOUR_SPREAD_PERCENT = 10.0
# What is left of the contents of a can when its liquid is poured off, where the label is not copied.
# Common practice, no source: labels of fruit run from 0.5 to 0.75.
DRAINED_SHARE = (0.5, 0.75)


class Mass(NamedTuple):
    """A mass and its standard spread, both in g; ``doubt`` says why it is only an estimate."""

    grams: float
    spread_g: float
    doubt: str = ""


#: A measure with the ml it holds.
Sized = tuple[Measure, float]


class Choice(NamedTuple):
    """The measure that stands for a state; ``doubt`` says what is not known, ``lacks`` that no figure is."""

    measure: Measure
    doubt: str = ""
    lacks: bool = False


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
    doubts: list[str] = []
    for term in amount.terms:
        each = _each(amount, term, ingredient, state)
        if isinstance(each, Unweighable):
            return each
        if each.doubt and each.doubt not in doubts:
            doubts.append(each.doubt)
        low, high = float(term.low), float(term.high)
        mean = (low + high) / 2
        total += mean * each.grams
        half_width_g = (high - low) / 2 * each.grams
        spread += hypot(mean * each.spread_g, half_width_g / sqrt(3))
    return Mass(total, spread, "; ".join(doubts))


def _each(
    amount: Amount, term: Term, ingredient: Ingredient | None, state: str
) -> Mass | Unweighable:
    """The mass of one of what a term counts."""
    if amount.drained:
        return _content_mass(amount.drained)
    if amount.content:
        return _poured_off(_content_mass(amount.content), state)
    if term.unit.name == "l" and ingredient and _means_large(amount.text, ingredient):
        return Unweighable(f"is L large or litres of {ingredient.name}? write `large` or `litres`")
    if state and not term.filling and term.unit.kind in ("volume", "pinch"):
        filling, state = apart(state)
        term = term._replace(filling=filling)
    if not term.filling:
        return _one(term, ingredient, state)
    in_cup = ", ".join(filter(None, (state, laid(term.filling))))
    return _filled(_one(term, ingredient, in_cup), term)


def _means_large(text: str, ingredient: Ingredient) -> bool:
    """Whether a lone l may stand for a size: eggs are sold as L."""
    return re.search(r"(?<![A-Za-z])[lL]\b", text) is not None and any(
        m.per == "large" for m in ingredient.measures
    )


def _filled(level: Mass | Unweighable, term: Term) -> Mass | Unweighable:
    """A heaped or scant measure from a level one: the middle of what the word may mean."""
    word = heaped_or_scant(term.filling)
    if isinstance(level, Unweighable) or not word:
        return level
    low, high = share_of_level(word, term.unit.factor)
    share, half = (low + high) / 2, (high - low) / 2
    doubt = f"how much a {word} {term.unit.name} holds is not settled, taken as {share:.3g} level ones (common practice, no source); level it, or weigh it"
    spread_g = hypot(level.spread_g * share, level.grams * half / sqrt(3))
    return Mass(level.grams * share, spread_g, "; ".join(filter(None, (level.doubt, doubt))))


def _content_mass(term: Term) -> Mass:
    return Mass(float(term.mean) * term.unit.factor, 0.0)


def _poured_off(content: Mass, state: str) -> Mass:
    """The contents of one container without their liquid, where the state says so and no mass does."""
    if "drained" not in state:
        return content
    from perflour.kitchen.states import words_of

    if "drained" not in words_of(state):
        return content
    low, high = DRAINED_SHARE
    doubt = f"the drained mass is not written, taken as {low:.0%} to {high:.0%} of the content (common practice, no source); write it, like `1 can 425 g drained 250 g`"
    return Mass(content.grams * (low + high) / 2, content.grams * (high - low) / 2 / sqrt(3), doubt)


def _one(term: Term, ingredient: Ingredient | None, state: str) -> Mass | Unweighable:
    """The mass of one unit of a term."""
    unit = term.unit
    if ingredient and ingredient.measured_in and unit.kind == "volume":
        unit = meant(unit, ingredient.measured_in)
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
    choice = _choice(ingredient, ml, state)
    if choice is None:
        return Unweighable(
            f"no published mass of a {name} of {ingredient.name}; weigh it, or add a measure to ingredients.yaml"
        )
    measure, doubt = choice.measure, choice.doubt
    per = find_unit(measure.per)
    assert per is not None  # the choice looked it up
    grams = measure.grams * ml / per.factor
    spread_g = _spread(measure, ingredient.group) * ml / per.factor
    if pinch:
        return Mass(grams, grams * PINCH_SPREAD_PERCENT / 100)
    if doubt:
        doubt = f"{doubt}; weigh it, or add that measure to ingredients.yaml"
        spread_g = hypot(spread_g, grams * _doubted_share(ingredient, measure, per.factor, choice))
    return Mass(grams, spread_g, doubt)


def _doubted_share(ingredient: Ingredient, measure: Measure, ml: float, choice: Choice) -> float:
    """The spread of a figure that stands in for another, as a share of it."""
    from perflour.kitchen.states import range_of_states

    if not choice.lacks:
        return NEIGHBOUR_SPREAD_PERCENT / 100
    # a range is uniform between its ends; where one state is known, another word moves it less
    apart = 0.0 if measure.state else range_of_states(ingredient, measure.grams / ml) / sqrt(3)
    return max(apart, UNKNOWN_STATE_SPREAD_PERCENT / 100)


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
    choice = _choice(ingredient, ml, state)
    return choice.measure if choice else None


def _choice(ingredient: Ingredient, ml: float, state: str) -> Choice | None:
    sized = [
        (m, u.factor) for m in ingredient.measures if (u := find_unit(m.per)) and u.kind == "volume"
    ]
    if not sized:
        return None
    if not state:
        return Choice(nearest([pair for pair in sized if not pair[0].state] or sized, ml))
    from perflour.kitchen.states import choose  # only where a state stands beside a measure

    return choose(ingredient, sized, ml, state)


def nearest(sized: Sequence[Sized], ml: float) -> Measure:
    """The measure nearest in size."""
    return min(sized, key=lambda pair: abs(log(pair[1] / ml)))[0]


def counted_measure(name: str, ingredient: Ingredient, state: str) -> Measure | None:
    """The measure of one piece so named, in the stated state, else in none, else in any."""
    counted = [m for m in ingredient.measures if m.per == name]
    stated = [m for m in counted if _in_state(m, state)]
    plain = [m for m in counted if not m.state]
    return next(iter((*stated, *plain, *counted)), None)


def _count(name: str, kind: str, ingredient: Ingredient, state: str) -> Mass | Unweighable:
    if measure := counted_measure(name, ingredient, state):
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


def measure_behind(term: Term, ingredient: Ingredient | None, state: str) -> Measure | None:
    """The published measure that the mass of a term is read from; None where none is: a mass, a can."""
    if ingredient is None or term.unit.kind not in ("volume", "pinch", "count"):
        return None
    unit = term.unit
    if unit.kind == "count":
        if found := counted_measure(unit.name, ingredient, state):
            return found
        return _by_stick(ingredient, state) if unit.name == "stick" else None
    filling, state = (term.filling, state) if term.filling or not state else apart(state)
    state = ", ".join(filter(None, (state, laid(filling) if filling else "")))
    if ingredient.measured_in:
        unit = meant(unit, ingredient.measured_in)
    return nearest_volume_measure(ingredient, unit.factor, state)


def _by_stick(ingredient: Ingredient, state: str) -> Measure | None:
    cups = STICK_IN_CUPS * unit_named("cup").factor
    return nearest_volume_measure(ingredient, cups, state)
