"""Which part of a recipe running text speaks of at each place: the dough, its topping, the icing after the bake.

A part is named where it begins ("for the glaze", "SAUCE.-", "the curd first") or told by where its foods go: on
top, into the tin before there is a batter, on what has been baked. The second is a guess that is said.
"""

from __future__ import annotations

import re
from collections import deque
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.formula.verbs import BAKES, GREASES, MIXES, MIXES_IN
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.numerals import in_figures
from perflour.recipe.method.mentions import stems
from perflour.recipe.method.sentences import sentences
from perflour.recipe.method.steps import Paragraph
from perflour.recipe.names import named
from perflour.recipe.prose.behind import FOR_THE_PAN
from perflour.recipe.prose.said import FoodSaid
from perflour.recipe.words import any_of, word_map, word_set

_KINDS = "|".join(sorted((*word_map("part-kinds"), *word_set("more-part-names")), key=len, reverse=True))  # fmt: skip
_MAKE = "|".join(sorted(word_set("verbs-that-make-parts")))
_NAME = rf"(?P<name>(?:[^\W\d_]+[ -]){{0,2}}?(?:{_KINDS}))s?\b"
_TOPIC = re.compile(
    rf"\b(?:for (?:the|your|a)|to make (?:the|a|your)|(?:{_MAKE})(?: up)? (?:the|a|an|your)|(?:meanwhile|now|then|next|first),? (?:the|a)|(?:begin|start) with (?:the|an?)|(?:^|(?<=[.;!?] ))(?:and |then )?(?:the|your))\s{_NAME}(?! of the)",
    re.IGNORECASE,
)
_HEAD = re.compile(rf"(?:^|(?<=[.;!?] )){_NAME}\s*(?::|—|\.\s?[-–—]| - )", re.IGNORECASE)
#: Words before the name of a part that are none of it.
_LEADS = re.compile(r"^(?:(?:then|now|next|first|and|for|the|an?|your|meanwhile)\s+)+")
#: Words that say the topping's part has been left.
_BACK = re.compile(r"\b(?:for|to make|make|now|then) (?:the|a|your) (?:cakes?|batter|dough|buns?|bread|scones?|biscuits?|cookies?|(?:ginger|short)bread)\b", re.IGNORECASE)  # fmt: skip
_ON_TOP = re.compile(rf"\b(?:{'|'.join(sorted(word_set('words-for-on-top')))})\b", re.IGNORECASE)
_STIRRED_IN = re.compile(rf"\b(?:and|then) (?:{'|'.join(sorted(MIXES | MIXES_IN))})\b", re.IGNORECASE)  # fmt: skip
_BAKES = re.compile(rf"\b(?:(?:{'|'.join(sorted(BAKES))})(?:s|d|ed|ing)?|oven|convection|deck)\b|°|\bdegrees\b", re.IGNORECASE)  # fmt: skip
_TIME = re.compile(r"\b(?:min(?:ute)?s?|hours?|hrs?|h)\b", re.IGNORECASE)
_TIME_ALONE = re.compile(r"(?:about |around |say |maybe |for )?[0-9][0-9/ ½¼¾]*(?:(?:-|–|to|or) ?[0-9/ ]+)?(?:and a half )?(?:minutes|mins?|hours?)\b.{0,12}", re.IGNORECASE)  # fmt: skip
_LAYS = re.compile(
    rf"\b(?:{'|'.join(sorted(word_set('verbs-of-laying')))})\b|\bbottom of\b", re.IGNORECASE
)
_GREASE = "|".join(sorted(GREASES | word_set("verbs-of-greasing")))
_VESSEL = any_of("baking-tins")
_GREASES = re.compile(rf"\b(?:(?:{_GREASE})(?:e?d|bed)? (?:it |them |the |an? |your |each |well )*(?:[\w-]+ ){{0,4}}{_VESSEL}\b[^.;:!?,]{{0,12}}|{_VESSEL}\b[^.;:!?]{{0,40}}\b(?:{_GREASE})(?:e?d|bed) (?:well |lightly )?)\bwith\s[^.;,]{{0,20}}$", re.IGNORECASE)  # fmt: skip
_PAINTS = re.compile(rf"\b(?:{'|'.join(sorted(word_map('parts-by-verb')))})\b", re.IGNORECASE)
_OF_THE_PAN = re.compile(rf"\b{_VESSEL}\b", re.IGNORECASE)
#: Fewer foods make no part of their own.
FEWEST_OF_PART = 2
#: A longer sentence is looked at from here on only.
MOST_OF_SENTENCE = 300


class PartSaid(NamedTuple):
    """The part a food belongs to, empty for the main one; ``is_guess`` where only its place tells it."""

    name: str
    is_guess: bool = False


