"""The words of a book that are ours, from one file a language: data/book_words/."""

import re
from collections.abc import Mapping
from typing import Any

from perflour.documents.reader import read_document
from perflour.documents.shipped import shipped
from perflour.kitchen.language import ENGLISH, figures_of

FOLDER = "book_words"
_MEASURES = "measures"
# A number, and the words up to the next one.
_COUNTED = re.compile(r"(?:([\d–½⅓⅔¼¾⅛⅜⅝⅞]+) )?\b([A-Za-z]+(?: [A-Za-z]+)*)\b")


class Words:
    """By key, in one language; ``measures`` by the word of formula files, one and several."""

    def __init__(
        self, language: str, texts: Mapping[str, str], measures: Mapping[str, str]
    ) -> None:
        self.language, self.texts, self.measures = language, texts, measures

    def __getitem__(self, key: str) -> str:
        return self.texts[key]

    def say(self, key: str, **values: object) -> str:
        """A text with values put in."""
        return self.texts[key].format_map(values)

    def figures(self, text: str) -> str:
        """A text with its numbers in the signs of the language."""
        return figures_of(self.language)(text)

    def measure(self, said: str) -> str:
        """A measure as formula files write it, its fractions set: ``2 cup plus 1 tbsp`` to ``2 cups plus 1 tbsp``."""
        return self.figures(_COUNTED.sub(self._in_number, said))

    def _in_number(self, match: re.Match[str]) -> str:
        number = match[1] or ""
        is_one = number in ("", "1", *"½⅓⅔¼¾⅛⅜⅝⅞")
        named = (self._named(word, is_one) for word in match[2].split())
        return " ".join(filter(None, (number, *named)))

    def _named(self, word: str, is_one: bool) -> str:
        one, _, several = self.measures.get(word, word).partition("|")
        return one if is_one or not several else several


def book_words(language: str = ENGLISH) -> Words:
    """The words of one of LANGUAGES."""
    return Words(language, *shipped(f"{FOLDER}/{language}.yaml", _texts))


def _texts(content: bytes) -> tuple[dict[str, str], dict[str, str]]:
    texts: dict[str, Any] = dict(read_document(content, FOLDER).data)
    return texts, texts.pop(_MEASURES)
