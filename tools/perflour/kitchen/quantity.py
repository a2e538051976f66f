"""Amounts, times and temperatures as a baker writes them, kept exact as fractions.

The numbers are parsed here and only known unit names are looked up: a general unit parser reads
"1 1/2 cup" as half a cup, "350 F" as farad and "3 pinch" as pico-inches without a word.
"""

import re
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from perflour.kitchen.units import Unit, celsius, fahrenheit, find_unit

MAX_NUMBER = 1_000_000
MAX_DIGITS = 15
# From here on a temperature is an oven's; below it that of a dough, a core, a syrup. Printed tables begin
# at a very slow oven of 250 °F (121 °C), a crumb never passes 100 °C, and syrup for icings and meringues is
# boiled to 112 to 118 °C, where each degree counts. Ovens that only dry (90 to 110 °C) fall below it and are
# read to a degree too. Common practice, no source.
OVEN_FROM_CELSIUS = 120.0
# Words that take a portion, by what they take. Figures take one too: `1/3`, `40 %`, `60 g`.
ALL, HALF, REST, SOME, FIGURES = "all", "half", "rest", "some", "figures"
PORTION_WORDS = {
    "all": ALL,
    "half": HALF,
    "rest": REST,
    "remaining": REST,
    "other": REST,
    "part": SOME,
    "some": SOME,
}
# What a word takes of the whole, where that is known.
SHARES = {ALL: Fraction(1), HALF: Fraction(1, 2)}

_VULGAR = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}  # fmt: skip
# mixed number, fraction, or decimal; digits are ASCII only
_NUMBER = r"(?:[0-9]+[ -][0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*\.[0-9]+|[0-9]+\.?)"
_RANGE = re.compile(rf"({_NUMBER})(?:\s*(?:-|–|\bto\b)\s*({_NUMBER}))?(?![0-9.,/])\s*")
_MINUS = ("-", "−", "–")
_STARTS_NUMBER = frozenset("0123456789.½⅓⅔¼¾")


class AmountProblem(ValueError):
    """Text that is no amount. ``kind`` is unreadable, unknown-unit or upside-down."""

    def __init__(self, kind: str, message: str) -> None:
        super().__init__(message)
        self.kind = kind
        self.message = message


class Term(NamedTuple):
    """A number or range of one unit; ``low == high`` for a plain number."""

    low: Fraction
    high: Fraction
    unit: Unit

    @property
    def mean(self) -> Fraction:
        return (self.low + self.high) / 2

    @property
    def is_range(self) -> bool:
        return self.low != self.high


class Amount(NamedTuple):
    """What is measured: terms that add up, or containers of a stated content.

    ``content`` and ``drained`` are the masses stated for one container ("1 can 425 g drained
    250 g").
    """

    text: str
    terms: tuple[Term, ...]
    content: Term | None = None
    drained: Term | None = None

    def __hash__(self) -> int:
        return hash(self.text)  # the rest is read from it

    @property
    def kinds(self) -> frozenset[str]:
        return frozenset([term.unit.kind for term in self.terms])


class Share(NamedTuple):
    """A share of a part that another part uses: 1 is all of it."""

    text: str
    fraction: Fraction


class Temperature(NamedTuple):
    """A temperature or range in °C, with the scales it was written in."""

    text: str
    low_celsius: float
    high_celsius: float
    scales: frozenset[str]
    #: how far two scales written side by side are apart, in °C (0 with one scale)
    disagreement_celsius: float = 0.0


class Duration(NamedTuple):
    """A time or range in minutes."""

    text: str
    low_min: float
    high_min: float


def plain_numbers(text: str) -> str:
    """Fractions in ASCII and single spaces, so that one grammar reads every spelling."""
    for sign, ascii_fraction in _VULGAR.items():
        if sign in text:
            text = re.sub(rf"(?<=[0-9])\s*{sign}", f" {ascii_fraction}", text).replace(
                sign, ascii_fraction
            )
    return " ".join(text.replace("⁄", "/").split())


def _number(text: str) -> Fraction:
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


