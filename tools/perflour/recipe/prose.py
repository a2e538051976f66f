"""Running text to a sorted recipe: foods with their amounts by part, the method without them, yield and title.

"Cream half a cup of butter with a cup of sugar ... for the glaze mix ..." has no list: every food that is
said with an amount makes a line of the part that is being spoken of, and the sentence goes to the method
with the food's name alone. A food that is put in without an amount makes a line that says so.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from perflour.formula.verbs import MIXES, MIXES_DRY, MIXES_IN
from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.foods_in_text import FoodSaid, foods_in
from perflour.recipe.method.mentions import stems
from perflour.recipe.method.sentences import clauses, sentences
from perflour.recipe.method.steps import Paragraph
from perflour.recipe.names import named
from perflour.recipe.recipe_text import PartLines, RecipeText, TextLine
from perflour.recipe.words import word_map, word_set
from perflour.recipe.yields import yield_in
from perflour.result import Place

#: Fewer foods with amounts make no recipe.
FEWEST = 3
#: A first line that is no longer than this, in words, is a title.
MOST_OF_TITLE = 12
_KINDS = "|".join(sorted((*word_map("part-kinds"), *word_set("more-part-names")), key=len, reverse=True))  # fmt: skip
_MAKE = "|".join(sorted(word_set("verbs-that-make-parts")))
_TOPIC = re.compile(
    rf"\b(?:for (?:the|your|a)|to make (?:the|a|your)|(?:{_MAKE})(?: up)? (?:the|a|an|your)|(?:meanwhile|now|then|next|first),? (?:the|a)|(?:^|(?<=[.;!?] ))(?:and |then )?(?:the|your))\s"
    rf"(?P<name>(?:[^\W\d_]+[ -]){{0,2}}?(?:{_KINDS}))s?\b(?! of the)",
    re.IGNORECASE,
)
_HEAD = re.compile(rf"(?:^|(?<=[.;!?] ))(?P<name>(?:[^\W\d_]+[ -]){{0,2}}?(?:{_KINDS}))s?\s*(?::|—| - )", re.IGNORECASE)  # fmt: skip
#: Words before the name of a part that are none of it.
_LEADS = re.compile(r"^(?:(?:then|now|next|first|and|for|the|an?|your|meanwhile)\s+)+")
#: Words that say the topping's part has been left.
_BACK = re.compile(r"\b(?:for|to make|make|now|then) (?:the|a|your) (?:cakes?|batter|dough|buns?|bread|scones?|biscuits?|cookies?)\b", re.IGNORECASE)  # fmt: skip
_ON_TOP = re.compile(rf"\b(?:{'|'.join(sorted(word_set('words-for-on-top')))})\b", re.IGNORECASE)
_NO_FOOD_BEFORE = frozenset(("mixture", "bath", "dish", "bowl", "tin", "pan", "paper", "board", "mark", "spoon", "powdered", "cutter"))  # fmt: skip
_GROUPS = frozenset(("salt", "spice", "leavening", "yeast", "flour", "sugar", "fat", "egg", "flavouring", "dairy", "nut", "fruit", "syrup"))  # fmt: skip
#: A longer sentence is looked at from here on only.
MOST_OF_SENTENCE = 300
#: So many signs more than the yield hold nothing else: "This makes about".
MOST_AROUND_YIELD = 14
#: No food that is known has more words.
MOST_WORDS = 3


class _At(NamedTuple):
    """A food with the place of its paragraph's text, and the part that is spoken of there."""

    food: FoodSaid
    paragraph: int
    part: str


def sorted_prose(
    title: str, paragraphs: Sequence[Paragraph], catalogue: Catalogue, recipe: RecipeText
) -> RecipeText | None:
    """A recipe of what running text says; ``recipe`` has what was sorted before: source, yield, notes.

    None where too few foods are said with an amount.
    """
    foods = list(_placed(paragraphs, catalogue))
    if sum(at.food.has_amount for at in foods) < FEWEST:
        return None
    parts: dict[str, list[TextLine]] = {}
    for at in foods:
        place = paragraphs[at.paragraph].place(at.food.start)
        parts.setdefault(at.part, []).append(TextLine(at.food.line, place))
    yields = recipe.yields
    method = []
    for number, paragraph in enumerate(paragraphs):
        own = [at.food for at in foods if at.paragraph == number]
        text, yielded = _method(paragraph, own, yields is None)
        yields = yields or yielded
        method.append(text)
    lines = (
        PartLines(name or _base_name(title, paragraphs), tuple(of)) for name, of in parts.items()
    )
    return replace(recipe, title=title, yields=yields, part_lines=tuple(lines), method=tuple(method))  # fmt: skip


def _base_name(title: str, paragraphs: Sequence[Paragraph]) -> str:
    """What the main part is called in the text; empty where nothing calls it."""
    words = [word for p in paragraphs for word in re.findall(r"[a-z]+", p.text.lower())]
    found = {name: words.count(name) for name in ("dough", "batter", "pastry")}
    best = max(found, key=lambda name: found[name])
    return best if found[best] else ""


