"""Foods that running text takes without saying how much: mixed in, put on top, for dusting, served with."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from perflour.formula.verbs import MIXES, MIXES_DRY, MIXES_IN, PUTS_ON, STREWS
from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.method.mentions import stems
from perflour.recipe.method.sentences import clauses
from perflour.recipe.names import named
from perflour.recipe.prose.behind import FOR_THE_TABLE, REMARKS, goes_for
from perflour.recipe.prose.parts import MOST_OF_SENTENCE
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.words import any_of, word_set

_NO_FOOD_BEFORE = frozenset(("mixture", "bath", "dish", "bowl", "tin", "pan", "paper", "board", "mark", "spoon", "powdered", "cutter"))  # fmt: skip
_GROUPS = frozenset(("salt", "spice", "leavening", "yeast", "flour", "sugar", "fat", "egg", "flavouring", "dairy", "nut", "fruit", "syrup"))  # fmt: skip
#: What is brushed or dusted there is no topping.
_NOT_THE_FOOD = re.compile(rf"\b(?:{any_of('baking-tins')}|bowls?|boards?|surface|table|bench|hands?|fingers|paper|cutter|hook|griddle|skillet|cloth)\b", re.IGNORECASE)  # fmt: skip
_SERVED_WITH = re.compile(r"\b(?:serves?|served|eat|feeds)\b[^.;!?]{0,40}\bwith (?:the |some |a little |plenty of |lots of )?$", re.IGNORECASE)  # fmt: skip
_WORD = re.compile(r"[^\W\d_]+(?:['’-][^\W\d_]+)*")
#: No food that is known has more words.
MOST_WORDS = 3


def without_amounts(
    text: str, foods: Sequence[FoodSaid], known: set[str], catalogue: Catalogue
) -> Iterator[FoodSaid]:
    """Foods that a text takes without saying how much, each once; ``known`` grows by their heads."""
    tokens = list(_WORD.finditer(text))
    lows = [token[0].lower() for token in tokens]
    taken = iter(sorted(foods))
    current = next(taken, None)
    at = 0
    while at < len(tokens):
        length, name, is_known = _food_at(lows, at, catalogue)
        if not length:
            at += 1
            continue
        start, end = tokens[at].start(), tokens[at + length - 1].end()
        behind = lows[at + length] if at + length < len(lows) else ""
        at += length
        while current and current.end <= start:
            current = next(taken, None)
        if (current and current.start <= start) or behind in _NO_FOOD_BEFORE:
            continue
        if remark := REMARKS.match(text, end):
            said = text[start : remark.end()]
            yield FoodSaid(start, remark.end(), said, name, False, "", goes_for(remark[0]))
            continue
        heads = set(heads_of(name, catalogue))
        goes = None if heads & known else _taken(text, start, is_known)
        if goes is None:
            continue
        known.update(heads)
        yield FoodSaid(start, end, text[start:end], name, False, "", goes)


def heads_of(name: str, catalogue: Catalogue) -> Iterable[str]:
    """The words by which a food that was listed is known again."""
    known = named(name, catalogue).known
    words = stems(name)
    if known:
        yield known.name
    yield from (words[-1:] if words else ())


def _food_at(words: Sequence[str], at: int, catalogue: Catalogue) -> tuple[int, str, bool]:
    """How many words from a place on name a food, its name, and whether the catalogue knows it; 0 for none."""
    for length in range(min(MOST_WORDS, len(words) - at), 0, -1):
        name = " ".join(words[at : at + length])
        found = catalogue.named(name)
        if found and found.group in _GROUPS and (length > 1 or len(name) > 3):
            return length, name, True
        if name in word_set("foods-of-several-kinds"):
            return length, name, False
    return 0, "", False


def _taken(text: str, start: int, is_known: bool) -> str | None:
    """The part that a food goes to which the clause before it takes, empty for where it stands; None for none."""
    first = max(0, start - MOST_OF_SENTENCE)
    begin = max(first - 1, *(text.rfind(sign, first, start) for sign in (". ", "; ", "! ", "? ")))
    before = text[begin + 1 : start]
    said = clauses(before.strip(" .;") + " it")[-1:]
    verbs = {clause.do.split(" ")[0] for clause in said}
    if is_known and verbs & (MIXES | MIXES_IN | MIXES_DRY | word_set("verbs-that-take")):
        return ""
    if verbs & (PUTS_ON | STREWS) and not _NOT_THE_FOOD.search(said[-1].text):
        return "topping"
    return FOR_THE_TABLE if _SERVED_WITH.search(before) else None
