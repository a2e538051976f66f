"""Amounts, times and temperatures as a baker writes them, kept exact as fractions.

The numbers are parsed here and only known unit names are looked up: a general unit parser reads
"1 1/2 cup" as half a cup, "350 F" as farad and "3 pinch" as pico-inches without a word.
"""

import re
from contextlib import suppress
from fractions import Fraction
from functools import lru_cache

from perflour.kitchen.filling import filling_in
from perflour.kitchen.numbers import AmountProblem as AmountProblem
from perflour.kitchen.numbers import number_of, plain_numbers, read_range, reads_two_ways, settled
from perflour.kitchen.units import Unit, celsius, fahrenheit, find_unit, unit_named
from perflour.tuples import NamedTuple

# From here on a temperature is an oven's; below it that of a dough, a core, a syrup. Printed tables begin
# at a very slow oven of 250 °F (121 °C), a crumb never passes 100 °C, and syrup for icings and meringues is
# boiled to 112 to 118 °C, where each degree counts. Ovens that only dry (90 to 110 °C) fall below it and are
# read to a degree too. Common practice, no source.
OVEN_FROM_CELSIUS = 120.0
# Nearer than this, one temperature; across scales an oven's dial (400 °F is 200 or 205 °C), below ovens a degree.
# Common practice, no source.
SAME_CELSIUS, DIAL_CELSIUS, SAME_DEGREE = 0.05, 4.5, 0.6
# A lone C behind a number up to here is a cup, as older books print it; above it nobody knows.
MOST_CUPS_BY_LETTER = 12
_SAYS_EACH = r"(?i)\b(?:each|ea|whole|pieces?)\b"
# Words that stand for no measure.
VAGUE = frozenset(("glass", "glasses", "splash", "splashes", "knob", "knobs", "handful", "handfuls", "drizzle", "glug", "mug", "mugs", "wineglass", "teacup", "coffee", "breakfast"))  # fmt: skip
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


class Customs(NamedTuple):
    """How a house writes amounts: its numbers (empty: nothing said), and units of its own by spelling."""

    numbers: str = ""
    units: tuple[tuple[str, Unit], ...] = ()


USUAL = Customs()


class Term(NamedTuple):
    """A number or range of one unit; ``low == high`` for a plain number.

    ``filling`` is how the measure is filled: heaped, scant, packed; empty for level.
    """

    low: Fraction
    high: Fraction
    unit: Unit
    filling: str = ""

    @property
    def mean(self) -> Fraction:
        return (self.low + self.high) / 2

    @property
    def is_range(self) -> bool:
        return self.low is not self.high and self.low != self.high


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

    @property
    def in_base_units(self) -> float:
        """All its terms together, ranges at their middle: g of a mass, ml of a volume."""
        return sum([float(term.mean) * term.unit.factor for term in self.terms])


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
    #: the scale that stands first, which the figures are from
    first_scale: str = "°C"


class Duration(NamedTuple):
    """A time or range in minutes."""

    text: str
    low_min: float
    high_min: float


def _read_term(text: str, customs: Customs = USUAL) -> tuple[Term, str]:
    """The leading number-with-unit of ``text`` and what follows it."""
    low, high, rest = read_range(text)
    filling, rest = filling_in(rest)
    unit, rest = _leading_unit(rest, high, customs)
    if unit is None:
        word = rest.split()[0] if rest else ""
        raise AmountProblem("unknown-unit", _unknown_unit(word, text))
    if filling and unit.kind not in ("volume", "pinch"):
        raise AmountProblem(
            "unreadable", f"a {unit.name} cannot be {filling} in '{text}'; leave the word out"
        )
    return Term(low, high, unit, filling), rest


def _leading_unit(text: str, number: Fraction, customs: Customs) -> tuple[Unit | None, str]:
    """The longest unit spelling that ``text`` starts with; a bare number counts pieces."""
    words = text.split()
    if not words or words[0] in ("plus", "less"):
        return find_unit("each"), text
    if words[0] in ("C", "C.") and number <= MOST_CUPS_BY_LETTER:
        return unit_named("cup"), " ".join(words[1:])
    for count in (3, 2, 1):
        if count <= len(words) and (unit := _unit(" ".join(words[:count]), customs)):
            return unit, " ".join(words[count:])
    return None, text


def _unit(spelling: str, customs: Customs) -> Unit | None:
    own = dict(customs.units).get(spelling.lower()) if customs.units else None
    return own or find_unit(spelling)


def _unknown_unit(word: str, text: str) -> str:
    if word.lower() in VAGUE:
        return f"'{word}' in '{text}' is no measure that two people share; write it in ml, g, tsp or cup"
    return f"unknown unit '{word}' in '{text}'{_similar_unit(word)}; use a unit such as g, ml, tsp, cup, large or each"


# Owner: the process; words that are no unit. Bound: 256. Pays: a recipe's lines are read several ways, and most fail.
@lru_cache(maxsize=256)
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
def parse_amount(text: str, customs: Customs = USUAL) -> Amount:
    """Read an amount. Raises AmountProblem, whose message says what is wrong and what to do.

    What is spelled as formulas spell it is read at once; the rest is respelled first.
    """
    plain = settled(plain_numbers(text), customs.numbers)
    if not plain:
        raise AmountProblem("unreadable", "the amount is empty; write one, like `240 g`")
    try:
        return _read(text, plain, customs)
    except AmountProblem as problem:
        if problem.kind == "upside-down":
            raise
        from perflour.kitchen.as_written import respelled  # kept off lint's path

        if said := respelled(plain, customs):
            with suppress(AmountProblem):  # the first says more of what was written
                return _read(text, said, customs)
        raise


