"""The steps of a method as English sentences: who does what with which, where, how hot, how long."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from perflour.cookbook.english import (
    fragment,
    in_turns,
    is_clause,
    listed,
    plural,
    sentence,
    to_the,
    with_article,
    with_tool,
)
from perflour.cookbook.steps.scales import both_scales, text_in_both_scales
from perflour.cookbook.steps.told import Told, is_several
from perflour.formula.formula import Formula, Step, Use
from perflour.formula.portions import joined, taken
from perflour.formula.verbs import PAN, PORTIONS, PUTS_ON
from perflour.kitchen.quantity import PORTION_WORDS, REST

#: Verbs of the trade that readers know by another: a batter is deposited in a plant.
FOR_READERS = {"deposit": "put"}
# How kitchens note what a pan is lined with: butter the pan, paper on the long sides.
_BUTTER_AND_PAPER = re.compile(
    r"(butter|grease|oil) the (?:pan|tin|mould)s?,? (?:and )?paper on the (.+)"
)


def english_sentences(formula: Formula, baked: bool, base: str) -> tuple[str, ...]:
    """Every step as a sentence or two."""
    return tuple(step.said() for step in _Step.steps_of(formula, baked, base))


class _Step(Told):
    """A step in English."""

    def said(self) -> str:
        step = self.step
        did, where = self._what(), self._where()
        words = [did, where, *_tools(step, f"{did} {where}"), *_how_hot(step), *_how_long(step)]
        if not any(words[1:]):
            words[0] = did.removesuffix(",")
        core = (
            f", with {both_scales(step.core.text, step.core.value)} in the middle"
            if step.core
            else ""
        )
        first = " ".join(filter(None, words)) + _fill(step) + core
        texts = [self._with_note(first, bare=not any(words[2:]))]
        if step.text("makes"):
            texts.append(f"This makes the {step.text('makes')}")
        return " ".join(filter(None, map(sentence, texts)))

    @property
    def note(self) -> str:
        return text_in_both_scales(self.step.text("note"))

    def _with_note(self, said: str, bare: bool) -> str:
        """The note behind the step: a sentence of its own stays one, what hangs on is hung on."""
        note = self.note
        if not note or self._note_is_inside():
            return said
        if note[0].isupper() or is_clause(note.partition(";")[0]):
            return f"{sentence(said)} {sentence(note)}"
        is_mere_verb = bare and (not self.step.uses or self.step.do.lower() in PUTS_ON)
        return f"{said}{fragment(note, is_mere_verb)}"

    def _note_is_inside(self) -> bool:
        """Whether the note says of what is used how it goes in, and so stands right behind it."""
        is_of_mixture = self.note.startswith("the ") and any(map(self.is_mixture, self.step.uses))
        return (bool(self.step.uses) and (in_turns(self.note) or is_of_mixture)) or self._papers()

    def _papers(self) -> bool:
        is_paper = self.note.startswith("paper ") or _BUTTER_AND_PAPER.fullmatch(self.note)
        return self.step.do.lower() == "line" and not self.step.uses and bool(is_paper)

    def _lined(self) -> str:
        """A pan that is lined as its note says."""
        pan = self._pan()
        if not self._papers():
            return f"{self.step.do} {pan}"
        if not (found := _BUTTER_AND_PAPER.fullmatch(self.note)):
            return f"{self.step.do} {pan} with {self.note}"
        whose = "its" if pan.startswith(("a ", "an ", "the ")) else "their"
        return f"{found[1]} {pan} and line {whose} {found[2]} with paper"

    def _what(self) -> str:
        """The verb with what it is done to."""
        step, verb = self.step, self.step.do.lower()
        do = FOR_READERS.get(verb, step.do)
        if verb in PAN and step.text("into"):
            return f"{do} {self._pan()} with {self._uses()}" if step.uses else self._lined()
        if not step.uses:
            bare = self.baked and step.heats_oven and " " not in verb
            return "preheat the oven" if bare else " ".join(filter(None, (do, self._object())))
        if verb in PUTS_ON:
            return f"{do} with {self._uses()}"
        if self.is_together():
            return f"{do.removesuffix(' in')} {self._uses()} together"
        if self.is_put_in():
            return f"{do} in {self._uses()}"
        return f"{do} {self._uses()}"

    def _object(self) -> str:
        """What is meant where nothing is named, in words."""
        meant, made = self.object_meant(), self.formula.yields
        if meant == "pieces" and made:
            return f"the {made.piece if made.pieces == 1 else plural(made.piece)}"
        return f"the {self.base}" if meant else ""

    def _uses(self) -> str:
        """One article for a plain list; one each where portions are among them; then how they go in."""
        names = list(dict.fromkeys(self._names()))
        said = f"the {listed([name for name, _ in names])}"
        if any(takes for _, takes in names):
            said = listed([takes or f"the {name}" for name, takes in names])
        if not self._note_is_inside():
            return said
        return f"{said}, {self.note}," if in_turns(self.note) else f"{said} ({self.note})"

    def _names(self) -> Iterator[tuple[str, str]]:
        """Each thing used, with its words where only a portion is taken."""
        for use in self.step.uses:
            shown = "flour mixture" if self.is_mixture(use) else self._counted(use)
            yield shown, _portion(use, shown) if use.takes else ""

    def _counted(self, use: Use) -> str:
        """The name, in the plural where several whole ones are listed: the eggs."""
        return plural(use.name) if self.is_counted(use) else use.name

    def _pan(self) -> str:
        """What it goes into, new at its first mention: a loaf pan, then the loaf pan."""
        into = self.step.text("into")
        return to_the(into) if into in self.stand.named else with_article(into)

    def _where(self) -> str:
        step, verb = self.step, self.step.do.lower()
        into, on = step.text("into"), step.text("on")
        words = []
        if into and verb not in PAN:
            lay = "and lay them in" if verb == "shape" and self._object() else "into"
            words.append(f"{lay} {self._pan()}")
        if on:
            onto = "onto" if verb in PORTIONS or verb == "cut" else "on"
            words.append(f"{onto} {with_article(on)}")
        return " ".join(words)


def _portion(use: Use, name: str) -> str:
    words = taken(use.said).words
    if PORTION_WORDS.get(words.split()[0].lower()) == REST:
        words = f"the {words}"
    if is_several(use.portion):
        name = plural(name)
    return f"{joined(words, 'the')}{name}"


def _tools(step: Step, said: str) -> Sequence[str]:
    """``with the paddle on medium speed``, ``with a spatula``."""
    speed, tool = step.text("speed"), step.text("with")
    if speed and "speed" not in speed:
        speed = f"speed {speed}" if speed[0].isdigit() else f"{speed} speed"
    if tool and step.heats_oven:
        return [f"with {with_article(tool)} in it"]
    words = with_tool(tool, bool(speed), " with " in said) if tool else ""
    return [words, f"on {speed}" if speed else ""]


def _how_hot(step: Step) -> list[str]:
    readings = (("at", step.at), ("to", step.to))
    return [f"{word} {both_scales(r.text, r.value)}" for word, r in readings if r]


def _how_long(step: Step) -> list[str]:
    time = step.text("for")
    until = text_in_both_scales(step.text("until").removeprefix("until "))
    return [f"for {time}" if time else "", _until(until) if until else ""]


def _until(sign: str) -> str:
    """``until smooth``, ``to a smooth paste``, ``until no dry streaks are left``."""
    words = sign.split()
    if is_clause(sign):
        return f"until {sign}"
    if words[0] == "no" and len(words) > 1:
        return f"until {sign} {'are' if words[-1].endswith('s') else 'is'} left"
    is_thing = words[0] in ("a", "an", "one") or " the size of " in sign
    return f"{'to' if is_thing else 'until'} {sign}"


def _fill(step: Step) -> str:
    fill = step.text("fill")
    if not fill:
        return ""
    return f", {fill}" if "full" in fill else f", {fill} full"
