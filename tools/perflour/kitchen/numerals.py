"""Numbers in words to figures: `one and one-fourth`, `thirty-five`, `half a`, `a dozen`."""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from itertools import groupby

_ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")  # fmt: skip
_TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
_PARTS = {"half": 2, "halves": 2, "third": 3, "quarter": 4, "fourth": 4, "fifth": 5, "sixth": 6, "eighth": 8}  # fmt: skip
_VALUES = {
    **{word: number for number, word in enumerate(_ONES, 1)},
    **{word: 10 * number for number, word in enumerate(_TENS, 2)},
}
#: Words for whole numbers, and for parts of one.
NUMBER_WORDS, PART_WORDS = frozenset(_VALUES), frozenset(_PARTS)
_ONE = "|".join(sorted(_ONES, key=len, reverse=True))
_TEN = "|".join(_TENS)
_PART = "|".join(sorted(_PARTS, key=len, reverse=True))
_WHOLE = rf"(?:{_TEN})(?:[- ](?:{_ONE}))?|{_ONE}"
_FRACTION = rf"(?:(?P<top>{_ONE}|an?)[- ])?(?P<part>{_PART})s?\b(?:\s+an?\b|\s+of\s+an?\b)?"
_WORDS = (*_ONES, *_TENS, *_PARTS, "dozen")
#: Where none of these stands, no number is said in words: six for sixth and sixteen, too.
_SIGNS = sorted(word for word in _WORDS if not any(o in word for o in _WORDS if o != word))
_SIGN = re.compile("|".join(f"{first}(?:{'|'.join(word[1:] for word in of)})" for first, of in groupby(_SIGNS, key=lambda word: word[0])))  # fmt: skip
_OTHER_LETTERS = str.maketrans("İıſ", "iis")
_MAY_SAY = re.compile("[0-9]")
#: How every number in words begins: most words of a text are passed by this.
_BEGINS = rf"(?=[{''.join(sorted({word[0] for word in (*_WORDS, 'a')}))}0-9])(?=[0-9]|an?\b|{'|'.join(sorted({word[:3] for word in _WORDS}))})"
_NUMERAL = re.compile(
    rf"\b{_BEGINS}(?:(?P<dozens>(?:an?|{_ONE}|half a|[0-9]{{1,4}})\s+)?(?P<dozen>dozen)"
    rf"|(?P<whole>{_WHOLE})\s+and\s+(?:an?\s+)?(?P<more>(?:{_ONE}|an?)?[- ]?(?:{_PART})s?)"
    rf"|{_FRACTION}|(?P<plain>{_WHOLE}))\b",
    re.IGNORECASE,
)
_ANY = (
    rf"(?:{_WHOLE})\s+and\s+(?:an?\s+)?(?:(?:{_ONE}|an?)[- ])?(?:{_PART})s?"
    rf"|(?:(?:{_ONE}|an?)[- ])?(?:{_PART})s?\b(?:\s+an?\b|\s+of\s+an?\b)?|{_WHOLE}"
)
_MORE = re.compile(rf"(?:(?P<top>{_ONE}|an?)[- ])?(?P<part>{_PART})s?", re.IGNORECASE)


def in_figures(text: str) -> str:
    """Text with its number words as figures: `one and one-fourth hours` as `1 1/4 hours`."""
    return _NUMERAL.sub(_figure, text) if may_say_words(text) else text


def may_say_numbers(text: str) -> bool:
    """Whether a number may stand in a text; most texts have none, which is seen before they are searched."""
    return not text.isascii() or _MAY_SAY.search(text) is not None or may_say_words(text)


def may_say_words(text: str) -> bool:
    """Whether a number may stand in a text in words."""
    return _SIGN.search(in_small(text)) is not None


def figures_before(text: str, units: str) -> str:
    """Text with number words as figures only in front of what a regular expression matches.

    "thirty to thirty-five minutes" changes, "one at a time" stays.
    """
    if not may_say_words(text):
        return text
    return _before(units).sub(lambda match: in_figures(match[0]), text)


# Owner: the process. Bound: 8 kinds of measures. Pays: its text is long, and to put it together takes as long as to
# search a sentence: docs/performance.md.
@lru_cache(maxsize=8)
def _before(units: str) -> re.Pattern[str]:
    return re.compile(
        rf"\b{_BEGINS}(?:{_ANY})(?:\s*(?:\bto\b|\bor\b|-|–)\s*(?:{_ANY}))?(?=\s+(?:{units}))", re.I
    )


def leading_figures(text: str) -> str:
    """Text with a number word at its very start as a figure; `a` and `an` count one."""
    match = _NUMERAL.match(text) if may_say_words(text) else None
    if match and "half-and-half" not in text.lower() and "half and half" not in text.lower():
        return _figure(match) + text[match.end() :]
    if text[:1] not in ("a", "A"):
        return text
    return re.sub(r"^an?\s+(?!little\b|few\b|good\b)", "1 ", text, flags=re.IGNORECASE)


def _figure(match: re.Match[str]) -> str:
    if match["dozen"]:
        count = in_small(match["dozens"] or "one").strip()
        number = (
            Fraction(1, 2)
            if count == "half a"
            else Fraction(int(count) if count.isdecimal() else _whole(count))
        )
        return str(number * 12)
    if match["whole"]:
        return f"{_whole(match['whole'])} {_fraction(match['more'].strip(' -'))}"
    if match["plain"]:
        return str(_whole(match["plain"]))
    return _fraction(f"{match['top'] or 'one'} {match['part']}")


def in_small(text: str) -> str:
    """In the small letters of our words, those too that a pattern takes for theirs: THİRD, ſix."""
    return text.lower() if text.isascii() else text.translate(_OTHER_LETTERS).lower()


def _whole(text: str) -> int:
    """`thirty-five` to 35; `a` is one."""
    return sum(_VALUES.get(word, 1) for word in re.split(r"[- ]", in_small(text)))


def _fraction(text: str) -> str:
    """`three fourths` to 3/4."""
    match = _MORE.fullmatch(text)
    top = _whole(match["top"] or "one") if match else 1
    return f"{top}/{_PARTS[in_small(match['part'])] if match else 1}"
