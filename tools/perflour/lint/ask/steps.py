"""What several rules ask of single steps: their verb, their words, the lines they use."""

from __future__ import annotations

from functools import lru_cache

from perflour.balance.parts import Weighed
from perflour.formula.formula import Step
from perflour.formula.verbs import CHILLS, WAITS
from perflour.kitchen.names import fold
from perflour.kitchen.quantity import Amount
from perflour.lint.ask.method import names_by_step
from perflour.lint.rule import Context

Named = dict[str, list[Weighed]]

# How words of cold begin, and words that are of cold together.
_COLD = (*(verb.removesuffix("e") for verb in CHILLS), "fridge", "frozen", "cold")
_COLD_PHRASES = ("ice bath", "ice water", "iced water", "°c or below")


# What no word holds, to blanks.
_PARTS = {at: " " for at in range(128) if not chr(at).isalnum()}


# Owner: the process; texts alone. Bound: 8192. Pays: a dozen rules ask for the words of the same steps.
@lru_cache(maxsize=8192)
def words(text: str) -> tuple[str, ...]:
    """The words of a text in lower case; punctuation and hyphens part them."""
    lowered = text.lower()
    if lowered.isascii():  # at once, for most texts: docs/performance.md
        return tuple(lowered.translate(_PARTS).split())
    return tuple("".join(c if c.isalnum() else " " for c in lowered).split())


def word_set(text: str) -> frozenset[str]:
    """The words of a text, each once."""
    return frozenset(words(text))


def verb(step: Step) -> str:
    """The first word of what is done."""
    said = words(step.do)
    return said[0] if said else ""


def verbs(context: Context) -> list[str]:
    """The first word of what each step does."""
    return context.once(_verbs)


def _verbs(context: Context) -> list[str]:
    return list(map(verb, context.formula.method))


def done(context: Context) -> frozenset[str]:
    """Every word of what any step does."""
    return context.once(_done)


def _done(context: Context) -> frozenset[str]:
    return frozenset().union(*[words(step.do) for step in context.formula.method])


def groups(context: Context) -> frozenset[str]:
    """The catalogue's groups of everything that is listed."""
    return context.once(_groups)


def _groups(context: Context) -> frozenset[str]:
    return frozenset([weighed.group for weighed in context.balance.lines])


def kinds(context: Context) -> frozenset[str]:
    """The kinds of all units that lines are measured by."""
    return context.once(_kinds)


def _kinds(context: Context) -> frozenset[str]:
    amounts = [weighed.line.amount.value for weighed in context.balance.lines]
    return frozenset(
        [term.unit.kind for one in amounts if isinstance(one, Amount) for term in one.terms]
    )


def lines_by_name(context: Context) -> Named:
    """Lines by their main name, and all lines of a part by the name of the part."""
    return context.once(_lines_by_name)


def _lines_by_name(context: Context) -> Named:
    named: Named = {}
    for part in context.balance.parts:
        named.setdefault(fold(part.part.name), []).extend(part.lines)
        for weighed in part.lines:
            if not weighed.line.is_part:
                named.setdefault(fold(weighed.name), []).append(weighed)
    return named


def lines_by_step(context: Context) -> list[list[Weighed]]:
    """For each step every line that its `uses` may mean."""
    return context.once(_lines_by_step)


def _lines_by_step(context: Context) -> list[list[Weighed]]:
    named = lines_by_name(context)
    return [
        [
            line
            for use, main in zip(step.uses, names, strict=True)
            for line in named.get(fold(use.name), ()) or named.get(main, ())
        ]
        for step, names in zip(context.formula.method, names_by_step(context), strict=True)
    ]


def waits(step: Step, least_min: float) -> bool:
    """Whether a step lets the batter or dough stand that long; a time not stated is taken as long."""
    duration = step.time.value if step.time else None
    return not WAITS.isdisjoint(words(step.do)) and (
        duration is None or duration.high_min >= least_min
    )


def rubs_in(step: Step) -> bool:
    """Whether fat is rubbed or cut in."""
    said = words(step.do)
    return said[:1] == ("rub",) or said[:2] == ("cut", "in")


def speaks_of_cold(text: str) -> bool:
    """Whether a text says that something is, gets or keeps cold."""
    lowered = text.lower()
    return any(word.startswith(_COLD) for word in words(text)) or any(
        phrase in lowered for phrase in _COLD_PHRASES
    )
