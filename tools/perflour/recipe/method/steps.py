"""The text of a method to steps: verb, what it uses, and the fields of a step."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from perflour.formula.portions import taken
from perflour.formula.verbs import GREASES, MIXES, PAN, bakes
from perflour.kitchen.catalogue import normal_name
from perflour.kitchen.quantity import PORTION_WORDS, REST
from perflour.recipe.method.mentions import MOST_MEANT, Index, Mention, portion_before
from perflour.recipe.method.mixtures import Mixtures, Topics
from perflour.recipe.method.ovens import Scale, scales_in
from perflour.recipe.method.pieces import base_form
from perflour.recipe.method.sentences import Clause, clauses, sentences
from perflour.recipe.method.step_fields import (
    fields_of,
    pan_in,
    says_more,
    stages_of,
    without_stages,
)
from perflour.recipe.words import WORD, word_set
from perflour.result import Place

# How sure we are of a step that says two times, of which one is taken.
SECOND_TIME = 0.7
# How sure we are of a temperature whose scale nothing says.
SUPPOSED_SCALE = 0.7
#: What a sentence does that only lists things, how sure we are of it, and where the first stands at the latest.
ADDING, IMPLIED, MOST_BEFORE_LIST = "add", 0.7, 7
#: What a sentence does that only says for how long, in so many words.
BAKING, MOST_OF_TIME = "bake", 7
#: An amount of something that no list has, and how sure we are of its step.
_MEASURE = r"[0-9][0-9/. ]*\s?(?:g|kg|ml|cl|l|oz|ounces?|lbs?|pounds?|cups?|tsp|tbsp|teaspoon(?:ful)?s?|tablespoon(?:ful)?s?)\b"
AMOUNT_LEFT = re.compile(
    rf"(?<![\w/.]){_MEASURE}(?:\s?{_MEASURE})?+(?![ ,]*(?:\([^()]*\)?\s*)?(?:of\s+)?(?:the\s+)?"
    r"(?:batter|dough|mixture|paste|pieces?|each|per|portions?|loaves|balls|pan|in|can|mould|scoop|cup|measure)\b)",
    re.IGNORECASE,
)
LEFT_AMOUNT = 0.6
#: What a step does that only says for how long more, and how fast.
MIXING = "mix"
# How sure we are that a sentence without a verb in front is no step.
REMARK = 0.5
_WORD_OR_SIGN = re.compile(r"[0-9]+/[0-9]+|[0-9]+ ?%|[0-9]+x\b|[^\W_]+(?:['’.][^\W_]+)*|[^\s\w]")
#: What stands for the things of the step before.
_SAME = re.compile(
    r"^(?:them|those|these|both|all of them)\b|\b(?:them|those|these) (?:in|together|all)\b"
)
_DIGIT = re.compile(r"[0-9]")
#: A pan named by more words is told by itself: "the prepared tin" is not.
MOST_OF_BARE_PAN = 3
_TAKEN_AS = {ADDING: "put in"}
#: What a listed thing is for, and what says that a machine turns.
_USE = re.compile(r"\bfor (dusting|sprinkling|brushing|greasing|rolling|decorating|scattering)\b", re.IGNORECASE)  # fmt: skip
_MACHINE = re.compile(r"\b(?:on|in) (?:the |a )?(?:hook|dough hook|paddle|whisk|mixer)\b", re.IGNORECASE)  # fmt: skip
_SUGAR = re.compile(r"\bsugars?\b", re.IGNORECASE)
#: So many steps at most lie between a bake and the core temperature that is told of it.
MOST_BEHIND_BAKE = 3
#: "Butter the tin" takes butter.
TAKES_ITS_NAME = ("butter", "oil")
_AFTER_ALL = ("", "thoroughly", "together", "well", ",", "until")
_EXCEPT = ("bar", "except", "excepting", "excluding", "but", "without")


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

    def trimmed(self) -> Paragraph:
        """Without blanks in front."""
        return self.behind(len(self.text) - len(self.text.lstrip()))

    def behind(self, offset: int) -> Paragraph:
        """The text from an offset on."""
        later = ((at - offset, place) for at, place in self.starts if at > offset)
        return Paragraph(self.text[offset:], ((0, self.place(offset)), *later))


def read_steps(
    paragraphs: Iterable[Paragraph], index: Index, parts: Sequence[str], house_scale: str = ""
) -> list[StepRead]:
    """The steps of a method, in order; a sentence without a verb is a note of the step before it.

    ``house_scale`` (C or F) is what a temperature without a scale is taken for where the text names none.
    """
    paragraphs = list(paragraphs)
    said = {scale for paragraph in paragraphs for scale in scales_in(paragraph.text)}
    scale = Scale(next(iter(said)) if len(said) == 1 else "", house_scale)
    names_sugar = any(_SUGAR.search(paragraph.text) for paragraph in paragraphs)
    state = _Reading(index, parts, scale, names_sugar)
    for paragraph in paragraphs:
        state.topics.open_paragraph()
        for offset, sentence in sentences(paragraph.text):
            place = paragraph.place(offset)
            for clause in clauses(sentence, index.places):
                state.read(clause, place)
    return state.steps


class _Reading:
    """Steps so far and which names are used by them; a class because "the remaining" looks back."""

    def __init__(self, index: Index, parts: Sequence[str], scale: Scale, names_sugar: bool) -> None:
        self.index = index
        self.scale = scale
        self.parts = frozenset(" ".join(part.lower().split()) for part in parts)
        self.topics = Topics(index, parts)
        self.mixtures = Mixtures(index)
        self.steps: list[StepRead] = []
        self.used: set[str] = set()
        self.last_uses: tuple[str, ...] = ()
        self.partly: dict[str, None] = {}
        self.pans: dict[str, str] = {}
        self.names_sugar = names_sugar

    def read(self, clause: Clause, place: Place) -> None:
        self.topics.hear(clause.text)
        timed = not clause.do and self._only_times(clause.text)
        implied = not clause.do and (timed or self._only_lists(clause.text))
        if implied:
            clause = replace(
                clause, do=BAKING if timed else _done_with(clause.text), rest=clause.text
            )
        if not clause.do:
            self._remark(clause.text, place)
            return
        fields = fields_of(clause.do, clause.rest, self.parts, self.scale)
        uses, left = self._uses(fields.left, clause.do)
        if not uses and self.steps and _SAME.search(clause.rest.lower()):
            uses = list(self.last_uses)
        if not clause.before:
            self.last_uses = tuple(uses)
        self.mixtures.made(clause.do, uses)
        said = dict(fields.found)
        self._pan(clause, said)
        covered = _is_covered(left) and not clause.condition
        if note := "; ".join(fields.asides) if covered else _whole(clause.text, fields.asides):
            said["note"] = note
        step = StepRead(clause.do, tuple(uses), tuple(said.items()), clause.text, place)
        stages = stages_of(fields.left)
        if stages:
            left = without_stages(left)
        if amount := AMOUNT_LEFT.search(left):
            why = f"'{amount[0].strip()}' stands in the note only; list what it is of, or give it a field"
            step = replace(step, confidence=LEFT_AMOUNT, unclear=why)
        if implied:
            why = f"no verb is said; taken as {'the bake' if timed else _TAKEN_AS.get(clause.do, clause.do)}"
            step = replace(step, confidence=IMPLIED, unclear=why)
        if fields.doubts:
            step = replace(step, confidence=SUPPOSED_SCALE, unclear="; ".join(fields.doubts))
        if says_more(left):
            why = "another time or temperature stands in the note; give it a step of its own"
            step = replace(step, confidence=SECOND_TIME, unclear=why)
        self.steps.append(step)
        goes_on = clause.do if bakes(clause.do) or clause.do in MIXES else MIXING
        self.steps += (StepRead(goes_on, (), stage, clause.text, place) for stage in stages)

    def _pan(self, clause: Clause, said: dict[str, str]) -> None:
        """A pan that is greased or lined is the one that later steps call "the tin"."""
        if clause.do.split(" ")[0] in PAN | GREASES and (pan := pan_in(clause.rest)):
            self.pans[_head(pan)] = pan
        for key in ("into", "on"):
            told = said.get(key, "")
            if (
                _head(told) in self.pans
                and len(told.split()) <= MOST_OF_BARE_PAN
                and not _DIGIT.search(told)
            ):
                said[key] = self.pans[_head(told)]
        if (
            bakes(clause.do)
            and self.pans
            and not {"into", "on"} & said.keys()
            and not any(
                pan == value
                for step in self.steps
                for pan in self.pans.values()
                for _, value in step.fields
            )
        ):
            said["into"] = next(reversed(self.pans.values()))

    def _only_times(self, text: str) -> bool:
        """Whether a sentence says for how long and nothing else, where no bake has a time yet."""
        has_bake = any(bakes(step.do) and "for" in dict(step.fields) for step in self.steps)
        found = fields_of(BAKING, text).found
        return (
            not has_bake
            and "for" in found
            and len(text.split()) <= MOST_OF_TIME
            and bool(self.steps)
        )

    def _only_lists(self, text: str) -> bool:
        """Whether a sentence without a verb lists things: "Then two eggs and the vanilla"."""
        words = [normal_name(piece).strip(".") for piece in _WORD_OR_SIGN.findall(text)]
        if set(words) & word_set("finite-verbs"):
            return False
        mentions = self.index.mentions(words)
        return bool(mentions) and mentions[0].start < MOST_BEFORE_LIST

    def _remark(self, text: str, place: Place) -> None:
        """Kept as a note of the step before; as a step of its own where there is none."""
        why = "not read as a step, kept as a note; make it a step if it is one"
        if not self.steps:
            self.steps.append(StepRead("note", (), (("note", text),), text, place, REMARK, why))
            return
        core = fields_of("", text, self.parts, self.scale).found.get("core")
        is_told = not core or self._baked_to(core)
        last = self.steps[-1]
        fields = dict(last.fields)
        if core and not is_told:
            fields.setdefault("core", core)
        fields["note"] = "; ".join(filter(None, (fields.get("note", ""), text)))
        if not last.unclear:
            last = replace(last, place=place, text=text)
        self.steps[-1] = replace(last, fields=tuple(fields.items()), confidence=REMARK, unclear=why)

    def _baked_to(self, core: str) -> bool:
        """Give the last bake, if it is one of the last steps, the core temperature that is told behind."""
        for at in range(len(self.steps) - 1, max(-1, len(self.steps) - 1 - MOST_BEHIND_BAKE), -1):
            step = self.steps[at]
            if bakes(step.do) and "core" not in dict(step.fields):
                self.steps[at] = replace(step, fields=(*step.fields, ("core", core)))
                return True
        return False

    def _uses(self, text: str, do: str) -> tuple[list[str], str]:
        """Names in the order they are said, portions before them; and the text without them."""
        pieces = [piece for piece in _WORD_OR_SIGN.findall(text) if piece != "-"]
        words = [normal_name(piece).strip(".") for piece in pieces]
        found: list[tuple[int, str]] = []
        gone: set[int] = set()
        for span, names in self.mixtures.named_in(words, self.topics.part):
            portion, start = portion_before(words, span.start)
            gone.update((*range(start, span.start), *span))
            found += ((span.start, self._taking(name, portion)) for name in names)
        excluded = self._excluded(words)
        mentions = [m for m in self.index.mentions(words) if not gone & set(range(m.start, m.end))]
        self.topics.follow(mentions, do)
        for mention in mentions:
            if words[max(0, mention.start - 2) : mention.start] == ["to", "a"]:
                continue  # "to a cream", "to a batter": what it becomes
            if self._is_topic(mention, words):
                gone.update(range(mention.start, mention.end))
                continue
            portion, start = portion_before(words, mention.start)
            gone.update(range(start, mention.end))
            for name in self._meant(mention):
                if mention.start in excluded or (len(mention.names) > 1 and name in excluded):
                    continue
                if mention.by_kind and words[mention.start] == "dry" and self._is_creamed(name):
                    continue
                found.append((mention.start, self._taking(name, portion)))
        if not found and (rest := self._the_rest(words)) is not None:
            gone.update(rest)
            found += ((rest.start, f"rest of {name}") for name in self.partly)
            self.partly.clear()
        if not found and do in TAKES_ITS_NAME:
            found += ((0, name) for name in self._own([do]))
        uses = [name for _, name in sorted(found, key=lambda pair: pair[0])]
        uses += self._everything(words, gone, bool(uses))
        kept = [piece for at, piece in enumerate(pieces) if at not in gone]
        return list(dict.fromkeys(uses)), " ".join(kept)

    def _own(self, words: Sequence[str]) -> tuple[str, ...]:
        """The one thing listed by a name in the part that is spoken of; () where there are several."""
        names = [name for mention in self.index.mentions(words) for name in mention.names]
        own = self.topics.of_part(names)
        return own if len(own) == 1 else ()

    def _meant(self, mention: Mention) -> tuple[str, ...]:
        """Of the part that is spoken of; of a kind of ingredient, those that no step has used yet."""
        names = self.topics.of_part(mention.names)
        unused = tuple(name for name in names if name not in self.used)
        return unused if mention.by_kind and unused else names

    def _is_topic(self, mention: Mention, words: Sequence[str]) -> bool:
        """ "For the sauce", "to a dough": the name of a part that is being made, not taken."""
        name = mention.names[0]
        if len(mention.names) > 1 or " ".join(name.lower().split()) not in self.parts:
            return False
        before = list(words[max(0, mention.start - 3) : mention.start])
        return (
            before[-1:] in (["a"], ["an"])
            or before[-2:] in (["for", "the"], ["make", "the"])
            or (name == self.topics.part and mention.end < len(words) and words[mention.end] == ":")
        )

    def _is_creamed(self, name: str) -> bool:
        """Whether a sugar is spoken of by itself, so that it is none of "the dry ingredients"."""
        group = next((e.group for e in self.index.entries if e.name == name), "")
        return group == "sugar" and self.names_sugar

    def _the_rest(self, words: Sequence[str]) -> range | None:
        """ "Add the rest" of what half was taken of."""
        for at, word in enumerate(words):
            behind = words[at + 1] if at + 1 < len(words) else ""
            if word in ("rest", "remainder") and behind != "of" and self.partly:
                return range(max(0, at - 1), at + 1)
        return None

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
        if portion and taken(f"{portion}{name}").takes != REST:
            self.partly[name] = None
        return f"{portion}{name}"

    def _everything(self, words: Sequence[str], gone: set[int], uses_any: bool) -> list[str]:
        """ "All ingredients", "the remaining ingredients"."""
        for at, word in enumerate(words):
            behind = (words[at + 1 : at + 2] or [""])[0]
            alone = word == "all" and not uses_any and behind in (*_AFTER_ALL, *_EXCEPT)
            if (word not in ("ingredients", "everything") and not alone) or at in gone:
                continue
            before = {"all"} if alone else set(words[max(0, at - 3) : at])
            own = self.topics.of_part(self.index.names)
            if any(PORTION_WORDS.get(word) == REST for word in before):
                names = [name for name in own if name not in self.used]
            elif "all" in before or word == "everything":
                names = list(own)
            else:
                continue
            if len(names) > MOST_MEANT:
                return []
            excluded = self._excluded(words)
            names = [n for n in names if n not in excluded and " ".join(n.lower().split()) not in self.parts]  # fmt: skip
            gone.update(range(max(0, at - 3), at + 1))
            self.used.update(names)
            return names
        return []


def _whole(text: str, asides: Iterable[str]) -> str:
    """A clause as it stands, and what is told beside a temperature that it does not say so."""
    more = (aside for aside in asides if aside not in text)
    return "; ".join((text, *more))


def _done_with(text: str) -> str:
    """What is done with things that are only listed: strewn where they are "for dusting", else put in."""
    if use := _USE.search(text):
        return base_form(use[1].lower())
    return MIXING if _MACHINE.search(text) else ADDING


def _head(pan: str) -> str:
    """The last pan, tin or sheet that a phrase names."""
    found = [word.lower() for word in WORD.findall(pan) if word.lower() in word_set("vessels")]
    return found[-1] if found else "-"


def _is_covered(left: str) -> bool:
    """Whether nothing that means something is left of a clause."""
    return all(word.lower() in word_set("step-fillers") for word in WORD.findall(left))
