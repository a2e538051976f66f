"""What a clause says besides its verb: times, temperatures, speeds, places, tools, signs of doneness."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field

from perflour.formula.verbs import BRINGS, bakes, heats_oven
from perflour.kitchen.numbers import plain_numbers
from perflour.kitchen.numerals import figures_before
from perflour.kitchen.quantity import (
    OVEN_FROM_CELSIUS,
    AmountProblem,
    parse_duration,
    parse_temperature,
)
from perflour.recipe.words import WORD, word_set

_NUMBER = (
    r"(?:[0-9]{1,4}[ -][0-9]/[0-9]{1,2}|[0-9]{1,4}/[0-9]{1,2}|[0-9]{1,4}\.[0-9]{1,2}|[0-9]{1,4})"
)
_RANGE = rf"{_NUMBER}(?:\s?(?:-|–|to|or)\s?{_NUMBER})?"
_SCALE = (
    r"\s?(?:°\s?|º\s?|deg(?:rees?|\.)?\s?)?(?P<scale{n}>C|F|Celsius|Fahrenheit|[Cc]entigrade)\b\.?"
)
_TEMPERATURE = re.compile(
    rf"(?P<lead>\b(?:at|to|of|about|a|an)\s+)?(?:about\s+)?(?P<low>{_RANGE}){_SCALE.format(n=1)}"
    rf"(?:\s?[(/,]?\s?(?P<other>{_RANGE}){_SCALE.format(n=2)}\)?)?"
)
_SCALE_BESIDE = re.compile(rf"\s*(?:about\s)?{_RANGE}{_SCALE.format(n=1)}\s*")
_TIME_UNIT = r"(?:seconds?|secs?|s|minutes?|mins?|hours?|hrs?|h|days?|d)\b\.?"
_TIME = re.compile(
    rf"(?:\bfor\s+)?(?P<hedge>\b(?:about|at least|up to)\s+)?(?:another\s+)?"
    rf"(?P<first>{_RANGE}\s?{_TIME_UNIT})(?:\s?(?:,|and)?\s?(?P<second>{_RANGE}\s?{_TIME_UNIT}))?",
    re.IGNORECASE,
)
_ONE_TIME = re.compile(rf"(?P<number>{_RANGE})\s?(?P<unit>{_TIME_UNIT})", re.IGNORECASE)
_SHORT_UNITS = {"s": "s", "m": "min", "h": "h", "d": "d"}
_TIME_BEHIND = re.compile(
    rf",\s*(?:for |about |at least )*{_RANGE}\s?{_TIME_UNIT}\s*$", re.IGNORECASE
)
_UNTIL = re.compile(r"\b(?:or\s+)?(?:until|till)\s+(?P<sign>.+)$", re.IGNORECASE | re.DOTALL)
# "yolks beaten until thick, whites ..." is said of the yolks, not of the step.
_DONE_BEFORE = re.compile(r"\b\w+(?:en|ed)\s+$")
_FULL = re.compile(rf"(?:\babout\s+)?(?P<share>{_NUMBER}|half)\s+full\b(?:\s+of)?", re.IGNORECASE)
_SPEEDS = "|".join(sorted(word_set("speeds"), key=len, reverse=True))
_SPEED = re.compile(
    rf"\b(?:(?:on|at|with)\s+(?:a\s+)?)?(?P<speed>{_SPEEDS})\s+speed\b"
    rf"|\bon\s+(?P<plain>{_SPEEDS})\b(?!\s+(?:heat|oven))|(?<=, )(?P<listed>{_SPEEDS})(?=\s*(?:,|$|[0-9]))",
    re.IGNORECASE,
)
_PREPOSITION = re.compile(r"\b(into|onto|in|on|to|with|over|using)\s+", re.IGNORECASE)
_PHRASE_ENDS = re.compile(
    r"[,;]|\b(?:into|onto|in|on|with|for|at|until|about|to|making|using|mixing(?! bowl)|and|or|over|by|then|if|when|of the mixture)\b",
    re.IGNORECASE,
)
_ARTICLE = re.compile(r"^(?:an?|the|your)\s+", re.IGNORECASE)
_MAKES = re.compile(r"[,;]?\s*\b(?:this makes|makes)\s+(?:the\s+)?(?P<part>[^,;.]+)", re.IGNORECASE)
_ASIDE = re.compile(r"\(([^()]*)\)")
_CORE_BEHIND = re.compile(
    r"\s*(?:inside|internally|in the (?:cent(?:re|er)|middle|core))\b", re.IGNORECASE
)
_CORE_BEFORE = re.compile(
    r"\b(?:internal|core) (?:temp(?:erature|\.)? )?(?:of |at |is |reaches )?(?:about )?$",
    re.IGNORECASE,
)
_MEASURED_IN = rf"{_TIME_UNIT}|full\b"
_LONGEST_PHRASE = 80


@dataclass
class Fields:
    """What was taken out of a clause, by key of a step, and the text that is left."""

    left: str
    found: dict[str, str] = field(default_factory=dict)
    asides: list[str] = field(default_factory=list)

    def take(self, key: str, value: str, span: tuple[int, int]) -> None:
        """Keep a value, the first of its key, and cut its words out of what is left."""
        if value and key not in self.found:
            self.found[key] = " ".join(value.split())
            self.left = f"{self.left[: span[0]]} {self.left[span[1] :]}"


def fields_of(do: str, rest: str, parts: frozenset[str] = frozenset()) -> Fields:
    """Everything but the verb and the ingredients; numbers are read in figures. ``parts`` are folded names."""
    fields = Fields(figures_before(plain_numbers(rest), _MEASURED_IN))
    asides = [aside for aside in _ASIDE.findall(fields.left) if not _SCALE_BESIDE.fullmatch(aside)]
    fields.asides += [aside.strip() for aside in asides if aside.strip()]
    fields.left = _ASIDE.sub(lambda m: m[0] if _SCALE_BESIDE.fullmatch(m[1]) else " ", fields.left)
    _temperatures(fields, do)
    if (made := _MAKES.search(fields.left)) and " ".join(made["part"].lower().split()) in parts:
        fields.take("makes", made["part"], made.span())
    _until(fields)
    if match := _SPEED.search(fields.left):
        speed = match["speed"] or match["plain"] or match["listed"]
        fields.take("speed", speed.lower(), match.span())
    _time(fields)
    if match := _FULL.search(fields.left):
        fields.take("fill", match["share"], match.span())
    _places(fields)
    return fields


def says_more(left: str) -> bool:
    """Whether a time or a temperature is still in what is left of a clause."""
    return bool(_TIME.search(left) or _TEMPERATURE.search(left))


def _temperatures(fields: Fields, do: str) -> None:
    """The first temperature as `to`, `at` or `core`, and a core temperature behind it."""
    for _ in range(2):
        match = _TEMPERATURE.search(fields.left)
        if not match:
            return
        text = _degrees(match["low"], match["scale1"])
        if match["other"] and match["scale2"][0].upper() != match["scale1"][0].upper():
            text += f" ({_degrees(match['other'], match['scale2'])})"
            span = match.span()
        else:
            span = (match.start(), match.end("scale1"))
            while fields.left[span[1] : span[1] + 1] == ".":
                span = (span[0], span[1] + 1)
        is_core = _reads(parse_temperature, text) and (
            parse_temperature(text).high_celsius < OVEN_FROM_CELSIUS
        )
        key = _key(
            do, match["lead"] or "", fields.left[: match.start()], fields.left[span[1] :], is_core
        )
        if key in fields.found or not _reads(parse_temperature, text):
            return
        if inside := _CORE_BEHIND.match(fields.left, span[1]):
            span = (span[0], inside.end())
        fields.take(key, text, span)


def _key(do: str, lead: str, before: str, behind: str, is_core: bool) -> str:
    if _CORE_BEHIND.match(behind) or _CORE_BEFORE.search(f"{before}{lead}"):
        return "core"
    if (do.startswith(tuple(BRINGS)) or heats_oven(do)) and lead.strip() != "at":
        return "to"
    return "core" if lead.strip() == "to" and bakes(do) and is_core else "at"


def _degrees(number: str, scale: str) -> str:
    ends = re.sub(r"\s?(?:–|to|or)\s?", "-", number)
    return f"{ends} °{'F' if scale[0].upper() == 'F' else 'C'}"


def _until(fields: Fields) -> None:
    match = _UNTIL.search(fields.left)
    if match and not ("," in match["sign"] and _DONE_BEFORE.search(fields.left[: match.start()])):
        sign = match["sign"]
        if timed := _TIME_BEHIND.search(sign):  # "until doubled, about 1 hour"
            sign = sign[: timed.start()]
        span = (match.start(), match.start("sign") + len(sign))
        fields.take("until", sign.strip(" ,;"), span)


def _time(fields: Fields) -> None:
    match = _TIME.search(fields.left)
    if not match:
        return
    pieces = [match["first"], match["second"] or ""]
    said = " ".join(_spelled_time(piece) for piece in pieces if piece)
    hedge = match["hedge"] or ""
    if _reads(parse_duration, said):
        fields.take(
            "for",
            f"{hedge}{said}" if _reads(parse_duration, f"{hedge}{said}") else said,
            match.span(),
        )


def _spelled_time(text: str) -> str:
    """`12 to 15 minutes` as `12-15 min`."""
    match = _ONE_TIME.match(text)
    assert match  # it is a piece of a longer match
    ends = re.sub(r"\s?(?:–|\bto\b|\bor\b)\s?", "-", match["number"])
    return f"{ends} {_SHORT_UNITS[match['unit'][0].lower()]}"


def _reads(parse: Callable[[str], object], text: str) -> bool:
    try:
        parse(text)
    except AmountProblem:
        return False
    return True


def _places(fields: Fields) -> None:
    """Phrases behind a preposition that end in a pan, a board, a tool."""
    at = 0
    while match := _PREPOSITION.search(fields.left, at):
        end = _PHRASE_ENDS.search(fields.left, match.end())
        stop = end.start() if end else len(fields.left)
        phrase = _ARTICLE.sub("", fields.left[match.end() : stop].strip(" ."))
        key = _place_key(match[1].lower(), phrase)
        if key and phrase and len(phrase) <= _LONGEST_PHRASE and key not in fields.found:
            fields.take(key, phrase, (match.start(), stop))
            at = match.start()
        else:
            at = match.end()


def _place_key(preposition: str, phrase: str) -> str:
    words = {word.lower() for word in WORD.findall(phrase)}
    if preposition in ("with", "using"):
        return "with" if words & word_set("tools") else ""
    if not words & word_set("vessels"):
        return ""
    return "on" if preposition in ("on", "onto", "over") else "into"
