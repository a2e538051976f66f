"""What a step says in words and in no field of its own: loaded only where a rule is about to miss it.

A recipe that was imported, or typed in a hurry, holds whole sentences in its notes. Here only what is
unmistakable is taken as said; a sentence that weighs what might be done says nothing.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.formula.formula import Step
from perflour.formula.verbs import COOLS
from perflour.lint.ask.steps import verb
from perflour.lint.rule import Context

# The fields of a step that hold words.
_WORDY = ("into", "on", "with", "until", "note")
_HEATS = "hot|heated|preheated|quick|brisk|moderate|moderately hot|slow"
_COLD = "cold|cool"
_LOOKS = "raw|set|dry|done|puffed|risen|browned|toasted"
_LETS = "|".join(sorted(COOLS))
_DEGREES = r"\b[1-5]\d\d ?(?:°|degrees?)? ?[CF]\b|\b[1-5]\d\d°|\bgas(?: mark)? \d|\bregulo \d"

# An oven that has its heat when something goes into it, as a field says it and as a sentence does.
_HOT_PLACE = re.compile(rf"^(?:an? |the )?(?:very |rather |fairly )?(?:{_HEATS}) oven\b", re.I)
_IN_HOT_OVEN = re.compile(
    rf"\bin(?:to)? (?:an?|the) (?:very |rather |fairly )?(?:{_HEATS}) oven\b", re.I
)
# An oven with its temperature, but not what is put into it.
_OVEN_AT = re.compile(rf"(?<!in the )(?<!into the )\bovens?\b[^.;!?]*?(?:{_DEGREES})", re.I)
_OVEN_ON = re.compile(r"\b(?:oven on|on the oven|oven is (?:hot|on)|hot oven ready)\b", re.I)
_AT_DEGREES = re.compile(_DEGREES, re.I)
# A temperature that is not the oven's.
_NOT_OVEN = re.compile(
    r"\b(?:core|cent(?:re|er)|internal|inside|until|till|to|cool\w*)\b[^.;,]*", re.I
)
# A bare figure behind the verb, as bakers say it: "bake 175, 25 min".
_BARE = re.compile(r"^bake[sd]?(?: them| it)?(?: at)? (\d{3})(?= ?(?:,|;|for\b|$))", re.I)

_CENTRE = r"\b(?:core|cent(?:re|er)|internal|inside)"
_SIGN = re.compile(
    rf"\b(?:until|till) (?![^.;,]*\b(?:{_COLD}|needed|wanted|serv\w+|morning|next)\b)"
    r"|\bgolden\b(?! (?:syrup|caster|sugar|raisins))|\b(?:lightly|nicely|well|evenly) brown"
    r"|\bskewer|\btoothpick|\bcake tester|\bsprings? back|\bsounds? hollow|\bshrinks? from"
    rf"|\bedges (?:are|look)|\blooks? (?:{_LOOKS})\b"
    rf"|\b(?:ought to|should) be (?:well |lightly )?(?:{_LOOKS})\b"
    rf"|{_CENTRE} (?:temp\w* )?(?:of |at |to |reads? )?\d{{2,3}}\b",
    re.I,
)
_TESTS = frozenset(("test", "check", "probe", "core"))
_BACK = re.compile(r"\bput back\b|\bback in\b|\breturn\w* (?:\w+ )?to the oven", re.I)

_COOLING = re.compile(
    r"\bcool(?:s|ed|ing)?\b(?! oven)|\b(?:to|on|onto|out onto) (?:a |the )?(?:wire |cooling )?rack\b|\brack to\b"
    r"|\b(?:until|till|when|once|quite|is|it's|'s) (?:quite |completely |stone )?cold\b|\bbarely warm\b"
    r"|\bminutes?(?: more)? (?:in the (?:tin|pan)|out of the oven)"
    rf"|\b(?:let|leave)\b[^.;,]* (?:{_LETS}|sit)\b|\bserved? (?:at once|hot|warm|immediately)\b",
    re.I,
)


def texts(step: Step) -> list[str]:
    """What a step says in words, field by field, as it would be read: "until cold"."""
    said = {key: step.text(key).strip() for key in _WORDY}
    return [text if key == "note" else f"{key} {text}" for key, text in said.items() if text]


def goes_in_hot(step: Step) -> bool:
    """Whether something goes into an oven that is said to be hot: "bake in a moderate oven"."""
    into = _HOT_PLACE.search(step.text("into").strip())
    return bool(into or _IN_HOT_OVEN.search(step.text("note")))


def sets_oven(step: Step) -> bool:
    """Whether the words of a step bring an oven to a heat: "moderate oven (180C)", "oven on"."""
    return any(_OVEN_AT.search(text) or _OVEN_ON.search(text) for text in texts(step))


def degrees_known(steps: Sequence[Step], baked: int) -> bool:
    """Whether the oven's temperature at a bake step is said by that step or by those before it."""
    step = steps[baked]
    if _AT_DEGREES.search(_NOT_OVEN.sub("", step.text("note"))):
        return True
    return any(
        (before.heats_oven and (before.to or before.at)) or any(map(_OVEN_AT.search, texts(before)))
        for before in steps[:baked]
    )


def bare_degrees(step: Step) -> str:
    """The figure of "bake 175, 25 min", which has no scale; empty without one."""
    found = _BARE.search(step.text("note").strip())
    return found[1] if found else ""


def sign_told(steps: Sequence[Step], baked: int) -> bool:
    """Whether a bake step, or what tests it or puts it back, says by what it is known to be done."""
    if any(map(_SIGN.search, texts(steps[baked]))):
        return True
    at_once = True
    for step in steps[baked + 1 :]:
        at_once &= step.bakes
        if verb(step) in _TESTS and (step.at or any(map(_SIGN.search, (step.do, *texts(step))))):
            return True
        goes_on = at_once or any(map(_BACK.search, texts(step)))
        if goes_on and (step.core or any(map(_SIGN.search, texts(step)))):
            return True
        if not goes_on and any(map(_COOLING.search, (step.do, *texts(step)))):
            return False
    return False


def cooling_told(steps: Sequence[Step], baked: int) -> bool:
    """Whether the words of the last bake step, or of one after it, let the product cool."""
    return any(_COOLING.search(text) for step in steps[baked:] for text in texts(step)) or any(
        verb(step) == "leave" and step.time for step in steps[baked + 1 :]
    )


def sentences(context: Context) -> tuple[tuple[int, str], ...]:
    """Every sentence that stands in a step, with the index of the step."""
    return context.once(_sentences)


def _sentences(context: Context) -> tuple[tuple[int, str], ...]:
    return tuple(
        (at, sentence)
        for at, step in enumerate(context.formula.method)
        for text in texts(step)
        for sentence in re.split(r"[.;!?]+(?:\s|$)", text)
        if sentence.strip()
    )
