"""The law of import, checked from outside: every number of a text is in the formula, or its line is told.

Written apart from the program's own check: it knows nothing of how a text was read, only the text, the file
made of it and the lines that were told.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from fractions import Fraction

_VULGAR = {"½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅕": "1/5", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅙": "1/6"}  # fmt: skip
#: What the importer writes over a line; text that begins with # is quoted or folded.
_COMMENT = re.compile(r"\s*# (?:[0-9]+ % sure|[a-z-]+ goes on|Not carried)")
_BROKEN = re.compile(
    r"[A-Za-z]\.[0-9]+|[0-9]+\.{2,}[0-9]+|[0-9]+[½⅓⅔¼¾⅕⅛⅜⅝⅞⅙][0-9]+|[½⅓⅔¼¾⅕⅛⅜⅝⅞⅙][0-9./]+"
)
_NUMBER = re.compile(
    r"(?<![0-9/.,])([0-9]+)[ \t\u2028-]+([0-9]+/[0-9]+)(?![0-9/])|([0-9]+/[0-9]+|[0-9]+[.,][0-9]+|(?<![0-9])\.[0-9]+|[0-9]+)"
)


def values(text: str) -> set[Fraction]:
    """The numbers of a text in figures, by value; a mixed number is there by its pieces as well."""
    for sign, plain in _VULGAR.items():
        text = text.replace(sign, f" {plain} ")
    found: set[Fraction] = set()
    for whole, part, alone in _NUMBER.findall(text):
        try:
            found |= {Fraction(whole) + Fraction(part), Fraction(whole), Fraction(part)} if whole else {Fraction(alone.replace(",", "."))}  # fmt: skip
        except (ValueError, ZeroDivisionError):
            continue
    return found


def said(line: str) -> list[set[Fraction]]:
    """The numbers of a line, each with the values that may stand for it: 4 1/2 may be kept as 4 and 1/2.

    A number that a mutation broke by a fraction's sign ("3½0") is none.
    """
    line = _BROKEN.sub(" ", line)
    for sign, plain in _VULGAR.items():
        line = line.replace(sign, f" {plain} ")
    found = []
    for whole, part, alone in _NUMBER.findall(line):
        try:
            if whole:
                found.append({Fraction(whole) + Fraction(part), Fraction(whole)})
            else:
                number = Fraction(alone.replace(",", "."))
                found.append({number, number * 12})  # "5 dozen" is 60
        except (ValueError, ZeroDivisionError):
            continue
    return found


def lost(source: str, made: str, told: Collection[int]) -> list[tuple[int, str]]:
    """Lines of ``source`` with a number that stands nowhere in ``made``, and of which nothing was told."""
    fields = "\n".join(line for line in made.splitlines() if not _COMMENT.match(line))
    kept = values(fields) | values(_BROKEN.sub(" ", fields))
    gone = []
    for number, line in enumerate(source.split("\n"), 1):
        missing = [min(alike) for alike in said(line) if not alike & kept]
        if missing and number not in told:
            gone.append((number, f"{missing[0]} of {line.strip()[:80]!r}"))
    return gone