def plainly_spelled(text: str) -> Amount | None:
    """The amount of a text that is spelled as formulas spell it: its figures and units are all it says."""
    if reads_two_ways(text):
        return None  # the house says which; its spelling stays
    try:
        return _read(text, settled(plain_numbers(text)), USUAL)
    except AmountProblem:
        return None


def _read(text: str, plain: str, customs: Customs) -> Amount:
    """An amount in the spelling of formulas."""
    terms: list[Term] = []
    content = drained = None
    rest = plain
    while True:
        is_less = bool(terms) and rest.startswith("less ")
        term, rest = _read_term(rest.removeprefix("less ") if is_less else rest, customs)
        terms[-1:] = [_less(terms[-1], term, plain)] if is_less else [*terms[-1:], term]
        if term.unit.kind == "container" and rest and not rest.startswith("plus "):
            content, drained, rest = _read_content(rest)
        if rest.startswith("plus "):
            rest = rest[5:]
        elif not rest or not (rest[0].isdigit() or rest.startswith("less ")) or content:
            break
    _check(plain, tuple(terms), content, rest)
    return Amount(text, tuple(terms), content, drained)


def _check(plain: str, terms: tuple[Term, ...], content: Term | None, rest: str) -> None:
    """Raises AmountProblem for what is left over, zero or mixed."""
    if rest:
        raise AmountProblem(
            "unreadable",
            f"'{rest}' is left over after the amount in '{plain}'; put a remark into `state` or `note`",
        )
    if (
        len(terms) > 1
        and any(t.unit.name == "each" for t in terms)
        and not re.search(_SAYS_EACH, plain)
    ):
        raise AmountProblem(
            "unreadable", f"a number in '{plain}' has no unit; write it, like `1 cup plus 2 tbsp`"
        )
    if any(term.low <= 0 for term in terms):
        raise AmountProblem(
            "unreadable", f"'{plain}' is zero; write an amount above zero, or remove the line"
        )
    if content and len(terms) > 1:
        raise AmountProblem(
            "unreadable", f"'{plain}' mixes containers with other amounts; use two lines"
        )


def _less(term: Term, taken: Term, plain: str) -> Term:
    """A cup less a spoon, in cups."""
    if term.unit.kind != taken.unit.kind or term.unit.kind not in ("mass", "volume"):
        raise AmountProblem(
            "unreadable", f"'{plain}' takes one kind of measure from another; write what is left"
        )
    ratio = Fraction(taken.unit.factor / term.unit.factor).limit_denominator(1000)
    low, high = term.low - taken.high * ratio, term.high - taken.low * ratio
    return term._replace(low=low, high=high)


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


def parse_share(text: str, customs: Customs = USUAL) -> Share | Amount:
    """Read how much of a part is used: ``all``, ``half``, ``1/3``, ``40 %`` or a mass."""
    plain = plain_numbers(text)
    if (takes := PORTION_WORDS.get(plain.lower())) in SHARES:
        return Share(text, SHARES[takes])
    if plain.endswith("%"):
        low, high, rest = read_range(plain[:-1].strip())
        if rest or low != high:
            raise AmountProblem("unreadable", f"'{plain}' is no share; write one like `40 %`")
        return _checked_share(text, low / 100)
    if re.fullmatch(r"[0-9]+/[0-9]+|[0-9]*\.[0-9]+|1", plain):
        return _checked_share(text, number_of(plain))
    amount = parse_amount(text, customs)
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


# `175 °C (350 °F)`, `175 °C / 350 °F`: one scale, a comma, the other.
_BETWEEN_SCALES = str.maketrans("(/", ",,", ")")
_ROUGHLY = ("about ", "at least ", "up to ")


@lru_cache(maxsize=1024)
def parse_temperature(text: str) -> Temperature:
    """Read ``175 °C``, ``350-375 °F`` or ``175 °C (350 °F)``. Raises AmountProblem."""
    found: list[tuple[float, float, str]] = []
    for piece in plain_numbers(text).translate(_BETWEEN_SCALES).split(","):
        low, high, rest = read_range(piece.strip())
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
    return Temperature(text, low_c, high_c, frozenset(f[2] for f in found), apart, found[0][2])


@lru_cache(maxsize=1024)
def parse_duration(text: str) -> Duration:
    """Read ``45-50 min``, ``12 h`` or ``1 h 30 min``. Raises AmountProblem."""
    low = high = 0.0
    rest = plain_numbers(text)
    rest = next((rest[len(said) :] for said in _ROUGHLY if rest.startswith(said)), rest)
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


def same_temperature(one: Temperature, other: Temperature) -> bool:
    """Whether two texts say one temperature: the same degrees, be it in the other scale.

    Between scales ovens are rounded to what their dials show: 350 °F is 175, 176.7 or 177 °C. Two scales
    side by side are held to the one that the other text has as well.
    """
    apart = max(
        abs(one.low_celsius - other.low_celsius), abs(one.high_celsius - other.high_celsius)
    )
    if apart < SAME_CELSIUS:
        return True
    hot = min(one.low_celsius, other.low_celsius) >= OVEN_FROM_CELSIUS
    if one.first_scale != other.first_scale:
        return apart <= (DIAL_CELSIUS if hot else SAME_DEGREE)
    return False


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
