"""The state of the butter fits what is done with it.

Creaming beats air into soft fat: melted fat holds none, cold fat stays in lumps. Rubbing in wants cold
fat that stays in flakes. Only a stated state that plainly contradicts is flagged, and not where an
earlier step softens, melts or chills the fat, nor where the fat stands in another part than all else that
the step takes."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.verbs import COOLS, HEATS, MINDS_FAT
from perflour.lint.ask.method import names_by_part, names_by_step
from perflour.lint.ask.steps import (
    groups,
    lines_by_name,
    lines_by_step,
    rubs_in,
    verbs,
    word_set,
    words,
)
from perflour.lint.rule import Context, Finding, Rule

COLD = frozenset(("cold", "chilled", "frozen"))
SOFT = frozenset(("soft", "softened"))
MELTED = frozenset(("melted", "liquid"))
CHANGING = HEATS | COOLS


def check(context: Context) -> Iterator[Finding]:
    does = verbs(context)
    if MINDS_FAT.isdisjoint(does) or "fat" not in groups(context):
        return
    named = lines_by_name(context)
    changed: set[str] = set()
    by_step = zip(context.formula.method, names_by_step(context), strict=True)
    for at, (step, names) in enumerate(by_step):
        if does[at] in CHANGING:
            changed.update(names)
        if does[at] not in MINDS_FAT:
            continue
        fit, unfit, advice = _wanted(context, at)
        if not unfit:
            continue
        for name, use in dict(zip(names, step.uses, strict=True)).items():
            lines = [w for w in named.get(name, ()) if w.group == "fat"]
            if not lines or name in changed:
                continue
            states = [word_set(w.state) for w in lines]
            if all(s & unfit and not s & fit for s in states) and not _is_elsewhere(context, name, names):  # fmt: skip
                yield Finding(
                    lines[0].line.place,
                    f"{use.name} is '{lines[0].state}', but the step '{step.do}' wants it {advice}; change its state or the step",
                    use.name,
                )


def _is_elsewhere(context: Context, fat: str, names: list[str]) -> bool:
    """Whether all that a step takes besides the fat stands in parts that the fat is not in."""
    parts = [set(part) for part in names_by_part(context)]
    others = set(names) - {fat}
    elsewhere = set().union(*(part for part in parts if fat not in part)) & others
    return bool(elsewhere) and others & set().union(*parts) == elsewhere


def _wanted(context: Context, at: int) -> tuple[frozenset[str], frozenset[str], str]:
    """States that fit a step, states that do not, and the one to advise."""
    step = context.formula.method[at]
    said = words(step.do)
    if said[:1] == ("cream",) or (said == ("beat",) and _takes_sugar(context, at)):
        return SOFT, COLD | MELTED, "soft"
    if rubs_in(step):
        return COLD, SOFT | MELTED, "cold"
    return frozenset(), frozenset(), ""


def _takes_sugar(context: Context, at: int) -> bool:
    return any(w.group == "sugar" for w in lines_by_step(context)[at])


RULE = Rule(
    id="butter-state-unfit",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
