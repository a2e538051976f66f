"""A crumb of cold butter is chilled before it goes on.

Rubbed by hand the butter warms, and a warm crumb melts flat in the oven. Looked at only where a step
says with `makes` that it rubs or cuts in a topping (or a part named crumb or streusel) whose fat is
stated as cold. A note of chilling on one of the steps will do."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.balance.parts import PartBalance
from perflour.formula.formula import Step
from perflour.kitchen.names import fold
from perflour.lint.ask.steps import rubs_in, speaks_of_cold, words
from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    for part in context.balance.parts:
        name = fold(part.part.name)
        if not _is_cold_crumb(part):
            continue
        for at, step in enumerate(steps):
            if (
                fold(step.text("makes")) == name
                and rubs_in(step)
                and _used_warm(name, step, steps[at + 1 :])
            ):
                yield Finding(
                    step.place,
                    f"{part.part.name} has cold butter in it but is not chilled before it is used; add a step like {{do: chill, uses: [{part.part.name}], for: 30 min}}",
                    part.part.name,
                )


def _is_cold_crumb(part: PartBalance) -> bool:
    crumb = {"crumb", "crumbs", "streusel"} & set(words(part.part.name))
    return (part.part.kind == "topping" or bool(crumb)) and any(
        w.group == "fat" and speaks_of_cold(w.state) for w in part.lines
    )


def _used_warm(name: str, made: Step, after: tuple[Step, ...]) -> bool:
    """Whether the part is used with no word of cold since it was made."""
    if speaks_of_cold(made.text("note")):
        return False
    for step in after:
        uses = any(fold(use.name) == name for use in step.uses)
        if (uses or not step.uses) and speaks_of_cold(f"{step.do} {step.text('note')}"):
            return False
        if uses:
            return True
    return False


RULE = Rule(
    id="crumb-not-chilled",
    level="note",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