def _placed(paragraphs: Sequence[Paragraph], catalogue: Catalogue) -> Iterator[_At]:
    """Every food with the part it belongs to; those without an amount once."""
    known: set[str] = set()
    has_base = False
    for number, paragraph in enumerate(paragraphs):
        topics = _topics(paragraph.text)
        foods = foods_in(paragraph.text, catalogue)
        for found in foods:
            known.update(_heads(found.name, catalogue))
        foods = sorted([*foods, *_without_amounts(paragraph.text, foods, known, catalogue)])
        for food in foods:
            spoken = [name for start, name in topics if start <= food.start]
            part = spoken[-1] if spoken else ""
            if not part and has_base and food.has_amount and _is_on_top(paragraph.text, food):
                part = "topping"
            has_base = has_base or not part
            yield _At(food, number, part)


def _topics(text: str) -> list[tuple[int, str]]:
    """Where a text starts to speak of another part; the empty name is the main part."""
    found = [(m.start(), _LEADS.sub("", m["name"].lower())) for pattern in (_TOPIC, _HEAD) for m in pattern.finditer(text)]  # fmt: skip
    found += [(match.start(), "") for match in _BACK.finditer(text)]
    return sorted((start, "" if _is_base(name) else name) for start, name in found)


def _is_base(name: str) -> bool:
    return bool(set(stems(name)) & {"dough", "batter", "cake", "crumb"}) and "top" not in name


def _is_on_top(text: str, food: FoodSaid) -> bool:
    """Whether the sentence so far puts things on top."""
    first = max(0, food.start - MOST_OF_SENTENCE)
    start = max(text.rfind(sign, first, food.start) for sign in (". ", "; ", "! "))
    return bool(_ON_TOP.search(text[max(start + 1, first) : food.end + 12]))


def _heads(name: str, catalogue: Catalogue) -> Iterable[str]:
    """The words by which a food that was listed is known again."""
    known = named(name, catalogue).known
    words = stems(name)
    if known:
        yield known.name
    yield from (words[-1:] if words else ())


def _without_amounts(
    text: str, foods: Sequence[FoodSaid], known: set[str], catalogue: Catalogue
) -> Iterator[FoodSaid]:
    """Known foods that a text puts in without saying how much, each once."""
    tokens = list(re.finditer(r"[^\W\d_]+(?:['’-][^\W\d_]+)*", text))
    taken = [range(food.start, food.end) for food in foods]
    at = 0
    while at < len(tokens):
        length, name = _food_at(tokens, at, catalogue)
        if not length:
            at += 1
            continue
        start, end = tokens[at].start(), tokens[at + length - 1].end()
        behind = tokens[at + length][0].lower() if at + length < len(tokens) else ""
        at += length
        if any(start in span for span in taken) or behind in _NO_FOOD_BEFORE:
            continue
        heads = set(_heads(name, catalogue))
        if heads & known or not _puts_in(text, start):
            continue
        known.update(heads)
        yield FoodSaid(start, end, text[start:end], name, has_amount=False)


def _food_at(tokens: Sequence[re.Match[str]], at: int, catalogue: Catalogue) -> tuple[int, str]:
    for length in range(min(MOST_WORDS, len(tokens) - at), 0, -1):
        name = " ".join(token[0].lower() for token in tokens[at : at + length])
        found = catalogue.named(name)
        if found and found.group in _GROUPS and (length > 1 or len(name) > 3):
            return length, name
    return 0, ""


def _puts_in(text: str, start: int) -> bool:
    """Whether the clause before a food mixes something."""
    first = max(0, start - MOST_OF_SENTENCE)
    begin = max(first - 1, *(text.rfind(sign, first, start) for sign in (". ", "; ", "! ", "? ")))
    said = clauses(text[begin + 1 : start].strip(" .;") + " it")
    verbs = MIXES | MIXES_IN | MIXES_DRY | word_set("verbs-that-take")
    return any(clause.do.split(" ")[0] in verbs for clause in said[-1:])


def _method(
    paragraph: Paragraph, foods: Sequence[FoodSaid], wants_yield: bool
) -> tuple[Paragraph, TextLine | None]:
    """The paragraph with bare names for foods, without the sentence of the yield; and that sentence."""
    text, starts = _bare(paragraph, foods)
    bare = Paragraph(text, tuple(starts))
    for offset, sentence in sentences(text) if wants_yield else ():
        if found := yield_in(sentence):
            place = bare.place(offset)
            if len(sentence) <= len(found) + MOST_AROUND_YIELD:  # it says nothing else
                text = text[:offset] + " " * len(sentence) + text[offset + len(sentence) :]
            return Paragraph(text, bare.starts), TextLine(found, place)
    return bare, None


def _bare(paragraph: Paragraph, foods: Sequence[FoodSaid]) -> tuple[str, list[tuple[int, Place]]]:
    pieces: list[str] = []
    starts: list[tuple[int, Place]] = []
    at = length = 0
    bounds = [offset for offset, _ in paragraph.starts]

    def keep(first: int, last: int) -> None:
        nonlocal length
        begins = (first, *(bound for bound in bounds if first < bound < last))
        starts.extend((length + begin - first, paragraph.place(begin)) for begin in begins)
        pieces.append(paragraph.text[first:last])
        length += last - first

    for food in foods:
        if food.start < at:
            continue
        keep(at, food.start)
        starts.append((length, paragraph.place(food.start)))
        opens = paragraph.text[: food.start].rstrip()[-1:] in ("", ".", "!", "?")
        name = food.name[:1].upper() + food.name[1:] if opens else food.name
        pieces.append(name)
        length += len(name)
        at = food.end
    keep(at, len(paragraph.text))
    return "".join(pieces), starts
