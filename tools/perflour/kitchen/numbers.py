"""Numbers as people write them, kept exact: mixed, vulgar and decimal, ranges, a comma for the point."""

import re
from fractions import Fraction
from functools import lru_cache

MAX_NUMBER = 1_000_000
MAX_DIGITS = 15
#: How a house may write numbers: its ``numbers`` in house.yaml.
COMMA_GROUPS, POINT_GROUPS = "1,234.5", "1.234,5"

_VULGAR = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅐": "1/7", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅑": "1/9", "⅒": "1/10"}  # fmt: skip
# Digits of full width, raised and lowered ones, and spaces that group digits, to what they stand for.
_FULL_WIDTH = {0xFF10 + n: str(n) for n in range(10)}
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_LOWERED, _THIN_SPACES = frozenset("₀₁₂₃₄₅₆₇₈₉"), frozenset("\u2009\u202f")
# Most texts need none of these; re compiles a pattern when it is first used: docs/performance.md.
_RAISED_FRACTION = r"([⁰¹²³⁴-⁹]+)\s*[⁄/]\s*([₀-₉]+)"
_THIN_GROUP = r"(?<=[0-9])[\u2009\u202f](?=[0-9]{3}(?![0-9]))"
# mixed number, fraction, or decimal; digits are ASCII only. A sign beyond Latin-1 makes a set slow to compile.
NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+\.?)"
RANGE = re.compile(rf"({NUMBER})(?:\s*(?:-|–|—|‒|−|\b(?:to|or)\b)\s*({NUMBER}))?(?![0-9.,/']|’)\s*")
_MINUS = ("-", "−", "–")
_STARTS_NUMBER = frozenset("0123456789.½⅓⅔¼¾")
# A number with points, commas or apostrophes inside it.
_PUNCTUATED = r"(?<![0-9/.,'’])[0-9]+(?:[.,'’][0-9]+)+(?![0-9/])"
_MARKS = frozenset(".,'’")
_THOUSAND_LIKE = r"(?<![0-9.,])[1-9][0-9]{0,2}[.,][0-9]{3}(?![0-9.,])"
# Small units, in which three digits behind a point may be a thousand: nobody weighs 1.250 kg or to 0.001 g.
_SMALL_UNIT = r"(?i)(?<![A-Za-z])(?:g|gr|gm|grams?|grammes?|ml|millilit(?:er|re)s?)\b"


class AmountProblem(ValueError):
    """Text that is no amount. ``kind`` is unreadable, unknown-unit or upside-down."""

    def __init__(self, kind: str, message: str) -> None:
        super().__init__(message)
        self.kind = kind
        self.message = message


def plain_numbers(text: str) -> str:
    """Fractions in ASCII and single spaces, so that one grammar reads every spelling."""
    if not text.isascii():
        if not _LOWERED.isdisjoint(text):
            text = re.sub(
                _RAISED_FRACTION,
                lambda m: f" {m[1].translate(_RAISED)}/{m[2].translate(_RAISED)}",
                text,
            )
        text = text.translate(_FULL_WIDTH)
        if not _THIN_SPACES.isdisjoint(text):
            text = re.sub(_THIN_GROUP, "", text)
        for sign, ascii_fraction in _VULGAR.items():
            if sign in text:
                text = re.sub(rf"(?<=[0-9])\s*{sign}", f" {ascii_fraction}", text).replace(
                    sign, ascii_fraction
                )
        text = text.replace("⁄", "/")
    return " ".join(text.split())


def settled(text: str, style: str = "") -> str:
    """Text with a point for the decimals of every number and nothing between its thousands.

    A comma before one, two or four digits, or behind a nought, is a decimal comma. What ``style`` (how
    the house writes numbers) and the number itself leave open raises AmountProblem.
    """
    if _MARKS.isdisjoint(text) or _has_one_plain_point(text):
        return text
    return re.sub(_PUNCTUATED, lambda match: _settled(match, text, style), text)


def _has_one_plain_point(text: str) -> bool:
    """Whether its only mark is a point that no three digits follow, which nobody doubts."""
    before, _, behind = text.partition(".")
    three_digits = behind[:3].isdigit() and len(behind) > 2
    return not three_digits and _MARKS.isdisjoint(before) and _MARKS.isdisjoint(behind)


def settled_where_clear(text: str, style: str = "") -> str:
    """As ``settled``; a number that nothing settles stays as it is."""

    if _MARKS.isdisjoint(text):
        return text

    def clear(match: re.Match[str]) -> str:
        try:
            return _settled(match, text, style)
        except AmountProblem:
            return match[0]

    return re.sub(_PUNCTUATED, clear, text)


