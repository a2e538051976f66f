"""An approved formula says how high its pan is.

A pan is known by base and height: two loaf pans of one base can hold half as much again one as the other,
and neither the fill nor another size of pan can be worked out. Asked of what a batter or dough is filled
into where the sides are written; sheets and trays, which nothing rises in, and pans by volume are let be."""

from __future__ import annotations

import re
from collections.abc import Iterator

from perflour.formula.verbs import DEPOSITS
from perflour.lint.ask.method import is_baked
from perflour.lint.ask.steps import verbs, words
from perflour.lint.rule import Context, Finding, Rule

ROUND = frozenset(("round", "springform", "ring"))
ANGULAR = frozenset(("loaf", "pan", "pans", "tin", "tins", "square", "rectangular"))
FLAT = frozenset(("sheet", "sheets", "tray", "trays"))
# A square is known by one side and its height.
_SIDE_AND_HEIGHT = (
    r"(?<![x0-9.] )\b([0-9]{1,4}(?:\.[0-9]{1,3})?) x ([0-9]{1,4}(?:\.[0-9]{1,3})?)(?! x)\b"
)
LENGTHS = ("cm", "mm", "in", "inch", "inches")


def check(context: Context) -> Iterator[Finding]:
    if context.formula.status != "approved" or not is_baked(context):
        return
    for does, step in zip(verbs(context), context.formula.method, strict=True):
        if does in DEPOSITS and _lacks_height(step.text("into")):
            yield Finding(
                step.place,
                f"the height of '{step.text('into')}' is not written; add it behind the other sides: `20 x 5 cm` round, `22 x 12 x 7 cm` otherwise",
            )


def _lacks_height(into: str) -> bool:
    """Whether a text names a pan with high sides whose base alone is measured."""
    said = words(into)
    is_round = not ROUND.isdisjoint(said)
    if "square" in said and (sides := re.search(_SIDE_AND_HEIGHT, into)):
        from perflour.kitchen.pans import MOST_DEPTH  # only for squares

        return float(sides[2]) > float(sides[1]) * MOST_DEPTH
    if not FLAT.isdisjoint(said) or not (is_round or ANGULAR.intersection(said)):
        return False
    is_measured = not set(said).isdisjoint(LENGTHS)
    return is_measured and into.count(" x ") + 1 < (2 if is_round else 3)


RULE = Rule(
    id="pan-height-missing",
    level="note",
    family="house format",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
