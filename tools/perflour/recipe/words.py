"""The kitchen words of data/recipe_words.yaml, and text split into words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped
from perflour.formula.verbs import oven_phrases
from perflour.kitchen.units import Unit, find_unit, unit_named

WORDS = "recipe_words.yaml"
#: A word with the hyphens, points and apostrophes inside it.
WORD = re.compile(r"[^\W_]+(?:[-'’.][^\W_]+)*")


class Phrases:
    """Phrases of several words that are looked up from their first word, longest first."""

    def __init__(self, phrases: Iterable[str]) -> None:
        self._by_first: dict[str, list[tuple[str, ...]]] = {}
        for phrase in sorted({tuple(p.lower().split()) for p in phrases}, key=len, reverse=True):
            self._by_first.setdefault(phrase[0], []).append(phrase)
        self._firsts = frozenset(self._by_first)

    def firsts(self) -> frozenset[str]:
        """The words that phrases start with."""
        return self._firsts

    def at(self, words: Sequence[str], start: int = 0) -> int:
        """How many of the folded words from ``start`` on are a phrase; 0 for none."""
        for phrase in self._by_first.get(words[start], ()) if start < len(words) else ():
            if tuple(words[start : start + len(phrase)]) == phrase:
                return len(phrase)
        return 0


class _Words(NamedTuple):
    """The lists of the file as sets and as phrases, and its tables, by their keys; all in lower case."""

    sets: dict[str, frozenset[str]]
    phrases: dict[str, Phrases]
    maps: dict[str, dict[str, Any]]


def _words(content: bytes) -> _Words:
    data = read_document(content, WORDS).data
    sets = {key: frozenset(map(str.lower, words)) for key, words in data.items() if _is_list(words)}
    sets["vessels"] |= sets["baking-tins"]
    # what heats an oven is said once, in perflour.formula.verbs
    more = {"verbs": frozenset(oven_phrases())}
    phrases = {key: Phrases(words | more.get(key, frozenset())) for key, words in sets.items()}
    maps = {
        key: {word.lower(): value for word, value in table.items()}
        for key, table in data.items()
        if not _is_list(table)
    }
    return _Words(sets, phrases, maps)


def _is_list(words: object) -> bool:
    return isinstance(words, list)


# Owner: the process, whose own file does not change. Bound: its keys. Pays: one is asked for every few words.
@lru_cache(maxsize=256)
def word_set(key: str) -> frozenset[str]:
    """The words or phrases of a list, in lower case."""
    return shipped(WORDS, _words).sets[key]


def any_of(key: str) -> str:
    """The pattern of any word of a list, the longest first."""
    return f"(?:{'|'.join(sorted(word_set(key), key=len, reverse=True))})"


# Owner: the process, whose own file does not change. Bound: its keys. Pays: one is asked for every few words.
@lru_cache(maxsize=256)
def word_map(key: str) -> dict[str, Any]:
    """A table of the file, its keys in lower case."""
    return shipped(WORDS, _words).maps[key]


# Owner: the process, whose own file does not change. Bound: its keys. Pays: one is asked for every few words.
@lru_cache(maxsize=256)
def phrases(key: str) -> Phrases:
    """The phrases of a list, to be looked for in a row of words."""
    return shipped(WORDS, _words).phrases[key]


def kitchen_unit(word: str) -> Unit | None:
    """The unit of a word beside an amount; a lone C is a cup there."""
    if word in ("C", "C."):
        return unit_named("cup")
    return find_unit(word) or (find_unit(word.replace("-", "")) if "-" in word else None)


def is_old_measure(word: str) -> bool:
    """Whether a word is a vessel that held a measure once: a wineglass, a teacupful."""
    bare = word.lower().replace("-", "").removesuffix("s").removesuffix("ful")
    return any(bare.endswith(vessel) for vessel in word_set("old-measures"))


def is_short_form(word: str) -> bool:
    """Whether a word with its point is a short form of the trade or of a unit: "choc.", "tbsp."."""
    low = word.lower()
    return low in word_map("short-forms") or (low.endswith(".") and kitchen_unit(low) is not None)


def is_container(word: str) -> bool:
    """Whether a word beside an amount is a can, jar, packet."""
    unit = kitchen_unit(word)
    return unit is not None and unit.kind == "container"
