"""A cooked filling of egg or dairy is chilled.

Custard and cream left standing warm grow what makes people ill. Judged for parts of kind filling, or
named filling, cream, custard or curd, that a step cooks; a step that chills, or a text that speaks of
cold, keeps the rule quiet. A filling baked in its shell is not judged."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.parts import Weighed
from perflour.formula.formula import Part, Step
from perflour.formula.verbs import COOKS
from perflour.kitchen.names import fold
from perflour.lint.ask.raw import does
from perflour.lint.ask.steps import speaks_of_cold
from perflour.lint.rule import Context, Finding, Rule

NAMES = frozenset(("filling", "cream", "custard", "curd"))
COLD_C = 5.0


def check(context: Context) -> Iterator[Finding]:
    for part, step in cooked_fillings(context):
        if _is_chilled(context):
            return
        yield Finding(
            step.place,
            f"{part.name} is cooked with egg or dairy and no step chills it; add a step like {{do: chill, at: 4 °C (39 °F)}} (21 °C within 2 h, 5 °C within 6 h), and follow the local food code",
            part.name,
        )


def cooked_fillings(context: Context) -> Iterator[tuple[Part, Step]]:
    """Every filling that holds egg or dairy, with the step that cooks it."""
    for part in context.balance.parts:
        if not _is_filling(part.part):
            continue
        name = fold(part.part.name)
        perishable = {fold(n) for w in part.lines if _spoils(w) for n in (w.line.name, w.name)}
        for step in context.formula.method:
            made = fold(step.text("makes")) == name
            used = {fold(use.name) for use in step.uses}
            if perishable and does(step, COOKS) and (made or used & {name, *perishable}):
                yield part.part, step
                break


def _is_filling(part: Part) -> bool:
    return part.kind == "filling" or _names_filling(part.name)


def _names_filling(name: str) -> bool:
    return not NAMES.isdisjoint(fold(name).split())


def _spoils(weighed: Weighed) -> bool:
    return weighed.group in ("egg", "dairy")


def _is_chilled(context: Context) -> bool:
    formula = context.formula
    if speaks_of_cold(formula.notes):
        return True
    for step in formula.method:
        if any(map(speaks_of_cold, (step.do, *step.said.values()))):
            return True
        if any(r.value.low_celsius <= COLD_C for r in step.temperatures if r.value):
            return True
    return False


RULE = Rule(
    id="filling-kept-cold",
    level="note",
    family="cautions",
    source="FDA Food Code 3-501.14 (from memory): 57 to 21 °C within 2 h and to 5 °C within 6 h; which fillings: common practice, no source",
    text=__doc__ or "",
    check=check,
)
