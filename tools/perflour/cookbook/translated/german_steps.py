"""The steps of a method as German sentences: what is used first, then with what, where, how hot, how long, the verb."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from perflour.cookbook.english import listed, sentence
from perflour.cookbook.steps.told import Told, is_several
from perflour.cookbook.translated.german import (
    ACCUSATIVE,
    DATIVE,
    bare,
    of_the,
    one,
    several,
    the,
    the_rest_of,
)
from perflour.cookbook.translated.speaker import Speaker
from perflour.formula.formula import Formula, Reading, Use
from perflour.formula.portions import taken
from perflour.formula.verbs import LAYS, PAN, PORTIONS, PUTS_ON, words_of
from perflour.kitchen.language import Noun
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import ALL, HALF, REST, SOME, Temperature

#: What sets things down, and so says where to; all else says where.
_SETS_DOWN = (
    PORTIONS | LAYS | {"turn", "tip", "put", "place", "slide", "lift", "load", "drop", "move"}
)
_NUMBER = r"\d[\d.,]*(?: ?\d?/\d+)?"
_SIZE = re.compile(rf"{_NUMBER}(?: ?x ?{_NUMBER})* ?(?:cm|mm|inches|inch|in)\b(?: (?:long|wide|high|deep|round))?")  # fmt: skip
_COUNT = re.compile(r"(\d+) (?=[a-z])")
_ARTICLE = re.compile(r"(?:the|a|an|one) ")
_UNITS = (("h", r"hours?|hrs?"), ("min", r"minutes?|mins?"), ("s", r"seconds?|secs?"))
_FILL = re.compile(r"[\d/.% -]+")
_PORTIONS = {ALL: "alles", HALF: "die Hälfte", SOME: "etwas"}


def german_sentences(
    formula: Formula, baked: bool, base: str, speaker: Speaker, names: Mapping[str, Noun]
) -> tuple[str, ...]:
    """Every step as a sentence or two; ``names`` are those of foods and parts by the formula's."""
    steps = Told.steps_of(formula, baked, base)
    return tuple(_German(step, speaker, names).said() for step in steps)


