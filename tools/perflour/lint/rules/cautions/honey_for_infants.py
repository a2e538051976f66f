"""Where honey is not baked, the notes keep it from infants.

Honey may carry the germ of infant botulism. Baking does not make it safe either; the rule speaks where
honey is eaten as it is (icings, fillings, bars), since those reach small children first. A text that
names infants or 12 months keeps it quiet."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.raw import is_unbaked
from perflour.lint.rule import Context, Finding, Rule

SAID = ("12 months", "twelve months", "infant", "one year", "1 year", "babies")


def check(context: Context) -> Iterator[Finding]:
    if not is_unbaked(context) or _is_said(context):
        return
    for weighed in context.balance.ingredient_lines:
        if weighed.name == "honey":
            yield Finding(
                weighed.line.place,
                f"{weighed.line.name} in something not baked: not for children under 12 months; say so in `notes`, and follow local health advice",
                weighed.line.name,
            )


def _is_said(context: Context) -> bool:
    formula = context.formula
    notes = [line.note for part in formula.parts for line in part.lines]
    notes += [step.text("note") for step in formula.method]
    said = " ".join((formula.notes, *notes)).lower()
    return any(word in said for word in SAID)


RULE = Rule(
    id="honey-for-infants",
    level="note",
    family="cautions",
    source="US CDC advice on infant botulism (from memory): no honey under 12 months",
    text=__doc__ or "",
    check=check,
)