def unmistakable(text: str, style: str) -> str:
    """Plain numbers as a house reads them back: 1.125 with a nought more where three digits are thousands."""
    return re.sub(_THOUSAND_LIKE, r"\g<0>0", text) if style == POINT_GROUPS else text


def reads_two_ways(text: str) -> bool:
    """Whether a number stands in a text that houses read differently."""
    return ("." in text or "," in text) and re.search(_THOUSAND_LIKE, text) is not None


def _settled(match: re.Match[str], text: str, style: str) -> str:
    number = match[0].replace("’", "'")
    whole, *groups = re.split(r"[.,']", number)
    signs = re.sub(r"[0-9]", "", number)
    in_threes = len(whole) <= 3 and not whole.startswith("0")
    if len(signs) == 1 and signs != "'":
        if len(groups[0]) != 3 or not in_threes:
            return f"{whole}.{groups[0]}"
        return f"{whole}{_point(signs, style, match, text)}{groups[0]}"
    decimals = "" if len(set(signs)) == 1 or signs.count(signs[-1]) > 1 else groups.pop()
    if not in_threes or any(len(group) != 3 for group in groups) or len(set(signs)) > 2:
        return match[0]  # no number at all, which its reader says
    return "".join((whole, *groups)) + (f".{decimals}" if decimals else "")


def _point(sign: str, style: str, match: re.Match[str], text: str) -> str:
    """What stands before exactly three digits: a point, or nothing for thousands."""
    if style:
        return "" if (sign == ",") == (style == COMMA_GROUPS) else "."
    if sign == "." and not (match[0].endswith("0") and re.search(_SMALL_UNIT, text[match.end() :])):
        return "."
    whole, rest = re.split(r"[.,]", match[0])
    unit = text[match.end() :].strip()
    either, other = (
        f"{number} {unit}".strip() for number in (f"{whole}{rest}", _short(whole, rest))
    )
    raise AmountProblem(
        "unreadable",
        f"'{text}' is {either} or {other}; write which, or say in house.yaml how you write numbers (`numbers: \"{COMMA_GROUPS}\"`)",
    )


def _short(whole: str, decimals: str) -> str:
    return f"{whole}.{decimals}".rstrip("0").rstrip(".")


# Owner: the process. Bound: 512 numbers. Pays: kitchens use few numbers, and a fraction is dear to make:
# docs/performance.md.
@lru_cache(maxsize=512)
def number_of(text: str) -> Fraction:
    """A plain number of any spelling that NUMBER takes. Raises AmountProblem."""
    if sum(c.isdigit() for c in text) > MAX_DIGITS:
        raise AmountProblem(
            "unreadable", f"the number {text[:20]}… is beyond any kitchen; write a smaller one"
        )
    whole, _, fraction = text.replace("-", " ").rpartition(" ")
    try:
        number = (Fraction(whole) if whole else 0) + Fraction(fraction.rstrip("."))
    except ZeroDivisionError:
        raise AmountProblem("unreadable", f"'{text}' divides by zero; mend the fraction") from None
    if number > MAX_NUMBER:
        raise AmountProblem("unreadable", f"{text} is beyond any kitchen; write a smaller number")
    return number


def mixed(number: Fraction) -> str:
    """A number as spoons and cups are said: ``2``, ``3/4``, ``1 1/2``."""
    whole, rest = divmod(number, 1)
    return f"{whole} {rest}" if whole and rest else str(rest or whole)


def read_range(text: str) -> tuple[Fraction, Fraction, str]:
    """The leading number or range of ``text`` and what follows it."""
    if text[:1] in _MINUS and text[1:].lstrip()[:1] in _STARTS_NUMBER:
        raise AmountProblem("unreadable", f"'{text}' is negative; write an amount above zero")
    match = RANGE.match(text)
    if not match:
        raise AmountProblem(
            "unreadable",
            f"'{text}' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup`",
        )
    low = number_of(match[1])
    high = number_of(match[2]) if match[2] else low
    if high < low:
        raise AmountProblem(
            "upside-down", f"the range in '{text}' is upside down; write the smaller number first"
        )
    return low, high, text[match.end() :]


def right_way_up(text: str) -> str:
    """Text with the smaller number first in every range; as it is where a number cannot be read."""
    try:
        return RANGE.sub(_turned, plain_numbers(text))
    except AmountProblem:
        return text


def _turned(match: re.Match[str]) -> str:
    if not match[2] or number_of(match[1]) <= number_of(match[2]):
        return match[0]
    return f"{match[2]}-{match[1]}{match[0][match.end(2) - match.start() :]}"
