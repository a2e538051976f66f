"""What a recipe says once and means for all its lines: whose cups it measures with, what is no note of its own."""

from __future__ import annotations

import re
from collections.abc import Iterable

from perflour.kitchen.cautions import texts
from perflour.kitchen.numbers import AmountProblem, number_of, plain_numbers
from perflour.kitchen.units import find_unit, unit_named

_OWN_ALLERGENS = re.compile(r"Allergens (?:by what the foods are, US list|not known): [^.]*\.")
# A cup, spoon or pint with its millilitres beside it: `1 cup (250 ml)`, `2 tbsp/40 ml`.
_BESIDE = re.compile(
    r"(?P<number>[0-9]+(?: [0-9]+/[0-9]+|/[0-9]+)?) ?(?P<unit>cups?|tbsps?|tablespoons?|pints?)\.? ?[(/=\[] ?(?P<ml>[0-9]{1,4}) ?ml\b",
    re.IGNORECASE,
)
#: How near the millilitres are to what a unit holds: print rounds.
NEAR = 0.015
# The units that only one place has; half a litre beside a pint says nothing.
_WHOSE = {"metric cup": "metric", "Australian tbsp": "australian", "imperial pint": "uk"}


def measures_meant(lines: Iterable[str]) -> str:
    """Whose cups the millilitres beside them tell; empty where nothing does, or it could be the US's."""
    found = {whose for line in lines for whose in _told(plain_numbers(line))}
    return next((whose for whose in ("australian", "uk", "metric") if whose in found), "")


def _told(line: str) -> Iterable[str]:
    for match in _BESIDE.finditer(line):
        try:
            number = float(number_of(match["number"]))
        except AmountProblem:
            continue
        unit = find_unit(match["unit"])
        one_ml = float(match["ml"]) / number if number else 0.0
        for name, whose in _WHOSE.items():
            of_same_kind = unit is not None and name.endswith(unit.name)
            if of_same_kind and abs(one_ml / unit_named(name).factor - 1) <= NEAR:
                yield whose


def without_own_cautions(text: str) -> str:
    """Notes without the cautions that perflour prints with every recipe: they are made anew."""
    text = _OWN_ALLERGENS.sub("", text)
    for caution in texts().cautions:
        text = text.replace(caution.text, "")
    return " ".join(text.split())