def _read_range(text: str) -> tuple[Fraction, Fraction, str]:
    """The leading number or range of ``text`` and what follows it."""
    if text[:1] in _MINUS and text[1:].lstrip()[:1] in _STARTS_NUMBER:
        raise AmountProblem("unreadable", f"'{text}' is negative; write an amount above zero")
    match = _RANGE.match(text)
    if not match:
        raise AmountProblem(
            "unreadable",
            f"'{text}' has no number that can be read; write it like `240 g`, `1 1/2 cup` or `4-5 cup`",
        )
    low = _number(match[1])
    high = _number(match[2]) if match[2] else low
    if high < low:
        raise AmountProblem(
            "upside-down", f"the range in '{text}' is upside down; write the smaller number first"
        )
    return low, high, text[match.end() :]


def right_way_up(text: str) -> str:
    """Text with the smaller number first in every range; as it is where a number cannot be read."""
    try:
        return _RANGE.sub(_turned, plain_numbers(text))
    except AmountProblem:
        return text


def _turned(match: re.Match[str]) -> str:
    if not match[2] or _number(match[1]) <= _number(match[2]):
        return match[0]
    return f"{match[2]}-{match[1]}{match[0][match.end(2) - match.start() :]}"


def _read_term(text: str) -> tuple[Term, str]:
    """The leading number-with-unit of ``text`` and what follows it."""
    low, high, rest = _read_range(text)
    unit, rest = _leading_unit(rest)
    if unit is None:
        word = rest.split()[0] if rest else ""
        raise AmountProblem(
            "unknown-unit",
            f"unknown unit '{word}' in '{text}'{_similar_unit(word)}; use a unit such as g, ml, tsp, cup, large or each",
        )
    return Term(low, high, unit), rest


def _leading_unit(text: str) -> tuple[Unit | None, str]:
    """The longest unit spelling that ``text`` starts with; a bare number counts pieces."""
    words = text.split()
    if not words or words[0] == "plus":
        return find_unit("each"), text
    for count in (3, 2, 1):
        if count <= len(words) and (unit := find_unit(" ".join(words[:count]))):
            return unit, " ".join(words[count:])
    return None, text


def _similar_unit(word: str) -> str:
    if word.rstrip(".") in ("T", "t"):
        return " (T and t are easily mixed up: write tbsp or tsp)"
    from difflib import get_close_matches  # only on the way to an error

    from perflour.kitchen.units import spellings

    close = get_close_matches(word.lower(), spellings(), n=1, cutoff=0.6)
    return f", did you mean '{close[0]}'?" if close else ""


# Owner of the three: the process; they hold texts and what was read from them, no formula. Bound: 4096 and
# 1024 texts. They pay: exact numbers are slow to read, and all files hold the same few hundred texts.
@lru_cache(maxsize=4096)
def parse_amount(text: str) -> Amount:
    """Read an amount. Raises AmountProblem, whose message says what is wrong and what to do."""
    terms: list[Term] = []
    content = drained = None
    plain = rest = plain_numbers(text)
    if not rest:
        raise AmountProblem("unreadable", "the amount is empty; write one, like `240 g`")
    while True:
        term, rest = _read_term(rest)
        terms.append(term)
        if term.unit.kind == "container" and rest and not rest.startswith("plus "):
            content, drained, rest = _read_content(rest)
        if rest.startswith("plus "):
            rest = rest[5:]
        elif not rest or not rest[0].isdigit() or content:
            break
    if rest:
        raise AmountProblem(
            "unreadable",
            f"'{rest}' is left over after the amount in '{plain}'; put a remark into `state` or `note`",
        )
    if any(term.low <= 0 for term in terms):
        raise AmountProblem(
            "unreadable", f"'{plain}' is zero; write an amount above zero, or remove the line"
        )
    if content and len(terms) > 1:
        raise AmountProblem(
            "unreadable", f"'{plain}' mixes containers with other amounts; use two lines"
        )
    return Amount(text, tuple(terms), content, drained)


def _read_content(text: str) -> tuple[Term, Term | None, str]:
    """``425 g`` or ``425 g drained 250 g`` after the name of a container."""
    text = re.sub(r"^(?:of|at|à) |[()]", "", text)
    content, rest = _read_term(text)
    drained = None
    if rest.startswith("drained "):
        drained, rest = _read_term(rest[8:])
    for term in (content, drained):
        if term is not None and (term.unit.kind != "mass" or term.low <= 0):
            raise AmountProblem(
                "unreadable",
                f"'{text}' must give the mass of one container, like `425 g drained 250 g`",
            )
    if drained and drained.high * Fraction(drained.unit.factor) > content.high * Fraction(
        content.unit.factor
    ):
        raise AmountProblem(
            "unreadable", f"'{text}' drains to more than it holds; check the two masses"
        )
    return content, drained, rest


