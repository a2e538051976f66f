"""The pan that a recipe tells with its measure, wherever it does, given to the step that fills "the tin"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from perflour.formula.verbs import DEPOSITS, bakes
from perflour.kitchen.numbers import plain_numbers
from perflour.kitchen.numerals import in_figures, in_small
from perflour.recipe.method.mentions import stem
from perflour.recipe.method.steps import StepRead
from perflour.recipe.words import any_of, word_set

_FIGURE = re.compile("[0-9]")
_NUMBER = r"[0-9]+(?: [0-9]+/[0-9]+|/[0-9]+|\.[0-9]+)?"
_INCH = r"(?:\s?-?(?:cm|mm|inch(?:es)?|in\b\.?|[\"”]))"
_SIZE = (
    rf"{_NUMBER}(?:{_INCH}?(?:\s?(?:x|×|by)\s?{_NUMBER}{_INCH}?){{1,2}}|{_INCH}"
    rf"|[ -](?:lb|pound|oz|kg|g|litre|liter|l|qt|quart|pint|hole|cup)s?\b(?: \([^()]{{1,12}}\))?)"
)
_VESSEL, _VESSELS = any_of("baking-tins"), word_set("baking-tins")
_MEASURED = re.compile(
    rf"(?P<front>{_SIZE}(?:,? (?!(?:and|with|for|in|on|at|to|into|of|or|a|an|per|each|the)\b)[^\W\d_]+){{0,3}}? {_VESSEL}\b)"
    rf"|(?P<behind>(?:[^\W\d_]+ )?{_VESSEL},? (?:the |about |measuring )?{_SIZE})",
    re.IGNORECASE,
)
#: A pan that is no baking tin, by a word before it.
_OF_THE_STOVE = re.compile(r"\b(?:sauce|frying|fry|small|little|heavy|heavy-bottomed)[ -]?pan", re.IGNORECASE)  # fmt: skip
#: What is laid on a flat one, and what is filled.
_FLAT = frozenset(("sheet", "tray"))
_ALIKE = (frozenset(("pan", "tin", "springform", "mould", "mold")), frozenset(("sheet", "tray")))


def with_pans_told(steps: Sequence[StepRead], texts: Iterable[str]) -> list[StepRead]:
    """The steps, the one that fills a bare pan with the measure that a text tells of it."""
    found = list(steps)
    for pan in dict.fromkeys(_pans(texts)):
        places = [v for step in found for key, v in step.fields if key in ("into", "on")]
        if not any(_numbers(pan) <= _numbers(place) for place in places):
            _give(found, pan)
    return found


def _pans(texts: Iterable[str]) -> Iterator[str]:
    """Pans with a measure, in the order they are told."""
    for text in texts:
        low = in_small(text)
        if not any(vessel in low for vessel in _VESSELS):
            continue
        plain = in_figures(plain_numbers(text.replace("-", " ")))
        for match in _MEASURED.finditer(plain) if _FIGURE.search(plain) else ():
            yield re.sub(r",? the | ,", " ", match[0]).replace(",", "")


def _numbers(text: str) -> set[str]:
    return set(re.findall(r"[0-9]+(?:[./][0-9]+)?", text))


def _head(text: str) -> str:
    """The vessel that a place names last; empty for a place that is no pan."""
    names = re.findall(rf"\b{_VESSEL}\b", text.lower())
    return stem(names[-1]) if names and not _OF_THE_STOVE.search(text) else ""


def _is_alike(one: str, other: str) -> bool:
    return one == other or any({one, other} <= group for group in _ALIKE)


def _give(steps: list[StepRead], pan: str) -> None:
    """Put a pan into the first step that names it bare, else into the one that fills or bakes."""
    head = _head(pan)
    for number, step in enumerate(steps):
        for key, place in step.fields:
            if key in ("into", "on") and not any(map(str.isdigit, place)) and _is_alike(_head(place), head):  # fmt: skip
                fields = tuple((k, pan if k == key else v) for k, v in step.fields)
                steps[number] = step._replace(fields=fields)
                return
    fills = [n for n, step in enumerate(steps) if step.do.split(" ")[0] in DEPOSITS | word_set("verbs-of-laying") or bakes(step.do)]  # fmt: skip
    for number in fills:
        if not {"into", "on"} & {key for key, _ in steps[number].fields}:
            key = "on" if head in _FLAT else "into"
            steps[number] = steps[number]._replace(fields=(*steps[number].fields, (key, pan)))
            return
