"""Running text to a sorted recipe: foods with their amounts by part, the method without them, yield and title.

"Cream half a cup of butter with a cup of sugar ... for the glaze mix ..." has no list: every food that is
said with an amount makes a line of the part that is being spoken of, and the sentence goes to the method
with the food's name alone. A food that is put in without an amount makes a line that says so.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.method.sentences import sentences
from perflour.recipe.method.steps import Paragraph
from perflour.recipe.prose.foods import foods_in
from perflour.recipe.prose.parts import PartSaid, PartsTold
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.prose.unmeasured import heads_of, without_amounts
from perflour.recipe.prose.written_out import with_replaced, written_out
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.recipe.yields import yield_in

#: Fewer foods with amounts make no recipe.
FEWEST = 3
#: A first line that is no longer than this, in words, is a title.
MOST_OF_TITLE = 12
#: So many foods before may be meant by "the same sugar".
MOST_EARLIER = 40
GUESSED = (
    "told by where it goes and taken as the {}; name the part, or put its lines where they belong"
)
#: So many signs more than the yield hold nothing else: "This makes about".
MOST_AROUND_YIELD = 14


#: What a food is for that is said behind it, and tells what is done with it.
_USE = re.compile(r" for (?:dusting|sprinkling|brushing|scattering)\b", re.IGNORECASE)


class _At(NamedTuple):
    """A food with the place of its paragraph's text, and the part that is spoken of there."""

    food: FoodSaid
    paragraph: int
    part: PartSaid


def sorted_prose(
    title: str, paragraphs: Sequence[Paragraph], catalogue: Catalogue, recipe: RecipeText
) -> RecipeText | None:
    """A recipe of what running text says; ``recipe`` has what was sorted before: source, yield, notes.

    None where too few foods are said with an amount.
    """
    paragraphs = [written_out(paragraph) for paragraph in paragraphs]
    foods = list(_placed(paragraphs, catalogue))
    if sum(at.food.has_amount for at in foods) < FEWEST:
        return None
    parts: dict[str, list[TextLine]] = {}
    guessed: dict[str, str] = {}
    for at in foods:
        place = paragraphs[at.paragraph].place(at.food.start)
        parts.setdefault(at.part.name, []).append(TextLine(at.food.line, place))
        if at.part.is_guess:
            guessed.setdefault(at.part.name, GUESSED.format(at.part.name))
    yields = recipe.yields
    method = []
    for number, paragraph in enumerate(paragraphs):
        own = [at.food for at in foods if at.paragraph == number]
        text, yielded = _method(paragraph, own, yields is None)
        yields = yields or yielded
        method.append(text)
    lines = (
        PartLines(name or _base_name(title, paragraphs), tuple(of), guessed.get(name, ""))
        for name, of in parts.items()
    )
    return recipe._replace(title=title, yields=yields, part_lines=tuple(lines), method=tuple(method))  # fmt: skip


def _base_name(title: str, paragraphs: Sequence[Paragraph]) -> str:
    """What the main part is called in the text; empty where nothing calls it."""
    words = [word for p in paragraphs for word in re.findall(r"[a-z]+", p.text.lower())]
    found = {name: words.count(name) for name in ("dough", "batter", "pastry")}
    best = max(found, key=lambda name: found[name])
    return best if found[best] else ""


def _placed(paragraphs: Sequence[Paragraph], catalogue: Catalogue) -> Iterator[_At]:
    """Every food with the part it belongs to; those without an amount once."""
    known: set[str] = set()
    told = PartsTold(catalogue)
    measured: list[FoodSaid] = []
    for number, paragraph in enumerate(paragraphs):
        foods = foods_in(paragraph.text, catalogue, measured[-MOST_EARLIER:])
        measured += foods
        for found in foods:
            known.update(heads_of(found.name, catalogue))
        foods = sorted([*foods, *without_amounts(paragraph.text, foods, known, catalogue)])
        for food, part in zip(foods, told.of(paragraph, foods), strict=True):
            yield _At(food, number, part)


def _method(
    paragraph: Paragraph, foods: Sequence[FoodSaid], wants_yield: bool
) -> tuple[Paragraph, TextLine | None]:
    """The paragraph with bare names for foods, without the sentence of the yield; and that sentence."""
    bare = with_bare_names(paragraph, foods)
    text = bare.text
    for offset, sentence in sentences(text) if wants_yield else ():
        if found := yield_in(sentence):
            place = bare.place(offset)
            if _says_nothing_else(sentence, found):
                text = text[:offset] + " " * len(sentence) + text[offset + len(sentence) :]
            return Paragraph(text, bare.starts), TextLine(found, place)
    return bare, None


def _says_nothing_else(sentence: str, yielded: str) -> bool:
    """Whether a sentence tells the yield alone; one with another number in figures ("1 pan 9x13, cuts 24") does not."""
    others = Counter(re.findall("[0-9]+", sentence)) - Counter(re.findall("[0-9]+", yielded))
    return len(sentence) <= len(yielded) + MOST_AROUND_YIELD and not others


def with_bare_names(paragraph: Paragraph, foods: Sequence[FoodSaid]) -> Paragraph:
    """The paragraph with the name alone of each food that it says with an amount."""
    spans = []
    for food in foods:
        opens = paragraph.text[: food.start].rstrip()[-1:] in ("", ".", "!", "?")
        name = food.name[:1].upper() + food.name[1:] if opens else food.name
        use = _USE.search(paragraph.text, food.start, food.end)
        name += use[0] if use and use.end() == food.end else ""
        spans.append((food.start, food.end, name))
    return with_replaced(paragraph, spans)