class _German:
    """A step in German."""

    def __init__(self, told: Told, speaker: Speaker, names: Mapping[str, Noun]) -> None:
        self.told, self.speaker, self.names = told, speaker, names
        self.step, self.verb = told.step, told.step.do.lower()

    def said(self) -> str:
        step = self.step
        words = [
            self._what(), *self._with(), *self._where(),
            self._hot("bei", step.at), self._how_long(), self._hot("auf", step.to),
        ]  # fmt: skip
        until = self.speaker.free(re.sub(r"^(?:until|bis) ", "", step.text("until")))
        core = f"Kerntemperatur {self.speaker.heat(step.core)}" if step.core else ""
        first = ", ".join(
            filter(
                None,
                (
                    " ".join(filter(None, (*words, self._verb()))),
                    self._fill(),
                    until and f"bis {until}",
                    core,
                ),
            )
        )
        makes = step.text("makes") and f"Ergibt: {self.speaker.part(step.text('makes')).name}"
        return " ".join(filter(None, map(sentence, (first, self._note(), makes))))

    def _note(self) -> str:
        """What the kitchen remarks, as a sentence of its own; how things go in stands before the verb."""
        note = self.step.text("note")
        return "" if self._in_turns() else self.speaker.free(note)

    def _in_turns(self) -> str:
        note = self.step.text("note")
        return self.speaker.language.said.get(fold(note), "") if self.step.uses else ""

    def _is_laid(self) -> bool:
        """Whether pieces are shaped and then laid into something."""
        return self.verb == "shape" and not self.step.uses and bool(self.step.text("into"))

    def _verb(self) -> str:
        if self._is_laid():
            return "legen"
        is_together = self.told.is_together()
        verb = self.speaker.verb(self.step.do[:-3] if is_together else self.step.do)
        if not self.step.uses and verb.alone:
            return verb.alone
        return verb.into if verb.into and self.told.is_put_in() else verb.says

    def _what(self) -> str:
        """What it is done to; what goes on top or into a pan is said with "mit"."""
        if self.verb in PAN and self.step.text("into"):
            pan = self._vessel(self.step.text("into"), ACCUSATIVE)
            return f"{pan} mit {self._uses(DATIVE)}" if self.step.uses else pan
        if not self.step.uses:
            return self._object()
        if self.verb in PUTS_ON:
            return f"mit {self._uses(DATIVE)}"
        return " ".join(filter(None, (self._uses(ACCUSATIVE), self._in_turns())))

    def _object(self) -> str:
        """What is meant where nothing is named."""
        if self.told.baked and self.step.heats_oven:
            return "den Backofen"
        meant, made = self.told.object_meant(), self.told.formula.yields
        if meant == "pieces" and made:
            piece = self.speaker.piece(made.piece, self.told.base)
            return the(piece if made.pieces == 1 else several(piece), ACCUSATIVE)
        return the(self.speaker.part(self.told.base), ACCUSATIVE) if meant else ""

    def _uses(self, case: str) -> str:
        used = dict.fromkeys(self._use(use, case) for use in self.step.uses)
        return listed(tuple(used), "und")

    def _use(self, use: Use, case: str) -> str:
        """A thing used, with its portion where only one is taken."""
        if self.told.is_mixture(use):
            return bare(self.speaker.part("flour mixture"), case)
        noun = self._noun(use)
        if not use.takes:
            return bare(several(noun) if self.told.is_counted(use) else noun, case)
        if use.takes == REST and case == ACCUSATIVE:
            return the_rest_of(noun)
        if is_several(use.portion):
            noun = several(noun)
        return f"{self._portion(use)} {of_the(noun)}"

    def _noun(self, use: Use) -> Noun:
        known = self.names.get(fold(use.name))
        return known or self.speaker.part(use.name)

    def _portion(self, use: Use) -> str:
        if use.takes == REST:
            return "dem Rest"
        return _PORTIONS.get(use.takes) or self.speaker.language.figures(taken(use.said).words)

    def _with(self) -> Iterator[str]:
        """``mit dem Flachrührer auf mittlerer Stufe``."""
        tool, speed = self.step.text("with"), self.step.text("speed")
        known = self.speaker.language
        if tool and self.step.heats_oven and (noun := self.speaker.vessel(_ARTICLE.sub("", tool))):
            yield f"mit {one(noun, DATIVE)} darin"
        elif tool:
            size = _SIZE.search(tool)
            plain = " ".join(_ARTICLE.sub("", _SIZE.sub(" ", tool)).split())
            said = self.speaker.phrase("tool", known.tools, plain)
            yield f"{said} ({self._sized(size[0])})" if size else said
        if speed:
            plain = speed.removesuffix(" speed").removeprefix("speed ")
            numbered = plain[0].isdigit()
            yield f"auf Stufe {plain}" if numbered else self.speaker.phrase("speed", known.speeds, plain)  # fmt: skip

    def _where(self) -> Iterator[str]:
        into, on = self.step.text("into"), self.step.text("on")
        if into and self.verb not in PAN:
            laid = "formen und " if self._is_laid() else ""
            yield f"{laid}in {self._vessel(into, ACCUSATIVE)}"
        if on:
            sets_down = not _SETS_DOWN.isdisjoint(words_of(self.verb))
            yield f"auf {self._vessel(on, ACCUSATIVE if sets_down else DATIVE)}"

    def _vessel(self, text: str, case: str) -> str:
        """``eine gefettete Kastenform (23 × 13 cm)``, later ``die Kastenform``; as written where it is not known."""
        if own := self.speaker.own.get(fold(text)):
            return own
        size, plain = _SIZE.search(text), " ".join(_SIZE.sub(" ", text).split())
        count = _COUNT.match(plain)
        plain = _ARTICLE.sub("", plain[count.end() :] if count else plain)
        found = self._made_ready(plain)
        if found is None:
            self.speaker.not_known("vessel", text)
            return text
        ready, noun = found
        if noun.gender == "p" and count:
            number = count[1]
            again = text in self.told.stand.named
            said = the(noun, case, number, ready) if again else f"{number} {one(noun, case, ready)}"
        else:
            said = the(noun, case) if text in self.told.stand.named else one(noun, case, ready)
        return f"{said} ({self._sized(size[0])})" if size else said

    def _made_ready(self, plain: str) -> tuple[str, Noun] | None:
        """What was done to it, and what it is."""
        words = plain.split()
        for at in range(len(words)):
            noun = self.speaker.vessel(" ".join(words[at:]))
            before = " ".join(words[:at])
            ready = self.speaker.language.made_ready.get(fold(before), "")
            if noun and bool(before) == bool(ready):
                return ready, noun
        return None

    def _sized(self, size: str) -> str:
        words = (self.speaker.said(word) or word for word in size.split())
        return self.speaker.language.figures(" ".join(words))

    def _hot(self, word: str, reading: Reading[Temperature] | None) -> str:
        return f"{word} {self.speaker.heat(reading)}" if reading else ""

    def _how_long(self) -> str:
        """``2-3 min``, ``etwa 12 h``, ``über Nacht``."""
        time = self.step.text("for")
        if not time:
            return ""
        if said := self.speaker.said(time):
            return said
        if not (self.step.time and self.step.time.value):
            self.speaker.not_known("time", time)
            return time
        before = re.match(r"(?:about|at least|up to) ", time)
        told = time[before.end() :] if before else time
        for unit, words in _UNITS:
            told = re.sub(rf"\b(?:{words})\b", unit, told)
        told = re.sub(r"\b(?:days?|d)\b", "Tage", told)
        lead = f"{self.speaker.said(before[0].strip())} " if before else ""
        return lead + self.speaker.language.figures(told)

    def _fill(self) -> str:
        fill = self.step.text("fill")
        if not fill:
            return ""
        said = self.speaker.said(fill)
        return said or (f"{fill} hoch" if _FILL.fullmatch(fill) else self.speaker.free(fill))
