"""What foods of running text settle of one another: sifted together, the same sugar, the whites of those eggs."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.recipe.prose.said import FoodSaid

_TOGETHER = re.compile(r"^\s*together\b", re.IGNORECASE)
_SIFTED = re.compile(r",? sifted$", re.IGNORECASE)
_WITH = re.compile(r"^\s*with\b", re.IGNORECASE)
_JUICE = re.compile(r"\bof the (?P<what>juice|syrup)\b", re.IGNORECASE)
_DRAINED = re.compile(r"\b(?:drained|tins?|cans?)\b", re.IGNORECASE)
#: What is sifted with something else was measured before.
_MEASURED_BEFORE = "sifted after measuring"
_AND = re.compile(r"^[\s,]*(?:and|&)?\s*$", re.IGNORECASE)
_YOLKS = re.compile(r"^yolks? of ([0-9]+) eggs?|^([0-9]+) egg yolks?", re.IGNORECASE)
_WHITES = re.compile(r"^whites of (?:the|those|these) eggs\b", re.IGNORECASE)
_SAME = re.compile(r"\bof the same (?P<head>[^\W\d_]+)$|\bof the same (?P<head2>[^\W\d_]+)\b", re.IGNORECASE)  # fmt: skip


def settled_among(
    foods: Sequence[FoodSaid], text: str, before: Sequence[FoodSaid]
) -> list[FoodSaid]:
    """The foods of a text with what the others settle in their lines, those ``before`` the text too."""
    found: list[FoodSaid] = []
    yolks = ""
    for number, food in enumerate(foods):
        line = food.line
        if match := _YOLKS.match(line):
            yolks = match[1] or match[2]
        if yolks and (match := _WHITES.match(line)):
            line = f"{yolks} egg whites{line[match.end() :]}"
        if match := _JUICE.search(line):
            drained = [
                f.name for f in found if _DRAINED.search(f"{f.line}{text[f.end : f.end + 10]}")
            ]
            fruit = f"{drained[-1].split()[-1]} " if drained else ""
            line = f"{line[: match.start()]}of {fruit}{match['what']}{line[match.end() :]}"
        if match := _SAME.search(line):
            head = (match["head"] or match["head2"]).lower()
            earlier = [f.name for f in (*before, *found) if f.name.lower().split()[-1].rstrip("s") == head.rstrip("s")]  # fmt: skip
            if earlier:
                line = f"{line[: match.start()]}of {earlier[-1]}{line[match.end() :]}"
        found.append(food._replace(line=line) if line != food.line else food)
        _spread_back(found, text, foods[number + 1].start if number + 1 < len(foods) else len(text))
    return found


def _spread_back(found: list[FoodSaid], text: str, following: int) -> None:
    """A state that holds for what a food is joined with: "A and B sifted together", "A sifted with B"."""
    last = found[-1]
    behind = text[last.end : following]
    if _SIFTED.search(last.line) and _TOGETHER.match(behind):
        first = len(found) - 1
        while first and _AND.fullmatch(text[found[first - 1].end : found[first].start]):
            first -= 1
        found[first:] = map(_sifted, found[first:])
    elif len(found) > 1 and _SIFTED.search(found[-2].line) and _WITH.fullmatch(text[found[-2].end : last.start].rstrip()):  # fmt: skip
        found[-2:] = map(_sifted, found[-2:])


def _sifted(food: FoodSaid) -> FoodSaid:
    bare = _SIFTED.sub("", food.line).rstrip(" ,")
    return food._replace(line=f"{bare}, {_MEASURED_BEFORE}")
