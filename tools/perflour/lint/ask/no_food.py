"""Names on a list that are no name of a food: a measure, a pan, a figure left in it; loaded only for
names that the catalogue does not know.
"""

from __future__ import annotations

import re

from perflour.formula.verbs import BAKES, DEPOSITS, PORTIONS, WAITS
from perflour.kitchen.units import find_unit
from perflour.lint.ask.steps import words
from perflour.lint.rule import Context

_VESSELS = frozenset(("pan", "pans", "tin", "tins", "tray", "trays", "dish", "mould", "moulds", "mold", "molds"))  # fmt: skip
_DONE = BAKES | DEPOSITS | PORTIONS | WAITS
_NO_NAME = frozenset(("or", "and", "of", "the", "taken", "pc", "pcs", "firmly", "loosely", "lightly", "temp", "temperature", "time"))  # fmt: skip
# A figure at an end of a name, or one that a measure follows: "water 66 %", "29 ounce 1". The "1 %" in the
# middle of a milk's name stays.
_FIGURE = re.compile(r"^\d[\d.,/]* [a-z]|\b\d[\d.,/]*(?: ?%)?$|\b\d/\d\b", re.I)
_OF_A = re.compile(r"^(\w+) of (?:an?|the) (\w+)$", re.I)
_WHICH = ("some ", "any ", "the ")


def why_no_food(context: Context, name: str) -> str:
    """What is wrong with a name that is no food's, and what to do; empty where it may be one."""
    said = words(name)
    if _FIGURE.search(name.strip()):
        return f"'{name}' holds a figure; write an amount as `amount`, else add the name to ingredients.yaml"
    if said[:1] == ("same",) and len(said) > 1:
        return f"'{name}' does not say which; write it as the line that it means"
    if find_unit(name) or said[-1:] == ("ml",):
        return f"'{name}' is a measure, not a food; write the food, or take the line out"
    if said and said[-1] in _VESSELS:
        return f"'{name}' is not a food but what it is baked in; take the line out"
    none = _NO_NAME | context.catalogue.around
    if said and (none.issuperset(said) or said[-1] in _NO_NAME or (len(said) == 1 and said[0] in _DONE)):  # fmt: skip
        return f"'{name}' is not the name of a food; write the food, or take the line out"
    return ""


def in_other_words(context: Context, name: str) -> str:
    """The food that a name turned about means: "juice of a lemon", "some nutmeg"; empty where none."""
    turned = _OF_A.sub(r"\2 \1", name.strip())
    for which in _WHICH:
        turned = turned.removeprefix(which)
    if turned == name:
        return ""
    singular = re.sub(r"s\b", "", turned)
    known = context.catalogue.find(turned) or context.catalogue.find(singular)
    return known.name if known else ""
