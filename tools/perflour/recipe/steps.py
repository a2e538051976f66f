"""The text of a method to steps: verb, what it uses, and the fields of a step."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from perflour.formula.portions import taken
from perflour.kitchen.catalogue import normal_name
from perflour.kitchen.quantity import PORTION_WORDS, REST
from perflour.recipe.mentions import MOST_MEANT, Index, Mention, portion_before
from perflour.recipe.sentences import Clause, clauses, sentences
from perflour.recipe.step_fields import fields_of, says_more
from perflour.recipe.words import WORD, word_set
from perflour.result import Place

# How sure we are of a step that says two times, of which one is taken.
SECOND_TIME = 0.7
# How sure we are that a sentence without a verb in front is no step.
REMARK = 0.5
_WORD_OR_SIGN = re.compile(r"[0-9]+/[0-9]+|[0-9]+ ?%|[0-9]+x\b|[^\W_]+(?:['’.][^\W_]+)*|[^\s\w]")
_EXCEPT = ("except", "excepting", "excluding", "but", "without")


@dataclass(frozen=True)
class StepRead:
    """A step of a formula as read from a recipe; ``fields`` by key of the schema, all but `do` and `uses`."""

    do: str
    uses: tuple[str, ...]
    fields: tuple[tuple[str, str], ...]
    text: str
    place: Place
    confidence: float = 1.0
    unclear: str = ""


@dataclass(frozen=True)
class Paragraph:
    """Text of a method in one piece; ``starts`` are offsets in it with the place of each line."""

    text: str
    starts: tuple[tuple[int, Place], ...]

    def place(self, offset: int) -> Place:
        at = bisect_right(self.starts, offset, key=lambda pair: pair[0]) - 1
        start, place = self.starts[at]
        return place._replace(column=place.column + offset - start)


def read_steps(
    paragraphs: Iterable[Paragraph], index: Index, parts: Sequence[str]
) -> list[StepRead]:
    """The steps of a method, in order; a sentence without a verb is a note of the step before it."""
    names = frozenset(" ".join(part.lower().split()) for part in parts)
    state = _Reading(index, names)
    for paragraph in paragraphs:
        for offset, sentence in sentences(paragraph.text):
            place = paragraph.place(offset)
            for clause in clauses(sentence):
                state.read(clause, place)
    return state.steps


class _Reading:
    """Steps so far and which names are used by them; a class because "the remaining" looks back."""

    def __init__(self, index: Index, parts: frozenset[str]) -> None:
        self.index = index
        self.parts = parts
        self.steps: list[StepRead] = []
        self.used: set[str] = set()

    def read(self, clause: Clause, place: Place) -> None:
        if not clause.do:
            self._remark(clause.text, place)
            return
        fields = fields_of(clause.do, clause.rest, self.parts)
        uses, left = self._uses(fields.left)
        said = dict(fields.found)
        covered = _is_covered(left) and not clause.condition
        if note := "; ".join(fields.asides) if covered else clause.text:
            said["note"] = note
        step = StepRead(clause.do, tuple(uses), tuple(said.items()), clause.text, place)
        if says_more(left):
            why = "another time or temperature stands in the note; give it a step of its own"
            step = replace(step, confidence=SECOND_TIME, unclear=why)
        self.steps.append(step)

    def _remark(self, text: str, place: Place) -> None:
        """Kept as a note of the step before; as a step of its own where there is none."""
        why = "not read as a step, kept as a note; make it a step if it is one"
        if not self.steps:
            self.steps.append(StepRead("note", (), (("note", text),), text, place, REMARK, why))
            return
        last = self.steps[-1]
        fields = dict(last.fields)
        core = fields_of("", text).found.get("core")
        if core and "core" not in fields:
            fields["core"] = core
        fields["note"] = "; ".join(filter(None, (fields.get("note", ""), text)))
        if not last.unclear:
            last = replace(last, place=place, text=text)
        self.steps[-1] = replace(last, fields=tuple(fields.items()), confidence=REMARK, unclear=why)

    def _uses(self, text: str) -> tuple[list[str], str]:
        """Names in the order they are said, portions before them; and the text without them."""
        pieces = [piece for piece in _WORD_OR_SIGN.findall(text) if piece != "-"]
        words = [normal_name(piece).strip(".") for piece in pieces]
        mentions = self.index.mentions(words)
        uses: list[str] = []
        gone: set[int] = set()
        excluded = self._excluded(words)
        for mention in mentions:
            portion, start = portion_before(words, mention.start)
            gone.update(range(start, mention.end))
            for name in self._meant(mention):
                if mention.start in excluded or (len(mention.names) > 1 and name in excluded):
                    continue
                uses.append(self._taking(name, portion))
        uses += self._everything(words, gone)
        kept = [piece for at, piece in enumerate(pieces) if at not in gone]
        return list(dict.fromkeys(uses)), " ".join(kept)

    def _meant(self, mention: Mention) -> tuple[str, ...]:
        """Of a kind of ingredient, those that no step has used yet, if there are any."""
        unused = tuple(name for name in mention.names if name not in self.used)
        return unused if mention.by_kind and unused else mention.names

    def _excluded(self, words: Sequence[str]) -> set[object]:
        """Names and places of what stands behind "except"."""
        at = next((n for n, word in enumerate(words) if word in _EXCEPT), None)
        if at is None:
            return set()
        found: set[object] = set()
        for mention in self.index.mentions(words[at + 1 :]):
            found.add(mention.start + at + 1)
            found.update(mention.names)
        return found

    def _taking(self, name: str, portion: str) -> str:
        if taken(f"{portion}{name}").takes == REST and name not in self.used:
            portion = ""
        self.used.add(name)
        return f"{portion}{name}"

    def _everything(self, words: Sequence[str], gone: set[int]) -> list[str]:
        """ "All ingredients", "the remaining ingredients"."""
        for at, word in enumerate(words):
            if word not in ("ingredients", "everything") or at in gone:
                continue
            before = set(words[max(0, at - 3) : at])
            if any(PORTION_WORDS.get(word) == REST for word in before):
                names = [name for name in self.index.names if name not in self.used]
            elif "all" in before or word == "everything":
                names = list(self.index.names)
            else:
                continue
            if len(names) > MOST_MEANT:
                return []
            gone.update(range(max(0, at - 3), at + 1))
            self.used.update(names)
            return names
        return []


def _is_covered(left: str) -> bool:
    """Whether nothing that means something is left of a clause."""
    return all(word.lower() in word_set("step-fillers") for word in WORD.findall(left))
