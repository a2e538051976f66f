"""What running text says of a food behind it: the kind, the size of the tin, a better amount, what it is for."""

from __future__ import annotations

import re
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import in_figures
from perflour.recipe.amounts import second_measure
from perflour.recipe.names import is_state, named
from perflour.recipe.words import is_container

#: Nothing that is said behind a food is longer.
MOST_BEHIND = 60
REMARKS = re.compile(
    r",?\s+(?:for (?:the (?:tin|tins|pan|board|top|tops|bowl|dish|dusting|cases)|dusting|rolling|greasing|brushing|sprinkling|kneading|finishing|glazing|frying|serving)(?: out)?|in equal parts|to taste|to serve|at room temperature|straight from the fridge)\b",
    re.IGNORECASE,
)
_KIND = re.compile(r",\s*(?:the|a) (?P<kind>[^\W\d_]+(?:-[^\W\d_]+)?) (?:kind|sort|ones?|stuff|type)\b(?: not the [^\W\d_]+ ones?\b)?", re.IGNORECASE)  # fmt: skip
_AGAIN = re.compile(r",\s*(?P<kind>[^\W\d_]+(?:-[^\W\d_]+)?) (?P<head>[^\W\d_]+)\b", re.IGNORECASE)
_SO_IT_IS = re.compile(r"\s+that(?:'s|’s| is| has)(?: been)?(?: [^\W\d_]+){0,4} so (?:it's|it’s|it is|they're|they are) (?P<state>[^\W\d_]+)\b", re.IGNORECASE)  # fmt: skip
_TIN_SIZE = re.compile(r",\s*the (?P<size>[0-9.]+ ?-?(?:g|kg|ml|oz|ounces?|grams?|pounds?|lb))(?: (?:one|size|tin|can))?\b", re.IGNORECASE)  # fmt: skip
_BETTER = re.compile(
    r"\s*(?:,|-|–|—)\s*(?:(?:that's|that is|thats|which is|say|well|about|i'd say|call it),? )?(?P<amount>[^,;.()]{1,30}?)(?: or (?:so|thereabouts))?\s*(?=[,;.]|-\s|–|—|and\b|$)",
    re.IGNORECASE,
)

_ARTICLE = re.compile(r"^an? ")


#: What greases a pan; it goes into no dough.
FOR_THE_PAN = "for the pan (layer)"
#: What is eaten with it.
FOR_THE_TABLE = "to serve (topping)"
_GOES = (
    (re.compile(r"\b(?:tins?|pan|dish|cases|greasing)\b", re.IGNORECASE), FOR_THE_PAN),
    (re.compile(r"\bserv", re.IGNORECASE), FOR_THE_TABLE),
    (re.compile(r"\b(?:tops?|dusting|brushing|sprinkling|finishing|glazing)\b", re.IGNORECASE), "topping"),
)  # fmt: skip


def goes_for(remark: str) -> str:
    """The part that a use names: "for the tin", "for dusting"; empty for the one that is spoken of."""
    return next((part for pattern, part in _GOES if pattern.search(remark)), "")


class Behind(NamedTuple):
    """What was said behind a food: the line with it, how many signs of the text it takes, and the kind it names."""

    line: str
    length: int
    kind: str = ""


def with_what_is_behind(line: str, name: str, after: str, catalogue: Catalogue) -> Behind:
    """The line of a food with what the text behind it settles; ``after`` is the text from the food's end on."""
    figures = in_figures(after[:MOST_BEHIND])
    if (match := _KIND.match(after)) and named(f"{match['kind']} {name}", catalogue).known:
        return Behind(_with_kind(line, name, match["kind"]), match.end(), match["kind"])
    if (match := _AGAIN.match(after)) and match["head"].lower() == name.split()[-1].lower():
        return Behind(_with_kind(line, name, match["kind"]), match.end(), match["kind"])
    if (match := _SO_IT_IS.match(after)) and is_state(match["state"]):
        return Behind(f"{line}, {match['state']}", match.end())
    words = line.split()
    tin = next((n for n, word in enumerate(words[:3]) if is_container(word)), None)
    if tin is not None and (match := _TIN_SIZE.match(figures)):
        number = words[0] if words[0][0].isdigit() else "1"
        sized = f"{number} ({match['size']}) {' '.join(words[tin:])}"
        return Behind(sized, _as_long(after, match[0]))
    if (match := _BETTER.match(figures)) and (again := _measured(line, name, match["amount"])):  # fmt: skip
        return Behind(again, _as_long(after, match[0]))
    return Behind(line, 0)


def _with_kind(line: str, name: str, kind: str) -> str:
    at = line.lower().rfind(name.lower())
    return f"{line[:at]}{kind} {line[at:]}" if at >= 0 else line


def _as_long(text: str, figures: str) -> int:
    """How far a text goes whose beginning, in figures, is ``figures``."""
    for length in range(len(figures), len(text) + 1):
        if in_figures(text[:length]) == figures:
            return length
    return 0


def _measured(line: str, name: str, said: str) -> str:
    """The line with the amount said behind it, where its own is none that can be weighed; else empty."""
    loose = line.split(" ")[:2]
    if not (any(map(is_container, loose)) or any(word.endswith("spoonful") or word == "knob" for word in loose)):  # fmt: skip
        return ""
    amount = second_measure(said if said[:1].isdigit() else f"1 {_ARTICLE.sub('', said)}")
    return f"{amount} {line[line.lower().rfind(name.lower()) :]}" if amount else ""