class PartsTold:
    """Goes through the paragraphs in order; a class because a part is told by what came before it."""

    def __init__(self, catalogue: Catalogue, in_base: int = 0) -> None:
        """``in_base`` foods of the main part were listed before."""
        self.catalogue = catalogue
        self.in_base = in_base
        self.has_flour = in_base > 0
        self.is_baked = False
        self.is_in_pan = False

    def of(self, paragraph: Paragraph, foods: Sequence[FoodSaid]) -> Iterator[PartSaid]:
        """The part of each food of a paragraph, in order of the text."""
        text = paragraph.text
        spans = [(start, start + len(said), said) for start, said in sentences(text)]
        bakes = [(end, None) for _, end, said in spans if self._is_bake(said)]
        turns = deque(sorted([*_topics(text), *bakes], key=lambda turn: turn[0]))
        spoken: str | None = None
        at, left = 0, len(bakes)
        for food in foods:
            while at + 1 < len(spans) and spans[at + 1][0] <= food.start:
                at += 1
            begin, said = (spans[at][0], spans[at][2]) if spans else (0, text)
            while turns and turns[0][0] <= food.start:
                _, name = turns.popleft()
                if name is None:
                    left -= 1
                    self._bake()
                spoken = name if name is not None else spoken or None  # a batter ends in the oven
            found = (
                None if spoken is not None else self._by_place(text, food, begin, said, left > 0)
            )
            part = found or PartSaid(spoken or "")
            self._note(part, food)
            yield part
        for _ in range(left):
            self._bake()

    def _is_bake(self, said: str) -> bool:
        """Whether a sentence bakes: by its verb or oven, or by a bare time once the tin is filled."""
        self.is_in_pan = self.is_in_pan or bool(_OF_THE_PAN.search(said))
        is_time = bool(_TIME.search(said))
        return is_time and bool(_BAKES.search(said) or (self.is_in_pan and _TIME_ALONE.fullmatch(in_figures(said))))  # fmt: skip

    def _bake(self) -> None:
        self.is_baked = self.is_baked or self.in_base >= FEWEST_OF_PART

    def _by_place(
        self, text: str, food: FoodSaid, begin: int, said: str, bakes_again: bool
    ) -> PartSaid | None:
        """The part of a food by where it goes; None for the main part."""
        before = text[max(begin, food.start - MOST_OF_SENTENCE) : food.start]
        if food.has_amount and _GREASES.search(before):
            return PartSaid(FOR_THE_PAN)
        if food.goes:
            return PartSaid(food.goes)
        if self.is_baked and food.has_amount:
            part = _behind_the_bake(text[begin : food.end + MOST_OF_SENTENCE], said, bakes_again)
            return part._replace(name="topping") if part.name == "glaze" and self._is_buttered(said) else part  # fmt: skip
        around = before + text[food.start : min(food.end + 12, max(food.end, begin + len(said)))]
        if self.in_base and food.has_amount and _ON_TOP.search(around) and not self._goes_in(food, said):  # fmt: skip
            return PartSaid("topping")
        if self.in_base and food.has_amount and (painted := _PAINTS.search(before)) and not _OF_THE_PAN.search(before):  # fmt: skip
            return PartSaid(self._painted(painted[0].lower(), food))
        if not self.has_flour and _LAYS.search(said) and _OF_THE_PAN.search(said):
            return PartSaid("filling", is_guess=True)
        return None

    def _goes_in(self, food: FoodSaid, said: str) -> bool:
        """Whether what is sprinkled is stirred in then, or is no topping: "sprinkle the soda over and stir"."""
        known = named(food.name, self.catalogue).known
        return _STIRRED_IN.search(said) is not None or (known is not None and known.group in ("leavening", "yeast"))  # fmt: skip

    def _painted(self, verb: str, food: FoodSaid) -> str:
        """The part that a verb like "brush" makes of a food; butter or oil is no glaze."""
        known = named(food.name, self.catalogue).known
        is_fat = known is not None and known.group in ("fat", "oil")
        return "topping" if is_fat else word_map("parts-by-verb")[verb]

    def _is_buttered(self, said: str) -> bool:
        """Whether what is brushed on is butter or oil, and no glaze is spoken of."""
        brushed = re.search(r"\bbrush(?:ed)?\b[^.;]*?\b(?:butter|oil|lard)\b", said, re.IGNORECASE)
        return brushed is not None and "glaze" not in said.lower()

    def _note(self, part: PartSaid, food: FoodSaid) -> None:
        if part.name:
            return
        self.in_base += food.has_amount
        known = named(food.name, self.catalogue).known
        self.has_flour = self.has_flour or (known is not None and known.group == "flour")


def _topics(text: str) -> list[tuple[int, str]]:
    """Where a text starts to speak of another part; the empty name is the main part."""
    found = [(m.start(), _LEADS.sub("", m["name"].lower())) for pattern in (_TOPIC, _HEAD) for m in pattern.finditer(text)]  # fmt: skip
    found += [(match.start(), "") for match in _BACK.finditer(text)]
    return sorted((start, "" if _is_base(name) else name) for start, name in found)


def _is_base(name: str) -> bool:
    return bool(set(stems(name)) & {"dough", "batter", "cake", "crumb"}) and "top" not in name


def _behind_the_bake(text: str, sentence: str, bakes_again: bool) -> PartSaid:
    """What goes on or into something baked, by the name it is given, else by the verb that puts it there."""
    for said in (sentence, text):
        names = [
            word
            for word in re.findall(_KINDS, said.lower())
            if word not in word_set("no-names-of-toppings")
        ]
        if names:
            return PartSaid(names[0])
        by_verb = word_map("parts-by-verb")
        named_so = (
            by_verb[word] for word in re.findall(r"[a-z]+", said.lower()) if word in by_verb
        )
        if name := next(named_so, ""):
            return PartSaid(name)
    return PartSaid("filling" if bakes_again else "topping", is_guess=True)
