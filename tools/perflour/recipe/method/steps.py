"""The text of a method to steps: verb, what it uses, and the fields of a step."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from perflour.formula.verbs import GREASES, KNEADS, MIXES, MIXES_DRY, MIXES_IN, PAN, PUTS_ON, bakes
from perflour.recipe.method.implied import ADDING, MIXING, USE, done_with, is_done_too, made_of_list
from perflour.recipe.method.mentions import Index
from perflour.recipe.method.ovens import Scale, scales_in
from perflour.recipe.method.sentences import Clause, clauses, sentences
from perflour.recipe.method.step_fields import (
    fields_of,
    pan_in,
    says_more,
    stages_of,
    without_stages,
)
from perflour.recipe.method.uses import NAMES_SUGAR, Uses, words_of
from perflour.recipe.words import WORD, word_set
from perflour.result import Place

# How sure we are of a step that says two times, of which one is taken.
SECOND_TIME = 0.7
# How sure we are of a temperature whose scale nothing says.
SUPPOSED_SCALE = 0.7
#: How sure we are of what a sentence does that only lists things, and where the first stands at the latest.
IMPLIED, MOST_BEFORE_LIST = 0.7, 7
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
#: A second oven told beside the first, and how sure we are of its step, which has room for one.
_SECOND_OVEN = re.compile(r"(?=.*[0-9]).*\b(?:convection|conventional|fan)\b", re.IGNORECASE)
SECOND_OVEN = 0.9
#: What is done to things that the next step works on.
TAKING = "take"
# How sure we are that a sentence without a verb in front is no step.
REMARK = 0.5
NO_STEP = "not read as a step, kept as a note; make it a step if it is one"
#: What stands for the things of the step before.
_SAME = re.compile(
    r"^(?:them|those|these|both|that|all of them)\b|\b(?:them|those|these) (?:in|together|all)\b"
)
#: What stands for all that was only listed before.
_ALL_THAT = re.compile(r"^(?:up |in )?(?:all )?(?:of )?(?:that|those|these|this lot|that lot|the dry(?: things| stuff)?(?= together|$))\b", re.IGNORECASE)  # fmt: skip
#: What is brought to another thing without being named again: "sift the flour and add to the butter".
_INTO_WHAT = re.compile(r"(?:(?!to|into)\w+ly )?(?:to|into) (?:the|this|that)\b", re.IGNORECASE)
#: "Dough temp 25": of a dough, in Celsius.
_DOUGH = re.compile(r"(?:final |desired )?(?:dough temp(?:erature|\.)?|f\.?d\.?t\.?) ?(?:is |of |: ?)?(1[5-9]|2[0-9]|3[0-5]) ?(?:°? ?C)?\.?", re.IGNORECASE)  # fmt: skip
_DIGIT = re.compile(r"[0-9]")
#: A pan named by more words is told by itself: "the prepared tin" is not.
MOST_OF_BARE_PAN = 3
_TAKEN_AS = {ADDING: "put in"}
#: So many steps at most lie between a bake and the core temperature that is told of it.
MOST_BEHIND_BAKE = 3


class StepRead(NamedTuple):
    """A step of a formula as read from a recipe; ``fields`` by key of the schema, all but `do` and `uses`."""

    do: str
    uses: tuple[str, ...]
    fields: tuple[tuple[str, str], ...]
    text: str
    place: Place
    confidence: float = 1.0
    unclear: str = ""


class Paragraph(NamedTuple):
    """Text of a method in one piece; ``starts`` are offsets in it with the place of each line."""

    text: str
    starts: tuple[tuple[int, Place], ...]

    def place(self, offset: int) -> Place:
        at = bisect_right(self.starts, offset, key=lambda pair: pair[0]) - 1
        start, place = self.starts[at]
        return Place(place.path, place.line, place.column + offset - start)

    def trimmed(self) -> Paragraph:
        """Without blanks in front."""
        return self.behind(len(self.text) - len(self.text.lstrip()))

    def behind(self, offset: int) -> Paragraph:
        """The text from an offset on."""
        later = ((at - offset, place) for at, place in self.starts if at > offset)
        return Paragraph(self.text[offset:], ((0, self.place(offset)), *later))


def read_steps(
    paragraphs: Iterable[Paragraph],
    index: Index,
    parts: Sequence[str],
    house_scale: str = "",
    above: Sequence[str] = (),
) -> list[StepRead]:
    """The steps of a method, in order; a sentence without a verb is a note of the step before it.

    ``above`` are the parts whose lists stand above the paragraphs, where lists and method take turns.
    ``house_scale`` (C or F) is what a temperature without a scale is taken for where the text names none.
    """
    paragraphs = list(paragraphs)
    said = {scale for paragraph in paragraphs for scale in scales_in(paragraph.text)}
    scale = Scale(next(iter(said)) if len(said) == 1 else "", house_scale)
    names_sugar = any(NAMES_SUGAR(paragraph.text) for paragraph in paragraphs)
    state = _Reading(index, parts, scale, names_sugar)
    for number, paragraph in enumerate(paragraphs):
        state.uses.topics.open_paragraph(above[number] if above else "")
        for offset, sentence in sentences(paragraph.text):
            place = paragraph.place(offset)
            for clause in clauses(sentence, index.places):
                state.read(clause, place)
    state.close()
    return state.steps


class _Reading:
    """Steps so far and which names are used by them; a class because "the remaining" looks back."""

    def __init__(self, index: Index, parts: Sequence[str], scale: Scale, names_sugar: bool) -> None:
        self.scale = scale
        self.uses = Uses(index, parts, names_sugar)
        self.steps: list[StepRead] = []
        self.last_uses: tuple[str, ...] = ()
        self.last_place: Place | None = None
        self.pans: dict[str, str] = {}
        self.told_first: list[tuple[str, Place]] = []  # before any step
        self.tells_second_oven = False
        self.only_listed = 0  # so many steps at the end say no verb

    def read(self, clause: Clause, place: Place) -> None:
        if (told := _DOUGH.fullmatch(clause.text.strip())) and self._mixed_to(told[1]):
            return
        self.uses.topics.hear(clause.text)
        timed = not clause.do and self._only_times(clause.text)
        implied = not clause.do and (timed or self._only_lists(clause.text))
        if implied:
            clause = clause._replace(
                do=BAKING if timed else done_with(clause.text), rest=clause.text
            )
        if not clause.do:
            self._remark(clause.text, place)
            return
        fields = fields_of(clause.do, clause.rest, self.uses.parts, self.scale)
        uses, left, listed = self._used(clause, fields.left, place)
        self.uses.mixtures.made(clause.do, uses, clause.text)
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
            step = step._replace(confidence=LEFT_AMOUNT, unclear=why)
        elif (other := self.uses.index.unlisted(words_of(left))) and f"{other}-" not in clause.rest.lower():  # fmt: skip
            why = f"'{other}' is said to be used and stands in no list; list it, or name what it is"
            step = step._replace(confidence=LEFT_AMOUNT, unclear=why)
        if implied:
            why = f"no verb is said; taken as {'the bake' if timed else _TAKEN_AS.get(clause.do, clause.do)}"
            step = step._replace(confidence=IMPLIED, unclear=why)
        if fields.doubts:
            step = step._replace(confidence=SUPPOSED_SCALE, unclear="; ".join(fields.doubts))
        if says_more(left):
            why = "another time or temperature stands in the note; give it a step of its own"
            step = step._replace(confidence=SECOND_TIME, unclear=why)
        step = self._with_second_oven_told(step, fields.asides)
        self.only_listed = self.only_listed + 1 if implied and clause.do == ADDING else 0
        self.steps.append(_with_listed(step, listed))
        self._tell_first()
        goes_on = clause.do if bakes(clause.do) or clause.do in MIXES else MIXING
        self.steps += (StepRead(goes_on, (), stage, clause.text, place) for stage in stages)

    def _with_second_oven_told(self, step: StepRead, asides: Sequence[str]) -> StepRead:
        """A step has one temperature; that of another oven stands in its note, which is told once a recipe."""
        told = (piece for aside in asides for piece in aside.split("; "))
        oven = next((piece for piece in told if _SECOND_OVEN.search(piece)), "")
        if not oven or self.tells_second_oven or step.unclear:
            return step
        self.tells_second_oven = True
        why = f"a second oven stands in the note only ({oven}); write the temperature of the one you bake in"
        return step._replace(confidence=SECOND_OVEN, unclear=why)

    def _used(
        self, clause: Clause, text: str, place: Place
    ) -> tuple[list[str], str, list[StepRead]]:
        """What a clause uses, the text that is left, and the steps that only listed what it takes."""
        uses, left = self.uses.of(text, clause.do)
        listed: list[StepRead] = []
        if self.only_listed and _ALL_THAT.match(clause.rest) and clause.do.split(" ")[0] in MIXES | MIXES_IN | MIXES_DRY:  # fmt: skip
            is_dry = "dry" in clause.rest.lower().split()[:3]  # only the last list is
            listed = self.steps[-1 if is_dry else -self.only_listed :]
            del self.steps[-len(listed) :]  # "Flour, sugar, salt. Whisk that together"
            more = [] if is_dry else uses
            uses = list(dict.fromkeys((*(name for step in listed for name in step.uses), *more)))
        elif (
            not uses
            and self.steps
            and self.steps[-1].do == TAKING
            and _SAME.search(clause.rest.lower())
        ):
            listed = [self.steps.pop()]  # "take sugar and butter and cream those"
            uses = list(listed[0].uses)
        elif not uses and self.steps and not bakes(clause.do) and _SAME.search(clause.rest.lower()):
            uses = list(self.last_uses)
        elif not uses and self.last_place == place and is_done_too(clause):
            uses = self._of_same_subject(clause)
        elif (
            uses
            and self.last_place == place
            and not clause.before
            and clause.do.split(" ")[0]
            in MIXES | MIXES_IN | MIXES_DRY | word_set("verbs-that-bring-on")
            and _INTO_WHAT.match(clause.rest)
        ):
            uses = list(dict.fromkeys((*self.last_uses, *uses)))
        if not clause.before:
            is_of_pan = (
                clause.do.split(" ")[0] in PAN
            )  # "half fill them": the tins, not their butter
            self.last_place, self.last_uses = place, () if is_of_pan else tuple(uses)
        return uses, left, listed

    def _of_same_subject(self, clause: Clause) -> list[str]:
        """What "flour and salt sifted, folded in" folds in, and what "the glaze is syrup warmed, brushed on" brushes on."""
        part = self.uses.topics.part
        if clause.do.split(" ")[0] in PUTS_ON and part in self.uses.index.names:
            return [part]
        return list(self.last_uses)

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
        words = words_of(text)
        if USE.search(text) and (self.uses.index.unlisted(words) or self.uses.index.places(words[:2])):  # fmt: skip
            return True
        made_of = made_of_list(words)
        if set(words) & word_set("finite-verbs") and not made_of:
            return False
        mentions = [m for m in self.uses.index.mentions(words) if m.start >= made_of]
        return bool(mentions) and mentions[0].start < MOST_BEFORE_LIST

    def _remark(self, text: str, place: Place) -> None:
        """Kept as a note of the step before; as a step of its own where there is none."""
        if not self.steps:
            self.told_first.append((text, place))
            return
        core = fields_of("", text, self.uses.parts, self.scale).found.get("core")
        is_told = not core or self._baked_to(core)
        last = self.steps[-1]
        fields = dict(last.fields)
        if core and not is_told:
            fields.setdefault("core", core)
        fields["note"] = "; ".join(filter(None, (fields.get("note", ""), text)))
        if not last.unclear:
            last = last._replace(place=place, text=text)
        self.steps[-1] = last._replace(fields=tuple(fields.items()), confidence=REMARK, unclear=NO_STEP)  # fmt: skip

    def _tell_first(self) -> None:
        """Give the first step what was told before it, as a note."""
        if not self.told_first:
            return
        text, place = "; ".join(text for text, _ in self.told_first), self.told_first[0][1]
        step = self.steps[0]
        fields = dict(step.fields)
        fields["note"] = "; ".join(filter(None, (text, fields.get("note", ""))))
        self.steps[0] = step._replace(fields=tuple(fields.items()), confidence=REMARK)
        if not step.unclear:
            self.steps[0] = self.steps[0]._replace(place=place, text=text, unclear=NO_STEP)
        self.told_first = []

    def close(self) -> None:
        """What was told where no step followed is a step of its own."""
        for text, place in self.told_first:
            self.steps.append(StepRead("note", (), (("note", text),), text, place, REMARK, NO_STEP))

    def _mixed_to(self, celsius: str) -> bool:
        """Give the last step, if it mixes, the temperature of the dough that is told behind it."""
        step = self.steps[-1]
        if step.do.split(" ")[0] not in MIXES | KNEADS or {"to", "at"} & dict(step.fields).keys():
            return False
        self.steps[-1] = step._replace(fields=(*step.fields, ("to", f"{celsius} °C")))
        return True

    def _baked_to(self, core: str) -> bool:
        """Give the last bake, if it is one of the last steps, the core temperature that is told behind."""
        for at in range(len(self.steps) - 1, max(-1, len(self.steps) - 1 - MOST_BEHIND_BAKE), -1):
            step = self.steps[at]
            if bakes(step.do) and "core" not in dict(step.fields):
                self.steps[at] = step._replace(fields=(*step.fields, ("core", core)))
                return True
        return False


def _with_listed(step: StepRead, listed: Sequence[StepRead]) -> StepRead:
    """A step with the things that sentences without a verb listed before it, and what they say beside."""
    if not listed:
        return step
    told = [note for one in listed for key, note in one.fields if key == "note"]
    fields = dict(step.fields)
    if note := "; ".join(filter(None, (*told, fields.get("note", "")))):
        fields["note"] = note
    more = ((key, value) for one in listed for key, value in one.fields)
    fields = {**dict(more), **fields}
    if not listed[0].unclear:
        return step._replace(fields=tuple(fields.items()))
    return step._replace(fields=tuple(fields.items()), confidence=IMPLIED, unclear=step.unclear or listed[0].unclear)  # fmt: skip


def _whole(text: str, asides: Iterable[str]) -> str:
    """A clause as it stands, and what is told beside a temperature that it does not say so."""
    more = (aside for aside in asides if aside not in text)
    return "; ".join((text, *more))


def _head(pan: str) -> str:
    """The last pan, tin or sheet that a phrase names."""
    found = [word.lower() for word in WORD.findall(pan) if word.lower() in word_set("vessels")]
    return found[-1] if found else "-"


def _is_covered(left: str) -> bool:
    """Whether nothing that means something is left of a clause."""
    return all(word.lower() in word_set("step-fillers") for word in WORD.findall(left))
