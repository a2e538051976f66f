"""The oven is hot when a batter with baking powder or soda is mixed.

Much of the gas comes off as soon as the leavening is wet; a batter that waits for the oven loses it. A
chill or rest of ten minutes or more is meant to be and is let be, so are yeast doughs and methods in
which flour is mixed in after the oven is lit."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.parts import Weighed
from perflour.formula.verbs import MIXES, MIXES_IN
from perflour.lint.ask.method import first_bake, first_heated, is_baked
from perflour.lint.ask.steps import groups, lines_by_step, verbs, waits, word_set
from perflour.lint.rule import Context, Finding, Rule

MIXING = MIXES | MIXES_IN
LEAST_WAIT_MIN = 10.0


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    baked = first_bake(context)
    heated = first_heated(context)
    if heated is None or baked is None or not is_baked(context):
        return
    if MIXING.isdisjoint(verbs(context)[:heated]):
        return
    if "yeast" in groups(context) or "leavening" not in groups(context):
        return
    mixed = _mixed(context, heated)
    if mixed is not None and not any(waits(s, LEAST_WAIT_MIN) for s in steps[mixed:baked]):
        yield Finding(
            steps[heated].place,
            f"the oven is heated only after the leavening is wet (the step '{steps[mixed].do}'); heat it before",
        )


def _mixed(context: Context, heated: int) -> int | None:
    """The step before the oven that brings flour, wet and leavening together; None without one."""
    wet = leavened = False
    mixed = None
    does = verbs(context)
    for at, lines in enumerate(lines_by_step(context)):
        floured = any(w.ingredient and w.ingredient.counts_as == "flour" for w in lines)
        leavened |= any(w.group == "leavening" for w in lines)
        wet |= any(map(_is_wet, lines))
        if floured and does[at] in MIXING:
            if at > heated:
                return None
            mixed = at if wet and leavened else None
    return mixed


def _is_wet(weighed: Weighed) -> bool:
    wet = weighed.group in ("liquid", "dairy", "egg", "syrup")
    return wet and word_set(weighed.name).isdisjoint(("dry", "dried"))


RULE = Rule(
    id="oven-heated-late",
    level="note",
    family="method",
    source="common practice, no source; acids that work at once: H. McGee, On Food and Cooking (2004), baking powder acids table",
    text=__doc__ or "",
    check=check,
)
