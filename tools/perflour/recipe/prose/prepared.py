"""How a food is before it goes in, where a verb of its own sentence says so: "halve and stone six plums", "two eggs are beaten".

Only where the food stands alone behind the verb, and where the state leaves its mass as it is: a count or a mass,
or a liquid and a fat that are warmed. "Sift two cups of flour" measures before it sifts.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.recipe.method.sentences import sentences
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.words import kitchen_unit, word_map

_STATES = word_map("states-by-verb")
_VERB = rf"(?:{'|'.join(sorted(_STATES, key=len, reverse=True))})"
#: "Pare, core, and slice" right before a food.
_BEFORE = re.compile(rf"(?:^|[.;:,(\n]\s*|\b(?:and|then|you|now|first|meanwhile)\s+)(?P<verbs>{_VERB}(?:(?:,\s*and|,|\s+and)\s+{_VERB})*)\s+(?:the |about )?$", re.IGNORECASE)  # fmt: skip
#: "... and halve them" behind it, and "are beaten light".
_THEM = re.compile(rf"\b(?P<verb>{_VERB}) (?:them|it)\b", re.IGNORECASE)
_ARE = re.compile(
    r"\s+(?:is|are) (?:first |then |well |lightly )?(?P<state>[a-z]+)\b", re.IGNORECASE
)
_JOINED = re.compile(r"\s*(?:,|and|&|,\s*and|plus)\s*", re.IGNORECASE)
_WORDS = re.compile(_VERB, re.IGNORECASE)
#: What warms a thing, which its measure does not feel.
_WARMED = frozenset(("melted", "warm", "scalded"))
#: So many signs before and behind a food are looked at.
MOST_LOOKED_AT = 80


def with_states_told(foods: Sequence[FoodSaid], text: str) -> list[FoodSaid]:
    """The foods of a text with the states that verbs beside them tell."""
    starts = [(start, start + len(said)) for start, said in sentences(text)]
    found: list[FoodSaid] = []
    at = 0
    for number, food in enumerate(foods):
        while at + 1 < len(starts) and starts[at + 1][0] <= food.start:
            at += 1
        begin, close = starts[at] if starts else (0, len(text))
        behind = foods[number + 1].start if number + 1 < len(foods) else close
        after = text[food.end : max(food.end, min(behind, close, food.end + MOST_LOOKED_AT))]
        joined = behind < close and _JOINED.fullmatch(text[food.end : behind])
        last = foods[number - 1].end if number else 0
        before = text[max(begin, last, food.start - MOST_LOOKED_AT) : food.start]
        told = [] if joined else [s for s in _told(before, after) if _holds(s, food)]
        line = food.line.rstrip(" ,")
        found.append(food._replace(line=", ".join((line, *told))) if told else food)
    return found


def _told(before: str, after: str) -> list[str]:
    """The states that the verbs right before a food and those behind it of "them" give it."""
    states = []
    if match := _BEFORE.search(before):
        states = [_STATES[verb.lower()] for verb in _WORDS.findall(match["verbs"])]
        states += [_STATES[verb.lower()] for verb in _THEM.findall(after)]
    elif (match := _ARE.match(after)) and match["state"].lower() in {*_STATES.values(), "beaten"}:
        states = [match["state"].lower()]
    return list(dict.fromkeys(states))


def _holds(state: str, food: FoodSaid) -> bool:
    """Whether a state that the line does not have yet leaves the amount of a food as it is."""
    if not food.has_amount or state in food.line.lower():
        return False
    unit = kitchen_unit(food.amount.rpartition(" ")[2]) if food.amount else None
    return state in _WARMED or not (unit and unit.kind == "volume")
