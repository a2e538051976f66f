"""Who says the words of a formula in the language of the book, and remembers those that it has no word for."""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType

from perflour.cookbook.steps.scales import celsius_first, text_in_both_scales
from perflour.formula.formula import Reading
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.language import Language, Noun, Verb
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import AmountProblem, Temperature, parse_temperature
from perflour.plain import one_line

_NOTHING: Mapping[str, str] = MappingProxyType({})
# What joins several states of one ingredient.
_JOINT = re.compile(r"(, | and )")


class Speaker:
    """Says foods, verbs, tools and states; what it does not know stays as it is written.

    ``own`` are the kitchen's own words for what it wrote, by the words of its files. It collects what is not
    known, where all else is made of plain values: a page has a dozen places with words.
    """

    def __init__(self, language: Language, own: Mapping[str, str] = _NOTHING) -> None:
        self.language = language
        self.own = {
            fold(key): one_line(said)
            for word, said in own.items()
            for key in (word, text_in_both_scales(word))  # as pages say it
        }
        self._unknown: dict[tuple[str, str], None] = {}

    @property
    def remarks(self) -> tuple[str, ...]:
        """What has no word, a line each with what to do."""
        called = self.language.called
        return tuple(
            f"{called} has no word here for the {kind} '{word}', which stands as it is written; "
            f"give it one in book.yaml: words: {self.language.language}"
            for kind, word in self._unknown
        )

    def free(self, text: str) -> str:
        """What the kitchen wrote: in its own words for it, else as it is."""
        return self.own.get(fold(text), text) if text else text

    def remark(self, text: str) -> str:
        """A remark of the kitchen on an ingredient, which may be a state that everybody knows."""
        return self.language.states.get(fold(text)) or self.free(text)

    def food(self, name: str, catalogue: Catalogue) -> tuple[Noun, str]:
        """A food, and what its name says of its state."""
        said, understood = self.known_food(name, catalogue), catalogue.understood(name)
        if said is None:
            return Noun(self._as_written("food", name)), ""
        if understood is None or fold(name) in self.own:
            return said, ""
        around = (*map(self.state, understood.states), *understood.others)
        return said, ", ".join(around)

    def known_food(self, name: str, catalogue: Catalogue) -> Noun | None:
        """A food by any of its names; None where there is no word for it."""
        food = catalogue.find(name)
        main = food.name if food else name
        own = self._own_noun(name) or self._own_noun(main)
        if own:
            return own._replace(gender=self._gender(own.name))
        return self.language.foods.get(fold(main))

    def _gender(self, name: str) -> str:
        """That of the food whose name an own word ends with: weiches *Weizenmehl*."""
        head = plain_name(name).lower()
        known = ((plain_name(noun.name), noun.gender) for noun in self.language.foods.values())
        ends = [(len(short), gender) for short, gender in known if head.endswith(short.lower())]
        return max(ends)[1] if ends else ""

    def part(self, name: str) -> Noun:
        """A part, by the words that parts often go by; the kitchen names them as it likes."""
        return self._own_noun(name) or self.language.parts.get(fold(name)) or Noun(name)

    def piece(self, noun: str, base: str) -> Noun:
        """What a formula makes: a loaf of dough, or one of batter."""
        known = self.language.pieces
        said = self._own_noun(noun) or known.get(fold(f"{base} {noun}")) or known.get(fold(noun))
        return said or Noun(self._as_written("piece", noun))

    def verb(self, do: str) -> Verb:
        said = self._own_noun(do)
        known = Verb(said.name) if said else self.language.verbs.get(fold(do))
        return known or Verb(self._as_written("verb", do))

    def state(self, text: str) -> str:
        """``cold, cubed``: each state by itself."""
        whole = self.own.get(fold(text)) or self.language.states.get(fold(text))
        if whole or not text:
            return whole or ""
        pieces = _JOINT.split(text)
        if len(pieces) == 1:
            return self._degrees(text) or self._as_written("state", text)
        return "".join(", " if _JOINT.fullmatch(piece) else self.state(piece) for piece in pieces)

    def heat(self, reading: Reading[Temperature]) -> str:
        """A temperature, °C first; one that cannot be read by its word, else as it is written."""
        if reading.value is None:
            return self.said(reading.text) or self._as_written("temperature", reading.text)
        return self.language.figures(celsius_first(reading.text, reading.value))

    def _degrees(self, text: str) -> str:
        """A temperature that stands for a state: butter of 20 °C."""
        try:
            return self.language.figures(celsius_first(text, parse_temperature(text)))
        except AmountProblem:
            return ""

    def vessel(self, name: str) -> Noun | None:
        """A pan or what else things go into, one or several of it; None where it is not known."""
        if said := self._own_noun(name):
            return said
        known = self.language.vessels
        if found := known.get(fold(name)):
            return found
        for end in ("es", "s"):
            found = known.get(fold(name.removesuffix(end)))
            if found and name.endswith(end):
                return Noun(found.several, "p")
        return None

    def phrase(self, kind: str, words: Mapping[str, str], text: str) -> str:
        """A tool or a speed, by its whole phrase."""
        return self.own.get(fold(text)) or words.get(fold(text)) or self._as_written(kind, text)

    def said(self, text: str) -> str:
        """A word that stands for itself; empty where it is not known."""
        return self.own.get(fold(text)) or self.language.said.get(fold(text), "")

    def not_known(self, kind: str, word: str) -> None:
        """Remembers a word, once."""
        self._unknown[(kind, word)] = None

    def _as_written(self, kind: str, word: str) -> str:
        self.not_known(kind, word)
        return word

    def _own_noun(self, word: str) -> Noun | None:
        said = self.own.get(fold(word))
        return Noun(said) if said else None


def plain_name(name: str) -> str:
    """``Weizenmehl`` of ``Weizenmehl, kleberstark (etwa Type 550)``."""
    return re.split(r", | \(", name, maxsplit=1)[0]
