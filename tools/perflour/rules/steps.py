"""What several rules ask of single steps: their verb, their words, the lines they use."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from perflour.balance import Weighed
from perflour.formula import Step, fold
from perflour.rules.method import main_name
from perflour.rules.rule import Context

Named = dict[str, list[Weighed]]

DEPOSITING = ("deposit", "pour", "scrape", "spoon", "pipe", "ladle", "spread", "transfer")
WAITING = ("chill", "rest", "proof", "prove", "stand", "refrigerate", "freeze", "ferment", "rise")


@lru_cache(maxsize=8192)
def words(text: str) -> tuple[str, ...]:
    """The words of a text in lower case; punctuation and hyphens part them."""
    return tuple("".join(c if c.isalnum() else " " for c in text.lower()).split())


def verb(step: Step) -> str:
    """The first word of what is done."""
    return next(iter(words(step.do)), "")


def group(weighed: Weighed) -> str:
    """The catalogue's group of a line; empty where the ingredient is not known."""
    return weighed.ingredient.group if weighed.ingredient else ""


def lines_by_name(context: Context) -> Named:
    """Lines by their main name, and all lines of a part by the name of the part."""
    named: Named = {}
    for part in context.balance.parts:
        named.setdefault(fold(part.part.name), []).extend(part.lines)
        for weighed in part.lines:
            if not weighed.line.is_part:
                named.setdefault(fold(weighed.name), []).append(weighed)
    return named


def used_lines(context: Context, named: Named, step: Step) -> Iterator[Weighed]:
    """Every line that the `uses` of a step may mean."""
    for use in step.uses:
        name = fold(use.name)
        yield from named.get(name if name in named else main_name(context, name), ())


def waits(step: Step, least_min: float) -> bool:
    """Whether a step lets the batter or dough stand that long; a time not stated is taken as long."""
    duration = step.time.value if step.time else None
    return any(word in WAITING for word in words(step.do)) and (
        duration is None or duration.high_min >= least_min
    )
