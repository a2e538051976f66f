"""An ingredient line to tokens for the grammar: what a word is depends on what stands around it.

"whole" is a size after a number and part of a name elsewhere; "can" is a container, "or" joins two
amounts or two names. So the tokens are sorted here, and the grammar needs no look-ahead beyond one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from perflour.kitchen.as_written import whose_in_front
from perflour.kitchen.numbers import plain_numbers
from perflour.kitchen.numerals import leading_figures
from perflour.kitchen.quantity import MOST_CUPS_BY_LETTER
from perflour.recipe.words import is_container, kitchen_unit, word_map, word_set
from perflour.tuples import of_fields

_NUMBER = (
    r"[0-9]+(?:-| ?& ?| and | )[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]{1,3}(?:,[0-9]{3})+(?![0-9,])"
    r"|[0-9]+,[0-9]{1,2}(?![0-9])|[0-9]*\.[0-9]+|[0-9]+"
)
_LEXEME = re.compile(
    r"(?P<word>(?:[0-9]+(?:[.,][0-9]+)? ?%|[0-9]+x\b|(?:no|nr)\.? ?[0-9]+\b|#[0-9]+\b|00(?=[ -][^\W\d_])|\bT ?[0-9]{2,4}\b(?! ?(?:g|kg|ml|l)\b)))"  # flours: 00, T45
    rf"|(?P<number>{_NUMBER})"
    r"|(?P<name>[^\W\d_]+(?:[-'’.][^\W_]+)*\.?)|(?P<sign>\S)",
    re.IGNORECASE,
)
_BULLET = re.compile(r"^\s*(?:[-*+•–—·▢☐□+]|\[ ?\])\s+")
_ABOUT = frozenset(
    ("about", "approximately", "approx.", "approx", "ca.", "ca", "around", "roughly", "nearly")
)
#: Words that join amounts, or stand before one.
_JOINING = _ABOUT | {"to", "or", "plus", "and", "of"}
MANNERS = frozenset(
    ("heaping", "heaped", "scant", "generous", "level", "rounded", "good", "full", "packed")
)
_MEASURES = frozenset(("mass", "volume", "pinch", "count", "container"))
DASHES = frozenset("-–—")
# "Butter, cold, cubed 200 g", "Pears, tinned, drained: 12 halves", "orange, zest only, 1"
_AMOUNT_LAST = re.compile(
    r"(?P<name>[^\W\d_][^0-9,:()]*)(?P<states>(?:(?:,| \()(?:[^0-9:]|[0-9]+ ?°? ?[CF]\b)*?)?)(?P<sign>[,:]?) ?(?<![^\s,:])(?P<amount>[0-9][0-9./]*(?:[-–][0-9./]+)?)"
    r" ?(?P<unit>[^\W\d_]*)\.?(?P<bracket> \([^()]*\))?"
)


class Lexeme(NamedTuple):
    """A word, number or sign; ``kind`` is the grammar's name for it, ``start``/``end`` count in the text."""

    kind: str
    text: str
    start: int
    end: int


def tidy(text: str) -> str:
    """A line with plain fractions, single spaces, without its bullet, number words at its start in figures."""
    plain = leading_figures(whose_in_front(plain_numbers(_BULLET.sub("", text))))
    return _amount_in_front(written_out(plain))


def written_out(text: str) -> str:
    """A line with the short forms of the trade written out: "bkg pwdr", "gran.", "w/"."""
    whole = word_map("short-forms")
    if not whole.keys() & {word.lower().strip(",;:()") for word in text.split()}:
        return text
    return " ".join(
        re.sub(r"[^,;:()]+", lambda word: whole.get(word[0].lower(), word[0]), word, count=1)
        for word in text.split(" ")
    )