def parse_share(text: str) -> Share | Amount:
    """Read how much of a part is used: ``all``, ``half``, ``1/3``, ``40 %`` or a mass."""
    plain = plain_numbers(text)
    if (takes := PORTION_WORDS.get(plain.lower())) in SHARES:
        return Share(text, SHARES[takes])
    if plain.endswith("%"):
        low, high, rest = _read_range(plain[:-1].strip())
        if rest or low != high:
            raise AmountProblem("unreadable", f"'{plain}' is no share; write one like `40 %`")
        return _checked_share(text, low / 100)
    if re.fullmatch(r"[0-9]+/[0-9]+|[0-9]*\.[0-9]+|1", plain):
        return _checked_share(text, _number(plain))
    amount = parse_amount(text)
    if amount.kinds != {"mass"}:
        raise AmountProblem(
            "unreadable",
            f"'{plain}' cannot be taken of a part; write `all`, a share like `1/2` or `40 %`, or a mass",
        )
    return amount


def _checked_share(text: str, fraction: Fraction) -> Share:
    if not 0 < fraction <= 1:
        raise AmountProblem(
            "unreadable",
            f"'{plain_numbers(text)}' is not between none and all of a part; write a share up to `all`",
        )
    return Share(text, fraction)


@lru_cache(maxsize=1024)
def parse_temperature(text: str) -> Temperature:
    """Read ``175 °C``, ``350-375 °F`` or ``175 °C (350 °F)``. Raises AmountProblem."""
    found: list[tuple[float, float, str]] = []
    for piece in re.split(r"[(/,]", plain_numbers(text).replace(")", "")):
        low, high, rest = _read_range(piece.strip())
        unit = find_unit(rest.strip())
        if unit is None or unit.kind != "temperature":
            raise AmountProblem(
                "unreadable",
                f"'{plain_numbers(text)}' is no temperature; write it like `175 °C` or `175 °C (350 °F)`",
            )
        to_celsius = celsius if unit.name == "°F" else float
        found.append((to_celsius(float(low)), to_celsius(float(high)), unit.name))
    low_c, high_c, _ = found[0]
    apart = max(max(abs(low - low_c), abs(high - high_c)) for low, high, _ in found)
    return Temperature(text, low_c, high_c, frozenset(f[2] for f in found), apart)


@lru_cache(maxsize=1024)
def parse_duration(text: str) -> Duration:
    """Read ``45-50 min``, ``12 h`` or ``1 h 30 min``. Raises AmountProblem."""
    low = high = 0.0
    rest = re.sub(r"^(?:about|at least|up to) ", "", plain_numbers(text))
    while rest:
        term, rest = _read_term(rest)
        if term.unit.kind != "time":
            raise AmountProblem(
                "unreadable",
                f"'{plain_numbers(text)}' is no time; write it like `45-50 min` or `1 h 30 min`",
            )
        low += float(term.low) * term.unit.factor / 60
        high += float(term.high) * term.unit.factor / 60
        rest = rest.removeprefix("plus ")
    if high <= 0:
        raise AmountProblem(
            "unreadable", f"'{plain_numbers(text)}' is no time; write it like `45-50 min`"
        )
    return Duration(text, low, high)


def as_other_scale(temperature: Temperature) -> str:
    """The temperature in the scale it was not written in.

    To 5 degrees, as ovens are marked; to one degree below those, where cores and doughs are.
    """
    step = 5 if temperature.low_celsius >= OVEN_FROM_CELSIUS else 1
    if "°F" in temperature.scales:
        low, high, unit = temperature.low_celsius, temperature.high_celsius, "°C"
    else:
        low, high, unit = (
            fahrenheit(temperature.low_celsius),
            fahrenheit(temperature.high_celsius),
            "°F",
        )
    ends = dict.fromkeys(str(round(end / step) * step) for end in (low, high))
    return f"{'-'.join(ends)} {unit}"
