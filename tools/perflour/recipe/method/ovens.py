"""Temperatures as recipes say them: "375", "375°", "gas mark 6", "350 F, 325 F convection", "180C/fan 160".

The scale is the one that is said, else the one the rest of the recipe says; over 290 it can only be
Fahrenheit, and an oven under 90 °C bakes nothing. What is taken by such a guess is told.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from fractions import Fraction
from typing import NamedTuple

from perflour.formula.verbs import BRINGS, CHILLS, WAITS, bakes, heats_oven
from perflour.kitchen.quantity import (
    OVEN_FROM_CELSIUS,
    AmountProblem,
    Temperature,
    parse_temperature,
)

_NUMBER = r"[0-9]{1,4}"
RANGE = rf"{_NUMBER}(?:\s?(?:-|–|to|or)\s?{_NUMBER})?"
_SIGN = r"(?:°\s?|º\s?|degs?\b\.?\s?|degrees?\b\s?)"
_SCALE = r"(?:C|F|Celsius|Fahrenheit|Centigrade)\b\.?"
_KIND = r"(?:fan|convection|conventional)(?:[ -](?:oven|assisted|forced))?"


def _one(n: int) -> str:
    return (
        rf"(?:(?P<kind{n}>{_KIND})\s(?:at\s|oven\s)?)?(?P<low{n}>{RANGE})\s?"
        rf"(?:(?P<sign{n}>{_SIGN})?(?P<scale{n}>{_SCALE})|(?P<bare{n}>{_SIGN}))?"
        rf"(?:\s?(?:in\s(?:an?\s)?|oven\s(?=or\b))?\(?(?P<after{n}>{_KIND})\b(?!\s[0-9])\)?|\soven(?=\sor\s{RANGE}\s?{_SCALE}\s{_KIND}))?"
    )


#: Behind a number of times or weights, which is no second oven: "convection 165, 16 min".
_NO_HEAT = r"[0-9]|\s?(?:-|–)\s?[0-9]|\s?(?:s|secs?|seconds?|m|mins?|minutes?|h|hrs?|hours?|g|kg|cm|mm|inch(?:es)?)\b"
_LEAD = r"(?P<lead>\b(?:at|to|of|about|around|an?|in an?|@|oven)\s+)?(?:about\s+|around\s+)?"
TEMPERATURE = re.compile(
    rf"{_LEAD}(?:{_one(1)}(?:\s?[(/,]?\s?(?:or\s)?{_one(2)}(?!{_NO_HEAT})\)?)?"
    r"(?:\s?[(/,]?\s?(?:or\s)?gas(?:\smark)?\s(?P<gas1>1/[24]|[1-9](?![0-9/]))\)?)?"
    r"|gas(?:\smark)?\s(?P<gas2>1/[24]|[1-9](?![0-9/])))",
    re.IGNORECASE,
)
#: What stands before every scale; most numbers of a method are none of heat.
_MAY_SAY_SCALE = re.compile(r"[0-9]\s?(?:[°ºcf]|deg)", re.IGNORECASE)
_INSIDE = re.compile(
    r"\s*(?:inside|internally|in the (?:cent(?:re|er)|middle|core))\b", re.IGNORECASE
)
_CORE_BEFORE = re.compile(
    r"\b(?:internal|core|cent(?:re|er)|inside) (?:temp(?:erature|\.)? )?(?:of |at |is |reaches |to )?(?:about )?$",
    re.IGNORECASE,
)
# What a number behind "at" or "to" is no temperature before.
_MEASURES = re.compile(r"\s?(?:%|[0-9]|/|\.[0-9]|x\b|[^\W\d_]{1,12}\b)")
_NO_MEASURE = re.compile(
    r"\s?(?:for|until|till|and|then|oven|or|about|if|in|on|with|turning|turn|it|they|the|as|when|after|first|degrees|fan|convection|conventional)\b"
)
#: Thermostat marks of British gas ovens: 275 °F and 25 °F more a mark (common practice, no source).
FIRST_MARK_F, MARK_F = 275, 25
#: Below the first stand a half and a quarter, each as far from the next as the others.
LOW_MARKS_F = {"1/2": 250, "1/4": 225}
#: More is no temperature of an oven in Celsius.
MOST_CELSIUS = 290
#: From here on a number behind "at" is an oven's whatever the verb, and one between commas in a bake.
LEAST_AT = 140
#: What a core's number may be, in either scale, and a proof's or a fridge's in Celsius.
CORES, MOST_PROOF = (55, 230), 45
#: An oven in Fahrenheit that is lower bakes nothing; in Celsius it may.
LEAST_FAHRENHEIT = 200


class Scale(NamedTuple):
    """C or F, empty where nothing says it: what the recipe ``said`` elsewhere, and the ``house`` uses."""

    said: str = ""
    house: str = ""


UNSAID = Scale()


class Heat(NamedTuple):
    """A temperature of a step: its key and text, where it stands, what is told beside it and doubted."""

    key: str
    text: str
    span: tuple[int, int]
    aside: str = ""
    doubt: str = ""


def heat_in(text: str, do: str, usual: Scale = UNSAID) -> Heat | None:
    """The first temperature that a clause says; ``usual`` is the scale of a bare number."""
    for match in TEMPERATURE.finditer(text):
        if heat := _heat(match, text, do, usual):
            return heat
    return None


def scales_in(text: str) -> set[str]:
    """The scales that a text names."""
    if not _MAY_SAY_SCALE.search(text):
        return set()
    return {m[f"scale{n}"][0].upper() for m in TEMPERATURE.finditer(text) for n in (1, 2) if m[f"scale{n}"]}  # fmt: skip


def _heat(match: re.Match[str], text: str, do: str, usual: Scale) -> Heat | None:
    lead = (match["lead"] or "").strip().lower()
    if match["gas2"]:
        said, aside = _of_mark(match["gas2"]), f"gas mark {match['gas2']}"
        return Heat(_oven_key(do), said, match.span(), aside)
    if match["scale1"] is None and match["bare1"] is None and not _kind(match, 1) and not _is_bare(match, text, do, lead):  # fmt: skip
        return None
    doubt = ""
    scale = match["scale1"]
    if scale is None and match["low2"] and match["scale2"]:
        scale = match["scale2"]  # "180/350 F" names one scale for both or for the last
        if _ends(match["low1"])[0] < _ends(match["low2"])[0] / 1.5:
            scale = "C" if scale[0].upper() == "F" else scale
    if scale is None:
        scale, doubt = _supposed(match["low1"], do, usual)
    said = _degrees(match["low1"], scale)
    span = [match.start(), _end(match, 1)]
    asides = []
    if match["low2"] and _belongs(match):
        second = match["scale2"] or _other_scale(match, scale)
        if _kind(match, 2) or _kind(match, 1):
            fan, main = ((1, 2) if "onventional" not in _kind(match, 1) and _kind(match, 1) else (2, 1))  # fmt: skip
            scales = {1: scale, 2: second}
            said = _degrees(match[f"low{main}"], scales[main])
            asides.append(f"convection {_degrees(match[f'low{fan}'], scales[fan])}")
        elif second[0].upper() != scale[0].upper():
            said = f"{said} ({_degrees(match['low2'], second)})"
        else:
            asides.append(_degrees(match["low2"], second))
        span[1] = _end(match, 2)
    elif kind := _kind(match, 1):
        asides.append("a convection (fan) oven" if "onventional" not in kind else "conventional")
    if match["gas1"]:
        asides.append(f"gas mark {match['gas1']}")
        span[1] = match.end("gas1")
    while span[1] < len(text) and text[span[1]] in ".)" and (text[span[1]] == "." or "(" in text[span[0] : span[1]]):  # fmt: skip
        span[1] += 1
    read = _read(said)
    if read is None:
        return None
    key = _key(do, lead, text[: match.start()], text[span[1] :], read.high_celsius < OVEN_FROM_CELSIUS)  # fmt: skip
    if inside := _INSIDE.match(text, span[1]):
        span[1] = inside.end()
    return Heat(key, said, (span[0], span[1]), "; ".join(asides), doubt)


def _end(match: re.Match[str], n: int) -> int:
    """Behind a number and all that hangs on it."""
    return max(match.end(f"{name}{n}") for name in ("low", "sign", "scale", "bare", "after"))


def _belongs(match: re.Match[str]) -> bool:
    """Whether the second number is a temperature as well."""
    return bool(match["scale2"] or match["bare2"] or _kind(match, 2) or _kind(match, 1))


def _kind(match: re.Match[str], n: int) -> str:
    return (match[f"kind{n}"] or match[f"after{n}"] or "").lower()


def _other_scale(match: re.Match[str], scale: str) -> str:
    return scale if _kind(match, 1) or _kind(match, 2) else ("F" if scale[0].upper() == "C" else "C")  # fmt: skip


def _is_bare(match: re.Match[str], text: str, do: str, lead: str) -> bool:
    """Whether a number without sign or scale is a temperature: "bake at 375", "in a 350 oven"."""
    low, _ = _ends(match["low1"])
    before = text[: match.start()]
    if _CORE_BEFORE.search(f"{before}{lead} " if lead else before):
        return CORES[0] <= low <= CORES[1]
    if do.split(" ")[0] in WAITS | CHILLS:
        behind = text[match.end("low1") :]
        return (
            lead == "at"
            and low <= MOST_PROOF
            and (not _MEASURES.match(behind) or bool(_NO_MEASURE.match(behind)))
        )
    if not 100 <= low <= 550:
        return False
    behind = text[match.end("low1") :]
    if re.match(r"\s?(?:degree )?oven\b", behind):
        return True
    if not lead and (bakes(do) or heats_oven(do)) and low >= LEAST_AT:
        before = text[: match.start()].rstrip()
        return before[-1:] in ("", ",") and bool(re.match(r"\s*(?:[,.;]|$|for\b|until\b)", behind))
    is_oven = bakes(do) or heats_oven(do) or "oven" in text.lower() or (lead == "at" and low >= LEAST_AT)  # fmt: skip
    if lead not in ("at", "to", "@", "oven") or not is_oven:
        return False
    return not _MEASURES.match(behind) or bool(_NO_MEASURE.match(behind))


def _supposed(number: str, do: str, usual: Scale) -> tuple[str, str]:
    """The scale of a number that has none, and the doubt that is told about it."""
    low, high = _ends(number)
    if high > MOST_CELSIUS:
        return "F", ""
    if do.split(" ")[0] in WAITS | CHILLS and high <= MOST_PROOF:
        return "C", ""  # nothing rises at 27 °F
    if usual.said and (usual.said != "F" or low >= LEAST_FAHRENHEIT or not bakes(do)):
        return usual.said, ""
    why = "no scale is said; taken as {}, check it"
    if low >= LEAST_FAHRENHEIT and "F" in usual:
        return "F", why.format("°F")
    return "C", why.format("°C")


def _ends(number: str) -> tuple[int, int]:
    found = [int(n) for n in re.findall(r"[0-9]+", number)]
    return found[0], found[-1]


def _of_mark(mark: str) -> str:
    """A gas mark in both scales, rounded as oven dials are."""
    fahrenheit = LOW_MARKS_F.get(mark) or FIRST_MARK_F + MARK_F * (float(Fraction(mark)) - 1)
    celsius = round((fahrenheit - 32) / 1.8 / 10) * 10
    return f"{celsius} °C ({fahrenheit:.0f} °F)"


def _oven_key(do: str) -> str:
    return "to" if do.startswith(tuple(BRINGS)) or heats_oven(do) else "at"


def _key(do: str, lead: str, before: str, behind: str, is_core: bool) -> str:
    if _INSIDE.match(behind) or _CORE_BEFORE.search(f"{before}{lead} " if lead else before):
        return "core"
    if heats_oven(do) or (do.startswith(tuple(BRINGS)) and lead != "at"):
        return "to"
    return "core" if lead == "to" and bakes(do) and is_core else "at"


def _degrees(number: str, scale: str) -> str:
    ends = re.sub(r"\s?(?:–|to|or|-)\s?", "-", number)
    return f"{ends} °{'F' if scale[0].upper() == 'F' else 'C'}"


def _read(text: str) -> Temperature | None:
    try:
        return parse_temperature(text)
    except AmountProblem:
        return None


def heats(text: str) -> Iterator[re.Match[str]]:
    """What still reads as a temperature with a scale or sign in a text."""
    for match in TEMPERATURE.finditer(text):
        if match["gas2"] or match["scale1"] or match["bare1"] or match["kind1"]:
            yield match
