"""What several rules ask of single steps: their verb, their words, the lines they use."""

from __future__ import annotations

from functools import lru_cache

from perflour.balance.balance import Weighed
from perflour.formula.formula import Step
from perflour.kitchen.names import fold
from perflour.lint.ask.method import names_by_step
from perflour.lint.rule import Context

Named = dict[str, list[Weighed]]

DEPOSITING = ("deposit", "pour", "scrape", "spoon", "pipe", "ladle", "spread", "transfer")
WAITING = ("chill", "rest", "proof", "prove", "stand", "refrigerate", "freeze", "ferment", "rise")


# Owner: the process; texts alone. Bound: 8192. Pays: a dozen rules ask for the words of the same steps.
@lru_cache(maxsize=8192)
def words(text: str) -> tuple[str, ...]:
    """The words of a text in lower case; punctuation and hyphens part them."""
    return tuple("".join(c if c.isalnum() else " " for c in text.lower()).split())


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
    return [verb(step) for step in context.formula.method]


def groups(context: Context) -> frozenset[str]:
    """The catalogue's groups of everything that is listed."""
    return context.once(_groups)


def _groups(context: Context) -> frozenset[str]:
    return frozenset([weighed.group for weighed in context.balance.lines])


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
    return any(word in WAITING for word in words(step.do)) and (
        duration is None or duration.high_min >= least_min
    )
