"""The kitchen words of data/recipe_words.yaml, and text split into words."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from functools import cache
from typing import Any

from perflour.documents.reader import read_document
from perflour.formula.verbs import oven_phrases
from perflour.kitchen.units import Unit, find_unit

WORDS = os.path.join(os.path.dirname(os.path.dirname(__file__)), "data", "recipe_words.yaml")
#: A word with the hyphens, points and apostrophes inside it.
WORD = re.compile(r"[^\W_]+(?:[-'’.][^\W_]+)*")


@cache
def _data() -> dict[str, Any]:
    with open(WORDS, "rb") as file:
        data: dict[str, Any] = read_document(file.read(), os.path.basename(WORDS)).data
    return data


@cache
def word_set(key: str) -> frozenset[str]:
    """The words or phrases of a list, in lower case."""
    return frozenset(word.lower() for word in _data()[key])


@cache
def word_map(key: str) -> dict[str, Any]:
    """A table of the file, its keys in lower case."""
    return {word.lower(): value for word, value in _data()[key].items()}


class Phrases:
    """Phrases of several words that are looked up from their first word, longest first."""

    def __init__(self, phrases: Iterable[str]) -> None:
        self._by_first: dict[str, list[tuple[str, ...]]] = {}
        for phrase in sorted({tuple(p.lower().split()) for p in phrases}, key=len, reverse=True):
            self._by_first.setdefault(phrase[0], []).append(phrase)

    def at(self, words: Sequence[str], start: int = 0) -> int:
        """How many of the folded words from ``start`` on are a phrase; 0 for none."""
        for phrase in self._by_first.get(words[start], ()) if start < len(words) else ():
            if tuple(words[start : start + len(phrase)]) == phrase:
                return len(phrase)
        return 0


@cache
def phrases(key: str) -> Phrases:
    """The phrases of a list, to be looked for in a row of words."""
    return Phrases(word_set(key) | {*oven_phrases()} if key == "verbs" else word_set(key))


def kitchen_unit(word: str) -> Unit | None:
    """The unit of a word beside an amount, in the spellings of recipes too."""
    plain = word.rstrip(".")
    spelled = word_map("unit-spellings").get(plain.lower())
    return find_unit(spelled) if spelled else find_unit(plain)


def is_container(word: str) -> bool:
    """Whether a word beside an amount is a can, jar, packet."""
    unit = kitchen_unit(word)
    return unit is not None and unit.kind == "container"
