"""What a line can only be read with the whole recipe: whose cups it means, which part it takes, what is no note of its own."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence

from perflour.formula.portions import taken
from perflour.kitchen.cautions import texts
from perflour.kitchen.names import fold
from perflour.kitchen.numbers import AmountProblem, number_of, plain_numbers
from perflour.kitchen.quantity import ALL, PORTION_WORDS, SHARES, parse_share
from perflour.kitchen.units import find_unit, unit_named
from perflour.recipe.ingredient_line import LineRead

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


#: The names of the parts, by their folded spelling: of the section, and without its kind.
NamesOfParts = Mapping[str, Sequence[tuple[str, str]]]
_MOST_NAMES = 200
_NAME_BEFORE = re.compile(r"(?P<name>.+?)\s*(?:\((?P<bracket>[^()]*)\)|,\s*(?P<comma>.+)|\s(?P<from>from above|above))", re.IGNORECASE)  # fmt: skip


def part_used(text: str, names: NamesOfParts, own: str) -> LineRead | None:
    """A line that takes another part: "all of the poolish", "200 g poolish", "poolish (all)"."""
    plain = " ".join(text.split()).rstrip(".")
    if len(plain) > 2 * _MOST_NAMES:
        return None
    note = ""
    if match := _NAME_BEFORE.fullmatch(plain):
        plain, note = match["name"], match["bracket"] or match["comma"] or ""
    known = dict(_names_behind(plain, names, own))
    found = _portion_of(plain, known)
    if found is None:
        return None
    share, name = found
    if PORTION_WORDS.get(fold(note)) in SHARES:
        share, note = fold(note), ""
    try:
        parse_share(share)
    except AmountProblem:
        return None
    return LineRead(known[name], share, note=note, known=True)


def _names_behind(text: str, names: NamesOfParts, own: str) -> Iterator[tuple[str, str]]:
    """The folded names of other parts that a text ends with, and their spelling."""
    words = fold(text).split(" ")
    for first in range(len(words)):
        said = " ".join(words[first:])
        for section, stated in names.get(said, ()):
            if section != own:
                yield said, stated


def _portion_of(text: str, known: Iterable[str]) -> tuple[str, str] | None:
    """How much of which part a line takes; on a list "of" may be left out ("half poolish")."""
    said = fold(text)
    for name in known:
        if said in (name, f"the {name}"):
            return ALL, name
        if not said.endswith(f" {name}"):
            continue
        before = said.removesuffix(name)
        for spelled in (said, f"{before}of {name}"):
            use = taken(spelled)
            if use.name == name and (use.takes in SHARES or use.portion):
                return use.words if use.portion else use.takes, name
    return None
