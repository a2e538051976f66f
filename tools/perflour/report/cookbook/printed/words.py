"""The words of a book that are ours, from one file a language: data/book_words/."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped

FOLDER = "book_words"
ENGLISH = "en"
#: There are words of these, each by its two letters.
LANGUAGES = (ENGLISH,)
_MEASURES = "measures"
_COUNTED = re.compile(r"(?:([\d–½⅓⅔¼¾⅛⅜⅝⅞]+) )?\b([a-z]+)\b")


@dataclass(frozen=True)
class Words:
    """By key, in one language; ``measures`` by the word of formula files, one and several."""

    language: str
    texts: Mapping[str, str]
    measures: Mapping[str, str]

    def __getitem__(self, key: str) -> str:
        return self.texts[key]

    def say(self, key: str, **values: object) -> str:
        """A text with values put in."""
        return self.texts[key].format_map(values)

    def measure(self, said: str) -> str:
        """A measure as formula files write it, its fractions set: ``2 cup plus 1 tbsp`` to ``2 cups plus 1 tbsp``."""
        return _COUNTED.sub(self._in_number, said)

    def _in_number(self, match: re.Match[str]) -> str:
        number, word = match[1] or "", match[2]
        one, _, several = self.measures.get(word, word).partition("|")
        is_one = number in ("", "1", *"½⅓⅔¼¾⅛⅜⅝⅞")
        named = one if is_one or not several else several
        return f"{number} {named}" if number else named


def book_words(language: str = ENGLISH) -> Words:
    """The words of one of LANGUAGES."""
    return Words(language, *shipped(f"{FOLDER}/{language}.yaml", _texts))


def _texts(content: bytes) -> tuple[dict[str, str], dict[str, str]]:
    texts: dict[str, Any] = dict(read_document(content, FOLDER).data)
    return texts, texts.pop(_MEASURES)
