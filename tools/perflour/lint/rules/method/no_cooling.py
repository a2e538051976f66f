"""Something is said about cooling after the bake.

Crumb sets and moisture evens out as it cools; a loaf cut hot is gummy, a cake turned out hot breaks. A note that says it ("then onto a rack",
"served at once") says enough."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.verbs import COOLS
from perflour.lint.ask.method import is_baked, last_bake
from perflour.lint.ask.steps import words
from perflour.lint.rule import Context, Finding, Rule

COOLING = tuple(COOLS)


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    last = last_bake(context)
    if last is None or not is_baked(context):
        return
    if any(_cools(step.do) for step in steps[last + 1 :]):
        return
    from perflour.lint.ask.said import cooling_told  # only where something is missing

    if not cooling_told(steps, last):
        yield Finding(
            steps[last].place,
            "nothing is said about cooling after the bake; add a step like {do: cool, on: wire rack, for: 60 min}",
        )


def _cools(do: str) -> bool:
    return "turn out" in do.lower() or any(word.startswith(COOLING) for word in words(do))


RULE = Rule(
    id="no-cooling",
    level="note",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
