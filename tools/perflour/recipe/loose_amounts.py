"""Amounts that no scale settles, as people tell them: a knob, the size of an egg, a wineglass of, the juice of the orange."""

from __future__ import annotations

import re

from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.names import is_state, named
from perflour.recipe.words import is_old_measure, kitchen_unit, word_map, word_set

_VAGUE = re.compile(
    r"(?:1 |an? |some )?(?P<amount>(?:few |good |small |large |generous )*"
    r"(?:drops?|knob|splash|handful|drizzle|glug|squeeze|sprinkle|sprinkling|dusting|bit|little|few|lump|grating|scraping)|some)(?: of)? (?P<name>\S.*)",
    re.IGNORECASE,
)
_SIZE = re.compile(
    r"(?:(?:1 |an? )?(?:piece|lump|bit|ball|knob)s? of )?(?P<name>[^\W\d_][^,0-9]*?),? (?:about |of )?(?P<amount>the size of (?:1|an?) (?:small |large |good )?[^\W\d_]+(?: [^\W\d_]+)?)",
    re.IGNORECASE,
)
_UNKNOWN_MEASURE = re.compile(r"(?P<amount>[0-9][0-9/. ]*(?:-[0-9/. ]+)? ?[^\W\d_]+(?:-[^\W\d_]+)?) of (?P<name>\S.*)")  # fmt: skip
_TAKEN = "|".join(sorted(word_map("taken-of"), key=len, reverse=True))
_OF_THE = re.compile(rf"(?P<front>(?:.*\s)?(?:{_TAKEN})(?: (?:and|&) (?:{_TAKEN}))?) of (?:the|your) (?P<whole>[^\W\d_]+)(?P<behind>.*)", re.IGNORECASE)  # fmt: skip
_COUPLE = re.compile(r"^(?:an? |1 )?couple (?:of )?", re.IGNORECASE)
_ANOTHER = re.compile(r"^another ", re.IGNORECASE)
_OR_TWO = re.compile(r"^(?:1|an?) (?P<unit>[^\W\d_]+) or (?:two|2)\b", re.IGNORECASE)
_OR_SO = re.compile(
    r"^(?P<amount>(?:[0-9]|an? |another )[^,]*?) or (?:so|thereabouts)\b,?(?: of)?", re.IGNORECASE
)


def loosely_measured(text: str, catalogue: Catalogue) -> tuple[str, str] | None:
    """The amount that cannot be weighed and the name behind it: "a knob of butter"; None for any other line."""
    if match := _VAGUE.fullmatch(text):
        name = match["name"]
        if match["amount"].endswith("squeeze") and named(f"{name} juice", catalogue).known:
            name = f"{name} juice"
        return match["amount"], name
    if match := _SIZE.fullmatch(text):
        return match["amount"], match["name"]
    match = _UNKNOWN_MEASURE.fullmatch(text)
    word = match["amount"].split()[-1] if match else ""
    if match and _is_measure(word) and (is_old_measure(word) or named(match["name"], catalogue).known):  # fmt: skip
        return match["amount"], match["name"]
    return None


def _is_measure(word: str) -> bool:
    """Whether a word before "of" may be a measure that we do not know: a wineglass, a saltspoonful."""
    low = word.lower()
    return not (kitchen_unit(low) or is_state(low) or low in word_map("taken-of") or low in word_set("no-names"))  # fmt: skip


def as_listed_line(text: str) -> str:
    """A line as a list says it: a couple of eggs are 2, the juice of the orange is that of one."""
    text = _OR_TWO.sub(r"1 to 2 \g<unit>s", text)
    text = _OR_SO.sub(r"about \g<amount>", _ANOTHER.sub("1 ", _COUPLE.sub("2 ", text)))
    match = _OF_THE.fullmatch(text)
    if match is None:
        return text
    whole, front = match["whole"], match["front"]
    is_one = not whole.endswith("s")
    if is_one:
        return f"{front} of 1 {whole}{match['behind']}"
    *states, taken = front.split()
    return " ".join((*states, whole.removesuffix("s"), taken)) + match["behind"]
