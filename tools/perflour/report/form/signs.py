"""Text as it is set in print: fractions, ranges and sizes with their own signs."""

from __future__ import annotations

import re

from perflour.cookbook.english import plural

WORD_JOINER = "\u2060"
_FRACTIONS = {"1/2": "½", "1/3": "⅓", "2/3": "⅔", "1/4": "¼", "3/4": "¾", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞"}  # fmt: skip
_FRACTION = re.compile(r"(?<![\d/.,])(?:(\d+)[ -])?([1-7]/[2348])(?![\d/])")
_NUMBER = r"\d+(?:[.,]\d+)?[½⅓⅔¼¾⅛⅜⅝⅞]?|[½⅓⅔¼¾⅛⅜⅝⅞]"
_RANGE = re.compile(rf"(?<![\w-])({_NUMBER})\s?-\s?({_NUMBER})(?![\w-])")
_SIZE = re.compile(rf"({_NUMBER}) x (?={_NUMBER})")
# Measures that are counted; tbsp, tsp and large stay as they are.
_MEASURES = "cup|pinch|dash|stick|can|jar|packet|bag|box|clove|slice|stalk|sheet|pint"
_COUNTED = re.compile(rf"((?:{_NUMBER})(?:–(?:{_NUMBER}))?) ({_MEASURES})\b")
_UNIT = r"(?=(?:mg|g|kg|oz|lb|ml|l|%|°C|°F|min|h|s|mm|cm|inch|cups?|tbsp|tsp|large|Tassen?|EL|TL|x)\b|[%°×])"


def typeset(text: str) -> str:
    """``1 1/2 tsp`` to ``1½ tsp``, ``12-14 min`` to ``12–14 min``, ``23 x 13`` to ``23 × 13``."""
    if "/" in text:
        text = _FRACTION.sub(_with_sign, text)
    if "-" in text:
        text = _RANGE.sub(r"\1–\2", text)
    return _SIZE.sub(r"\1 × ", text) if " x " in text else text


def measure(text: str) -> str:
    """A household measure: typeset, and in the plural from more than one on."""
    return _COUNTED.sub(_in_number, typeset(text))


def unbroken(text: str) -> str:
    """Text in which no line ends between a number and its unit, or within a range or a size."""
    text = re.sub(rf" (?<=[\d½⅓⅔¼¾⅛⅜⅝⅞] ){_UNIT}", "\u00a0", text)
    if "×" in text:
        text = re.sub(r" (?<=× )(?=\d)", "\u00a0", text)
    if "–" not in text:
        return text
    return re.sub(r"–(?<=[\d½⅓⅔¼¾⅛⅜⅝⅞]–)(?=[\d½⅓⅔¼¾⅛⅜⅝⅞])", f"–{WORD_JOINER}", text)


def _with_sign(match: re.Match[str]) -> str:
    sign = _FRACTIONS.get(match[2])
    return f"{match[1] or ''}{sign}" if sign else match[0]


def _in_number(match: re.Match[str]) -> str:
    number, noun = match[1], match[2]
    one = number in ("1", *_FRACTIONS.values())
    return f"{number} {noun if one else plural(noun)}"
