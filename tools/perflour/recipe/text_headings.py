"""The lines of a plain text by what they look like: title, ingredient, step, yield; for cutting it into recipes."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from enum import Enum
from typing import NamedTuple

from perflour.recipe.line_kinds import MARKS, NUMBERED, is_ingredient, is_instruction, is_sentence
from perflour.recipe.words import word_map

#: A line of nothing but signs that draw one: a rule, or what underlines the line above it.
DRAWN = re.compile(r"\s*([-=*_~#•])(?:[ \t]?\1){2,}\s*")
_HEADING = re.compile(r"\s{0,3}(#{1,6})\s+(?=\S)")
_BULLET = re.compile(r"^(?:[-*+•–·▢☐□]|\[ ?\])\s+")
_SOURCE = re.compile(r"\(?(?:source|from|adapted from|recipe by)\s*:\s*\S", re.IGNORECASE)
_YIELD = re.compile(
    r"\(?(?:this (?:recipe )?)?(?:makes|yields?|serves|servings|sufficient|enough for|portions)\b",
    re.IGNORECASE,
)
_LONGEST_TITLE, _MOST_WORDS = 80, 12


class Kind(Enum):
    """What a line looks like on its own."""

    LIST, METHOD, NOTES = "ingredients", "method", "notes"
    SOURCE, YIELD, PART, TITLE, INGREDIENT, STEP, OTHER = range(7)


class Line(NamedTuple):
    """A line that says something. ``level`` is that of a heading, 0 for none.

    ``blanks`` counts the blank lines above; ``is_parted`` says that a rule or a new page is among them,
    ``ends_block`` that a blank line follows.
    """

    number: int
    text: str
    level: int
    blanks: int
    is_parted: bool
    ends_block: bool
    kind: Kind = Kind.OTHER


def lines_of(raw: Sequence[str]) -> Iterator[Line]:
    """The lines of a text that are neither blank nor drawn, each with what stands around it."""
    blanks, is_parted = 0, False
    for number, read in enumerate(raw, 1):
        is_parted = is_parted or "\f" in read[:1]
        text = " ".join(read.replace("\f", " ").strip(MARKS).split())
        if not text or DRAWN.fullmatch(read):
            is_parted = is_parted or (bool(read.strip()) and not _underlines(raw, number))
            blanks += 1
            continue
        heading = _HEADING.match(read)
        level = len(heading[1]) if heading else _underlined(raw, number)
        ends = number == len(raw) or not raw[number].strip() or bool(DRAWN.fullmatch(raw[number]))
        line = Line(number, text, level, blanks if number > 1 else 1, is_parted, ends)
        yield Line(*line[:-1], _kind(line))
        blanks, is_parted = 0, False


def _underlined(raw: Sequence[str], number: int) -> int:
    """The level of a heading that the line below draws under a line, 0 where it draws none."""
    below = raw[number] if number < len(raw) else ""
    if not DRAWN.fullmatch(below) or not _underlines(raw, number + 1):
        return 0
    return 1 if "=" in below else 2


def _underlines(raw: Sequence[str], number: int) -> bool:
    """Whether a drawn line belongs to the text right above it: about as long, and that is no sentence."""
    above = raw[number - 2].strip() if number > 1 else ""
    drawn = len(raw[number - 1].strip())
    is_title = bool(above) and above[-1] not in ".,;" and len(above) <= _LONGEST_TITLE
    return is_title and not DRAWN.fullmatch(above) and len(above) / 2 <= drawn <= len(above) + 10


def _kind(line: Line) -> Kind:
    text = line.text
    opening, colon, rest = text.partition(":")
    for mode, headings in word_map("headings").items():
        if opening.strip().lower() in headings and (colon or line.blanks or not rest):
            return Kind(mode)
    if _SOURCE.match(text):
        return Kind.SOURCE
    if _YIELD.match(text):
        return Kind.YIELD
    if text.endswith(":") or text.lower().startswith("for the "):
        return Kind.PART
    if line.level:
        return Kind.TITLE
    if is_ingredient(text) and not (line.ends_block and _is_title(line) and _is_set_off(text)):
        return Kind.INGREDIENT
    if is_instruction(NUMBERED.sub("", text)) or is_sentence(text):
        return Kind.STEP
    return Kind.TITLE if _is_title(line) else Kind.OTHER


def _is_set_off(text: str) -> bool:
    """Whether a title looks like an amount and is none: "ONE-EGG CAKE", "Two-day rolls"."""
    return text[0].isalpha() and (text.isupper() or "-" in text.split()[0])


def _is_title(line: Line) -> bool:
    """Whether a line stands alone, is short and opens like a name."""
    text = line.text
    alone = bool(line.blanks or line.is_parted)
    short = len(text) <= _LONGEST_TITLE and len(text.split()) <= _MOST_WORDS
    opens = not text[0].islower() and not _BULLET.match(text) and (text[0].isalnum() or text[0] in "\"'“‘«(¡¿")  # fmt: skip
    return alone and short and opens and text[-1] not in ".,;:" and any(map(str.isalpha, text))
