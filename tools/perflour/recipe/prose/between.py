"""A list with running text around it: foods that only the method names with amounts, several foods on a line."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.ingredient_line import read_line
from perflour.recipe.method.mentions import stems
from perflour.recipe.names import is_state, named
from perflour.recipe.prose.foods import foods_in, may_say_several
from perflour.recipe.prose.parts import PartsTold
from perflour.recipe.prose.running_text import with_bare_names
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.prose.written_out import written_out
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.recipe.words import word_set

_JOINT = re.compile(r"[\s,;+&/|]*(?:\b(?:and|plus)\b)?[\s,;+&/|]*")
#: A line of a list is no longer.
MOST_OF_LINE = 200


def with_foods_told(recipe: RecipeText, catalogue: Catalogue) -> RecipeText:
    """A listed recipe with the foods that its method alone names with amounts: "stir in 3 c. grated carrot"."""
    listed = list(_listed(recipe, catalogue))
    told = PartsTold(catalogue, in_base=sum(len(part.lines) for part in recipe.part_lines))
    lines: dict[str, list[TextLine]] = {}
    method = []
    for paragraph in map(written_out, recipe.method):
        first = paragraph.place(0).line
        before = [one for one in listed if one.line <= first]
        foods = [f for f in foods_in(paragraph.text, catalogue) if _is_new(f, before, catalogue)]
        for food, part in zip(foods, told.of(paragraph, foods), strict=True):
            lines.setdefault(part.name, []).append(TextLine(food.line, paragraph.place(food.start)))
            listed.append(_one_listed(food.name, first, catalogue))
        method.append(with_bare_names(paragraph, foods) if foods else paragraph)
    if not lines:
        return recipe._replace(method=tuple(method))
    return recipe._replace(part_lines=tuple(_joined(recipe, lines)), method=tuple(method))


class _Listed(NamedTuple):
    """A food or part of the list: its words, its name in the catalogue, and the line it stands on."""

    words: frozenset[str]
    known: str
    line: int


def _one_listed(name: str, line: int, catalogue: Catalogue) -> _Listed:
    known = named(name, catalogue).known
    return _Listed(frozenset(stems(name)), known.name if known else "", line)


def _listed(recipe: RecipeText, catalogue: Catalogue) -> Iterator[_Listed]:
    for part in recipe.part_lines:
        for line in part.lines:
            yield _one_listed(part.name, line.place.line, catalogue)
            for read in read_line(line.text, catalogue):
                yield _one_listed(read.item, line.place.line, catalogue)


def _is_new(food: FoodSaid, listed: Sequence[_Listed], catalogue: Catalogue) -> bool:
    """Whether a food is one that we know and that no list before it has."""
    one = _one_listed(food.name, 0, catalogue)
    is_food = one.known or food.name.split()[-1] in word_set("foods-of-several-kinds")
    if not food.has_amount or not is_food:
        return False
    return not any(one.words <= other.words or one.known == other.known != "" for other in listed)


def _joined(recipe: RecipeText, told: dict[str, list[TextLine]]) -> Iterator[PartLines]:
    """The parts of the list with what was told of them, then the others; the base first where the list has none."""
    names = [part.name for part in recipe.part_lines]
    base = next((name for name in names if not name), None)
    if "" in told and base is None:
        yield PartLines("", tuple(told.pop("")))
    for part in recipe.part_lines:
        yield part._replace(lines=(*part.lines, *told.pop(part.name, ())))
    yield from (PartLines(name, tuple(lines)) for name, lines in told.items())


def foods_of_a_line(text: str, catalogue: Catalogue) -> list[tuple[int, str]]:
    """The foods with amounts that share a line of a list, each with its place; empty where it holds one or says more."""
    if len(text) > MOST_OF_LINE or not may_say_several(text):
        return []
    foods = foods_in(text, catalogue)
    if len(foods) < 2 or foods[0].start:
        return []
    found = []
    for number, food in enumerate(foods):
        end = foods[number + 1].start if number + 1 < len(foods) else len(text)
        behind = text[food.end : end].strip(" ,;+&/|")
        behind = re.sub(r"\b(?:and|plus)$", "", behind).strip(" ,;+&/|")
        if _JOINT.fullmatch(text[food.end : end]):
            found.append((food.start, text[food.start : food.end]))
        elif is_state(behind.replace("&", "and")):
            found.append((food.start, f"{text[food.start : food.end]}, {behind}"))
        else:
            return []
    return found
