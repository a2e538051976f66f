"""The steps of a method as sentences for a reader."""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.cookbook.english import listed, plural, sentence, with_article
from perflour.formula.formula import Formula, Step, Use
from perflour.formula.portions import joined, taken
from perflour.formula.verbs import PAN, PUTS_IN, PUTS_ON
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import (
    PORTION_WORDS,
    REST,
    Amount,
    AmountProblem,
    Temperature,
    as_other_scale,
    parse_temperature,
)

_DEGREES = re.compile(r"\d+(?:\.\d+)?( ?(?:-|–|to) ?\d+)? ?°\s?([CF])\b")


def method_sentences(formula: Formula, baked: bool = True) -> tuple[str, ...]:
    """Every step in words; ``baked`` False where nothing goes into an oven.

    Texts keep what was written; only temperatures get the scale they lack.
    """
    said: list[str] = []
    mixed = False
    for step in formula.method:
        said.append(_sentence(step, formula, baked, mixed))
        mixed = (mixed or len(step.uses) > 1) and not step.text("makes")
    return tuple(said)


def both_scales(text: str, value: Temperature | None) -> str:
    """``175 °C (350 °F)`` for either of the two; as written where it cannot be read (None)."""
    text = re.sub(r"(?<=\d)\s*°?\s*([CF])\b", r" °\1", text)
    if value is None or len(value.scales) > 1:
        return text
    return f"{text} ({as_other_scale(value)})"


def text_in_both_scales(text: str) -> str:
    """Free text with the other scale behind each temperature; as it is where it has both already."""
    found = {match[2] for match in _DEGREES.finditer(text)}
    return _DEGREES.sub(_with_other_scale, text) if len(found) == 1 else text


def _with_other_scale(match: re.Match[str]) -> str:
    try:
        return both_scales(match[0], parse_temperature(match[0]))
    except AmountProblem:  # a range upside down
        return match[0]


def _sentence(step: Step, formula: Formula, baked: bool, mixed: bool) -> str:
    words = [
        _what(step, formula, baked, mixed),
        _where(step),
        _tools(step),
        *_how_hot(step),
        *_how_long(step),
    ]
    core = f", {both_scales(step.core.text, step.core.value)} in the middle" if step.core else ""
    texts = [
        " ".join(filter(None, words)) + _fill(step) + core,
        text_in_both_scales(step.text("note")),
    ]
    if step.text("makes"):
        texts.append(f"This makes the {step.text('makes')}")
    return " ".join(filter(None, map(sentence, texts)))


def _what(step: Step, formula: Formula, baked: bool, mixed: bool) -> str:
    """The verb with what it is done to."""
    verb = step.do.lower()
    if verb in PAN and step.text("into"):
        uses = f" with {_uses(step.uses)}" if step.uses else ""
        return f"{step.do} {step.text('into')}{uses}"
    if not step.uses:
        bare = baked and step.heats_oven and " " not in verb
        return "preheat the oven" if bare else step.do
    if verb in PUTS_ON:
        return f"{step.do} with {_uses(step.uses)}"
    if verb in PUTS_IN and mixed and not _makes_a_dough(step, formula):
        return f"{step.do} in {_uses(step.uses)}"
    return f"{step.do} {_uses(step.uses)}"


def _makes_a_dough(step: Step, formula: Formula) -> bool:
    """Whether a step starts a mixture: a part of its own, or a dough that is kneaded."""
    if step.text("makes"):
        return not any(use.said != use.name for use in step.uses)
    names = [use.name for use in step.uses]
    return step.do.lower() == "knead" and any(
        formula.part(name) or "flour" in fold(name).split() for name in names
    )


def _uses(uses: Sequence[Use]) -> str:
    """One article for a plain list; one each where portions are among them."""
    if any(use.said != use.name for use in uses):
        return listed([_portion(use) for use in uses])
    return f"the {listed([use.name for use in uses])}"


def _portion(use: Use) -> str:
    if not use.takes:
        return f"the {use.name}"
    words = taken(use.said).words
    if PORTION_WORDS.get(words.split()[0].lower()) == REST:
        words = f"the {words}"
    several = isinstance(use.portion, Amount) and use.portion.terms[0].high > 1
    counts = several and isinstance(use.portion, Amount) and use.portion.kinds == {"count"}
    name = plural(use.name) if counts else use.name
    return f"{joined(words, 'the')}{name}"


def _where(step: Step) -> str:
    into = step.text("into")
    words = [f"into {with_article(into)}"] if into and step.do.lower() not in PAN else []
    if step.text("on"):
        words.append(f"on {with_article(step.text('on'))}")
    return " ".join(words)


def _tools(step: Step) -> str:
    speed = step.text("speed")
    if speed and "speed" not in speed:
        speed = f"speed {speed}" if speed[0].isdigit() else f"{speed} speed"
    tools = ", ".join(filter(None, (step.text("with"), speed)))
    return f"({tools})" if tools else ""


def _how_hot(step: Step) -> list[str]:
    readings = (("at", step.at), ("to", step.to))
    return [f"{word} {both_scales(r.text, r.value)}" for word, r in readings if r]


def _how_long(step: Step) -> list[str]:
    until = text_in_both_scales(step.text("until").removeprefix("until "))
    return [
        f"{word} {text}" for word, text in (("for", step.text("for")), ("until", until)) if text
    ]


def _fill(step: Step) -> str:
    fill = step.text("fill")
    if not fill:
        return ""
    return f", {fill}" if "full" in fill else f", {fill} full"