def _amount_in_front(text: str) -> str:
    """A line with the amount in front that stands behind a name and its states; others as they are."""
    match = _AMOUNT_LAST.fullmatch(text)
    if match is None or not (match["states"] or match["sign"]):
        return text
    states, word, bracket = match["states"].rstrip(" ,"), match["unit"], match["bracket"] or ""
    if states and set(states.lower().split()) & _ABOUT:
        return text
    unit = kitchen_unit(word) if word else None
    if unit is None and word in word_set("pieces-of-fruit"):
        return f"{match['amount']} {match['name'].strip()} {word}{states}{bracket}"
    if (not match["sign"] and not word) or (word and (unit is None or unit.kind not in _MEASURES)):
        return text
    amount = f"{match['amount']} {word}".strip()
    return f"{amount}{bracket} {match['name'].strip()}{states}"


def lexemes(text: str) -> list[Lexeme]:
    """The sorted lexemes of a tidy line. Work grows with the length of the line."""
    raw = [
        of_fields(Lexeme, (match.lastgroup or "", match[0], *match.span()))
        for match in _LEXEME.finditer(text)
    ]
    return list(_Sorting(text, raw).sorted())


class _Sorting:
    """One pass over the lexemes with what was there before; a class because every rule asks for it."""

    def __init__(self, text: str, raw: list[Lexeme]) -> None:
        self.text = text
        self.raw = raw
        self.at = 0
        self.before = ""
        self.in_amount = True
        self.open = False
        self.counted_bracket = False

    def sorted(self) -> Iterator[Lexeme]:
        while self.at < len(self.raw):
            for lexeme in self._next():
                yield lexeme
                self.before = lexeme.kind
                if lexeme.kind in ("WORD", "SEP", "ALSO") and not self.open:
                    self.in_amount = False
        if self.open:
            yield Lexeme("RPAR", "", len(self.text), len(self.text))

    def _next(self) -> list[Lexeme]:
        lexeme = self.raw[self.at]
        if lexeme.kind == "number":
            return self._number(lexeme)
        self.at += 1
        if lexeme.kind == "sign":
            return [_as(self._sign(lexeme), lexeme)]
        return self._word(lexeme)

    def _number(self, lexeme: Lexeme) -> list[Lexeme]:
        """A number with the unit behind it; what measures no amount (3-inch, 110 F) is a word."""
        self.at += 1
        hyphen = self._text(0) in DASHES and self._adjacent() and self._kind(1) == "name"
        first = self.at + hyphen
        if self._text(first - self.at) == "°":
            self.at = min(first + 2, len(self.raw))
            return [self._joined("WORD", lexeme)]
        manner = self._text(first - self.at) in MANNERS
        unit, count = self._unit(first + manner, lexeme.text)
        if unit is None:
            return [_as("NUM", lexeme)]
        self.at = first + manner + count
        words = self.raw[first + manner : self.at]
        kind = "CONTAINER" if unit == "container" else "UNIT"
        if unit not in _MEASURES:
            return [self._joined("WORD", lexeme)]
        if unit == "count" and is_container(self._text(0)):
            kind = "QUALIFIER"  # "1 large can"
        measured = Lexeme(kind, " ".join(w.text for w in words), words[0].start, words[-1].end)
        return [
            _as("NUM", lexeme),
            *([_as("MANNER", self.raw[first])] if manner else []),
            measured,
        ]

    def _unit(self, at: int, number: str) -> tuple[str | None, int]:
        """The kind of the longest unit that starts at a lexeme, and its length; None for none."""
        words = [w.text for w in self.raw[at : at + 3]]
        if words[:1] == ["whole"] and words[1:2] in (["wheat"], ["milk"], ["grain"]):
            return None, 0
        if words[:1] and words[0].rstrip(".") in ("T", "t"):
            return "volume", 1  # refused where the amount is read: spoons are not guessed
        if words[:1] and words[0] in ("C", "C.") and _is_beyond(number, MOST_CUPS_BY_LETTER):
            return "temperature", 1
        for count in range(len(words), 0, -1):
            if unit := kitchen_unit(" ".join(words[:count])):
                return unit.kind, count
        return None, 0

    def _sign(self, lexeme: Lexeme) -> str:
        sign = lexeme.text
        if sign in "([" and not self.open:
            self.open, self.counted_bracket = True, self.before == "NUM"
            return "LPAR"
        if sign in ")]" and self.open:
            self.open = False
            return "RPAR"
        next_number = self._kind(0) == "number"
        if sign in DASHES and self.before == "NUM" and next_number:
            return "RANGE"
        if sign in "+&" and self.before == "UNIT" and next_number:
            return "PLUS"
        if sign == "/" and self.before in ("UNIT", "RPAR") and next_number:
            return "ALT"
        if not self.open and (sign in ",;:—" or (sign in DASHES and self._spaced(lexeme))):
            return "SEP"
        return "WORD"

    def _word(self, lexeme: Lexeme) -> list[Lexeme]:
        word = lexeme.text.lower()
        if word not in _JOINING:
            return self._in_amount(lexeme, word)
        next_number = self._kind(0) == "number"
        if word in ("to", "or") and self.before == "NUM" and next_number:
            return [_as("RANGE", lexeme)]
        if word in ("plus", "and") and self.before == "UNIT" and next_number:
            return [_as("PLUS", lexeme)]
        if word == "or" and self.before in ("UNIT", "NUM", "RPAR") and next_number:
            return [_as("ALT", lexeme)]
        if not self.open and (word == "plus" or (word in ("or", "and") and next_number)):
            return [_as("ALSO", lexeme)]
        if word == "of" and self.before in ("UNIT", "NUM", "CONTAINER", "RPAR"):
            return [_as("OF", lexeme)]
        if word in _ABOUT and next_number and self.before in ("", "LPAR", "SEP", "ALSO", "ALT"):
            return [_as("ABOUT", lexeme)]
        return self._in_amount(lexeme, word)

    def _in_amount(self, lexeme: Lexeme, word: str) -> list[Lexeme]:
        """Words that are no names where an amount is being said: pinch, No. 10, can."""
        if self.before in ("", "SEP", "LPAR") and word in word_set("alone"):
            one = Lexeme("NUM", "1", lexeme.start, lexeme.start)
            return [one, _as("UNIT", lexeme)]
        ends_amount = self.before in ("NUM", "UNIT", "QUALIFIER") or (
            self.before == "RPAR" and self.counted_bracket
        )
        if self.in_amount and ends_amount and not self.open:
            if is_container(word):
                return [_as("CONTAINER", lexeme)]
            if self.before == "NUM" and self._text(0) and is_container(self._text(0)):
                return [_as("QUALIFIER", lexeme)]
        return [_as("WORD", lexeme)]

    def _kind(self, ahead: int) -> str:
        at = self.at + ahead
        return self.raw[at].kind if at < len(self.raw) else ""

    def _text(self, ahead: int) -> str:
        at = self.at + ahead
        return self.raw[at].text.lower() if at < len(self.raw) else ""

    def _adjacent(self) -> bool:
        """Whether the sign at hand stands between two lexemes without spaces."""
        sign = self.raw[self.at]
        return not self.text[sign.end : sign.end + 1].isspace()

    def _spaced(self, lexeme: Lexeme) -> bool:
        around = self.text[lexeme.start - 1 : lexeme.start] + self.text[lexeme.end : lexeme.end + 1]
        return around.isspace()

    def _joined(self, kind: str, first: Lexeme) -> Lexeme:
        end = self.raw[self.at - 1].end
        return Lexeme(kind, self.text[first.start : end], first.start, end)


def _is_beyond(number: str, most: int) -> bool:
    return number.isdecimal() and int(number) > most


def _as(kind: str, lexeme: Lexeme) -> Lexeme:
    return of_fields(Lexeme, (kind, *lexeme[1:]))
