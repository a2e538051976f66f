"""Whether every number of a recipe stands in the formula made of it, and where one does not.

Numbers are compared by value: "one and a half cups" is 1.5 wherever it went, "5 dozen" is 60. A number counts as kept in any
field of the formula, notes too; times, temperatures and amounts that only a note holds are told where
steps are read.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from fractions import Fraction
from functools import lru_cache
from itertools import chain
from typing import NamedTuple

from perflour.kitchen.numbers import AmountProblem, number_of, plain_numbers, settled_where_clear
from perflour.kitchen.numerals import figures_before, in_figures, may_say_numbers
from perflour.recipe.method.sentences import sentences
from perflour.recipe.of_the_whole import without_own_cautions
from perflour.recipe.recipe_text import RecipeText
from perflour.result import Place

#: Words for numbers count where a measure stands behind them: "one at a time" is no number to keep.
_MEASURED = r"(?:cups?|tsp|teaspoons?|teaspoonfuls?|tbsp|tablespoons?|tablespoonfuls?|ounces?|oz|pounds?|lb|grams?|g|kg|ml|litres?|pints?|quarts?|sticks?|pinch(?:es)?|minutes?|mins?|hours?|hrs?|degrees|inch(?:es)?|cm|eggs?|dozen)\b"
_DOZENS = re.compile(r"\b(?:[0-9]+|half a|an?|[a-z]+) dozens?\b", re.IGNORECASE)
_NUMERAL = re.compile(r"(?<![\w.,/])[0-9]+ [0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+")


# Owner: the process; texts and the numbers in them. Bound: 1,024. Pays: names, amounts and verbs of steps are asked for
# by every recipe, and most of them have none.
@lru_cache(maxsize=1024)
def numerals(text: str) -> tuple[Fraction | int, ...]:
    """Every number of a text, in order."""
    if not may_say_numbers(text):
        return ()
    return tuple(_values(in_figures_throughout(text)))


def _values(figures: str) -> Iterator[Fraction | int]:
    for number in _NUMERAL.findall(figures):
        if number.isdecimal():
            yield int(number)
            continue
        try:
            yield number_of(number)
        except (AmountProblem, ZeroDivisionError):
            continue


def in_figures_throughout(text: str) -> str:
    """A text with fractions in ASCII, and words for numbers in front of measures in figures."""
    if "dozen" in text.lower():
        text = _DOZENS.sub(lambda dozens: in_figures(dozens[0]), text)
    plain = settled_where_clear(plain_numbers(text))
    if "-" in plain and "/" in plain:
        plain = re.sub(r"(?<=[0-9])-(?=[0-9]+/[0-9])", " ", plain)
    return figures_before(plain, _MEASURED)


class Lost(NamedTuple):
    """A number that stands in no field, where it stands in the source, and its line or sentence."""

    number: str
    place: Place
    text: str


def lost_numbers(recipe: RecipeText, kept: Iterable[str]) -> Iterator[Lost]:
    """The numbers of a recipe that none of the texts ``kept`` of it holds."""
    left = _Kept(kept)
    lines = [line for part in recipe.part_lines for line in part.lines]
    top = Place(lines[0].place.path if lines else "", 1)
    notes = without_own_cautions(" ".join(recipe.notes))
    titled = recipe.title_place or top
    for text, place in ((recipe.title, titled), (recipe.citation, top), (notes, top)):
        yield from (Lost(number, place, text) for number in left.lost(text))
    for line in (*([recipe.yields] if recipe.yields else ()), *lines):
        yield from (Lost(number, line.place, line.text) for number in left.lost(line.text))
    for paragraph in recipe.method:
        for start, sentence in sentences(paragraph.text):
            for number in left.lost(sentence):
                offset = start + max(sentence.find(number), 0)
                yield Lost(number, paragraph.place(offset), sentence)


class _Kept:
    """The numbers that a formula holds, counted; a class because each may stand for one only."""

    def __init__(self, texts: Iterable[str]) -> None:
        self._left = Counter(chain.from_iterable(map(numerals, texts)))

    def lost(self, text: str) -> list[str]:
        """The numbers of a source text that are not kept, as it says them."""
        gone: list[str] = []
        for value in numerals(text):
            if self._left[value] > 0:
                self._left[value] -= 1
            else:
                gone.append(_shown(value))
        return gone


def _shown(value: Fraction | int) -> str:
    whole, rest = divmod(value, 1)
    if not rest:
        return str(whole)
    return f"{whole} {rest}" if whole else str(rest)
