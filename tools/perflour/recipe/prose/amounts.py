"""Amounts inside running text, token by token: numbers and words for them, their unit, "a knob of"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import NUMBER_WORDS, PART_WORDS
from perflour.recipe.lexemes import DASHES
from perflour.recipe.lexemes import MANNERS as FILLED
from perflour.recipe.names import is_state
from perflour.recipe.words import is_old_measure, kitchen_unit, word_map
from perflour.tuples import of_fields

_TOKEN = re.compile(
    r"(?<![\w.,/])\.[0-9]+|[0-9]+/[0-9]+|[0-9]+(?:[.,][0-9]+)?(?:[¼½¾⅓⅔⅛⅜⅝⅞])?|[¼½¾⅓⅔⅛⅜⅝⅞]|[^\W\d_]+(?:['’-][^\W\d_]+)*\.?|\S"
)
_VULGAR = frozenset("¼½¾⅓⅔⅛⅜⅝⅞")
#: How a measure is filled, or how large a piece is.
MANNERS = FILLED | {"large", "small", "big", "whole", "extra", "medium"}
VAGUE = frozenset(("knob", "splash", "handful", "drizzle", "glug", "squeeze", "dusting", "dash", "pinch", "sprinkling", "sprinkle", "lump", "grating", "scraping", "few drops", "little", "bit", "touch"))  # fmt: skip
_ARTICLES = frozenset(("a", "an", "another"))
#: Every word that a number or an amount may start with, but for those with a hyphen.
_STARTS = _ARTICLES | NUMBER_WORDS | PART_WORDS | {"dozen", "couple", "some", "good", "small", "large", "generous", "big", "very", "wee", "pinch", "dash", "little"}  # fmt: skip
_KINDS_OF_FOOD = frozenset(("mass", "volume", "pinch", "count", "container"))


class Token(NamedTuple):
    """A word, number or sign of a text; ``low`` in lower case, a short form written out, without a point."""

    text: str
    start: int
    end: int
    low: str


def tokens_of(text: str) -> list[Token]:
    """The tokens of a text."""
    whole = word_map("short-forms")
    return [
        of_fields(Token, (said, *m.span(), whole.get(low, low).rstrip(".")))
        for m in _TOKEN.finditer(text)
        if (low := (said := m[0]).lower())
    ]


def starts_in(lows: Iterable[str]) -> dict[int, None]:
    """Where numbers and amounts may start, in order; nothing else is read as one."""
    return {
        at: None
        for at, low in enumerate(lows)
        if low in _STARTS or "-" in low or low[:1].isdigit() or low[:1] in _VULGAR
    }


class AmountScan:
    """Reads an amount from a place on; a class because every step asks the same tokens."""

    def __init__(self, text: str, tokens: Sequence[Token], catalogue: Catalogue) -> None:
        self.text = text
        self.tokens = tokens
        self.catalogue = catalogue
        self._lows = [token.low for token in tokens]
        self._words = frozenset(self._lows)
        #: Where an amount may start; elsewhere, as at most words, nobody has to look for one.
        self._starts = starts_in(self._lows)
        self._amounts: dict[int, tuple[int, bool] | None] = {}
        self._numbers: dict[int, int | None] = {}
        self._last_amount: int | None = None

    def _low(self, at: int) -> str:
        return self._lows[at] if 0 <= at < len(self._lows) else ""

    def _closing(self, at: int) -> int | None:
        return next((n for n in range(at, min(at + 12, len(self.tokens))) if self._low(n) == ")"), None)  # fmt: skip

    def _amount(self, at: int) -> tuple[int, bool] | None:
        """Behind an amount with its unit, and whether it is measured; None where there is none.

        Read once: every manner of saying a food asks for it.
        """
        if at not in self._starts:
            return None
        if at not in self._amounts:
            self._amounts[at] = self._amount_from(at)
        return self._amounts[at]

    def starts_amount(self, at: int) -> bool:
        """Whether a number or an amount starts at a token."""
        if at not in self._starts:
            return False
        return self._one_number(at) is not None or self._amount(at) is not None

    def _amount_behind(self, at: int) -> bool:
        """Whether an amount starts anywhere behind a token: in most lists none does, past the front of a line."""
        if self._last_amount is None:
            places = reversed(self._starts)
            self._last_amount = next((n for n in places if self._amount(n) is not None), -1)
        return at < self._last_amount

    def _amount_from(self, at: int) -> tuple[int, bool] | None:
        behind = self._number(at)
        if behind is None:
            return self._vague(at)
        if self._low(behind) == "of" and self._low(behind + 1) in ("a", "an") and self._unit(behind + 2):  # fmt: skip
            behind += 2
        elif self._low(behind) in ("a", "an") and (
            self._unit(behind + 1) or self._is_measure(behind + 1)
        ):
            behind += 1
        while self._low(behind) in MANNERS and not self._unit(behind):
            behind += 1
        unit = self._unit(behind)
        if unit is None and (size := self._number(behind)) is not None:
            measure = self._unit(size)
            tin = self._unit_word(size + measure[1]) if measure else None
            if measure and measure[0] in ("mass", "volume") and tin == "container":
                return size + measure[1] + 1, True  # "one 440 g tin"
        if unit is None and self._is_measure(behind):
            return behind + 1, True  # "a wineglass of brandy"
        if unit is None:
            return behind, False
        kind, length = unit
        if kind not in _KINDS_OF_FOOD:
            return None
        is_measured = kind != "count"
        behind += length
        if self._low(behind) == "or" and self._low(behind + 1) in ("so", "thereabouts", "two"):
            behind += 2
        if self._low(behind) == "and" and self._low(behind + 1) in ("a", "one") and self._is_part(behind + 2):  # fmt: skip
            behind += 3  # "a stick and a half of butter"
        more = behind + 1 if self._low(behind) in ("plus", "and", "+", "&") else behind
        if more != behind or self._is_digit(behind):
            again = self._number(more)
            if again is not None:
                while self._low(again) in (*MANNERS, "a"):
                    again += 1
                second = self._unit(again)
                if second and second[0] in ("mass", "volume", "pinch"):
                    behind = again + second[1]
        if self._low(behind) == "to" and (again := self._number(behind + 1)) is not None:
            again += 2 if self._low(again) == "of" and self._low(again + 1) == "a" else 0
            if (second := self._unit(again)) and second[0] == kind:
                behind = again + second[1]
        if self._low(behind) == "/" or (self._low(behind) == "or" and self._is_digit(behind + 1)):
            again = self._number(behind + 1)
            second = self._unit(again) if again is not None else None
            if again is not None and second and second[0] in _KINDS_OF_FOOD:
                behind = again + second[1]
        return behind, is_measured

    def _vague(self, at: int) -> tuple[int, bool] | None:
        """ "A knob of butter", "a little milk", "some salt"."""
        first = at + 1 if self._low(at) in ("a", "some", "good", "small", "large") else at
        while self._low(first) in ("good", "small", "large", "generous", "big", "very", "wee"):
            first += 1
        if self._low(first) in VAGUE and (
            first > at or self._low(first) in ("pinch", "dash", "little")
        ):
            return first + 1, False
        return (at + 1, False) if self._low(at) == "some" else None

    def _is_digit(self, at: int) -> bool:
        word = self._low(at)
        return bool(word) and (word[0].isdigit() or word[0] in _VULGAR)

    def _number(self, at: int) -> int | None:
        """Behind a number, a range or number words; None where none starts."""
        behind = self._one_number(at)
        if behind is None:
            return None
        if self._low(behind) in (*DASHES, "to", "or") and (again := self._one_number(behind + 1)):
            return again
        return behind

    def _one_number(self, at: int) -> int | None:
        """Behind one number; None where none starts. Read once, as amounts are."""
        if at not in self._starts:
            return None
        if at not in self._numbers:
            self._numbers[at] = self._one_number_from(at)
        return self._numbers[at]

    def _one_number_from(self, at: int) -> int | None:
        low = self._low(at)
        if self._is_digit(at):
            behind = at + 1
            if self._is_digit(behind) and "/" in self._low(behind):
                behind += 1
            elif low.isdecimal() and self._low(behind) == "-" and "/" in self._low(behind + 1):
                behind += 2
            elif (
                low.isdecimal()
                and self._low(behind) == "and"
                and ("/" in self._low(behind + 1) or self._low(behind + 1) in ("a", "half"))
            ):
                ahead = behind + 1 + (self._low(behind + 1) == "a")
                if "/" in self._low(behind + 1) or self._is_part(ahead):
                    behind = ahead + 1
            if self._is_part(behind):
                behind += 1
            return behind
        at_word = at + 1 if low in _ARTICLES else at
        word = self._low(at_word)
        whole = word.rsplit("-", 1)[-1].rstrip("s") if "-" in word else word
        whole = word.split("-")[0] if "-" in word and whole not in PART_WORDS else whole
        if low in _ARTICLES and word not in PART_WORDS and word not in ("dozen", "couple"):
            first = at + 1
            while self._low(first) in MANNERS:
                first += 1
            return at + 1 if self._is_measure(first) or self._unit(at + 1) or self._unit(first) or self._is_piece(at + 1) else None  # fmt: skip
        if word == "dozen" or whole in NUMBER_WORDS or whole in PART_WORDS or word == "couple":
            behind = at_word + 1
            if word == "couple" and self._low(behind) == "of":
                behind += 1
            if self._low(behind) == "dozen":
                behind += 1
            if self._is_part(behind):
                behind += 1
            if self._low(behind) == "and":
                ahead = behind + 1 + (self._low(behind + 1) in ("a", "an", "one", "three"))
                ahead = behind + 1 if self._is_part(behind + 1) else ahead
                if self._is_part(ahead):
                    behind = ahead + 1
            return behind
        return None

    def _is_part(self, at: int) -> bool:
        """Whether a word is a part of one: half, quarter, three-fourths."""
        return self._low(at).rsplit("-", 1)[-1].rstrip("s") in PART_WORDS

    def _is_measure(self, at: int) -> bool:
        """Whether a word is a measure that no unit is: an old one, or any before "of" and a known food."""
        return self._low(at + 1) == "of" and (is_old_measure(self._low(at)) or self._is_known_food(at + 2))  # fmt: skip

    def _is_known_food(self, at: int) -> bool:
        """Whether a food of one to three words starts here that the catalogue knows."""
        words = [self._low(at + n) for n in range(3)]
        return any(self.catalogue.named(" ".join(words[:n])) for n in (3, 2, 1) if all(words[:n]))

    def _is_piece(self, at: int) -> bool:
        """Whether a word is a food that is counted, as in "an egg", "a large ripe banana"."""
        while self._low(at) in MANNERS or is_state(self._low(at)):
            at += 1
        known = self.catalogue.find(self._low(at)) if self._low(at) else None
        return known is not None and known.group in ("egg", "fruit", "vegetable", "flavouring")

    def _unit_word(self, at: int) -> str:
        unit = kitchen_unit(self._low(at)) if self._low(at) else None
        return unit.kind if unit else ""

    def _unit(self, at: int) -> tuple[str, int] | None:
        if at < len(self.tokens) and self.tokens[at].text.rstrip(".") in ("T", "t"):
            return "volume", 1  # a spoon; which of the two is asked where the line is read
        for length in (2, 1):
            words = [self.tokens[n].text for n in range(at, min(at + length, len(self.tokens)))]
            if len(words) == length and (unit := kitchen_unit(" ".join(words).rstrip("."))):
                if words[0].lower() in ("c", "f") and words[0].isupper() and self._low(at - 1).isdecimal() and int(self._low(at - 1)) > 20:  # fmt: skip
                    return "temperature", length
                if unit.kind == "container" and not self._holds(at + length):
                    continue
                return unit.kind, length
        return None

    def _holds(self, at: int) -> bool:
        """Whether what a can holds follows: "a can of peaches", "1 can crushed pineapple"."""
        low = self._low(at)
        return low in ("of", "(", ",") or self._is_known_food(at) or (is_state(low) and self._is_known_food(at + 1))  # fmt: skip
