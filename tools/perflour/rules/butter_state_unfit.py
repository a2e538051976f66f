"""The state of the butter fits what is done with it.

Creaming beats air into soft fat: melted fat holds none, cold fat stays in lumps. Rubbing in wants cold
fat that stays in flakes. Only a stated state that plainly contradicts is flagged, and not where an
earlier step softens, melts or chills the fat."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula import Step
from perflour.rules.method import main_name
from perflour.rules.rule import Context, Finding, Rule
from perflour.rules.steps import Named, group, lines_by_name, used_lines, verb, words

COLD = frozenset(("cold", "chilled", "frozen"))
SOFT = frozenset(("soft", "softened"))
MELTED = frozenset(("melted", "liquid"))
CHANGING = ("soften", "melt", "warm", "heat", "brown", "chill", "freeze", "cool", "stand", "temper")


def check(context: Context) -> Iterator[Finding]:
    named = lines_by_name(context)
    changed: set[str] = set()
    for step in context.formula.method:
        names = {main_name(context, use.name): use for use in step.uses}
        if verb(step) in CHANGING:
            changed |= set(names)
            continue
        fit, unfit, advice = _wanted(context, named, step)
        for name, use in names.items():
            lines = [w for w in named.get(name, ()) if group(w) == "fat"]
            states = [set(words(w.line.state)) for w in lines]
            if states and name not in changed and all(s & unfit and not s & fit for s in states):
                yield Finding(
                    lines[0].line.place,
                    f"{use.name} is '{lines[0].line.state}', but the step '{step.do}' wants it {advice}; change its state or the step",
                    use.name,
                )


def _wanted(
    context: Context, named: Named, step: Step
) -> tuple[frozenset[str], frozenset[str], str]:
    """States that fit a step, states that do not, and the one to advise."""
    said = words(step.do)
    sugared = any(group(w) == "sugar" for w in used_lines(context, named, step))
    if said[:1] == ("cream",) or (said == ("beat",) and sugared):
        return SOFT, COLD | MELTED, "soft"
    if said[:1] == ("rub",) or said[:2] == ("cut", "in"):
        return COLD, SOFT | MELTED, "cold"
    return frozenset(), frozenset(), ""


RULE = Rule(
    id="butter-state-unfit",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
