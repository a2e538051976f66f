"""An approved cake says how its pan is prepared.

A baker greases or papers it without being told; a reader of the book does not. Asked only of batters in
approved formulas, and of the words of the steps: greased, buttered, oiled, floured, lined, papered."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.formula import Step
from perflour.formula.verbs import DEPOSITS, PAN
from perflour.lint.ask.method import is_baked
from perflour.lint.ask.steps import verb, words
from perflour.lint.rule import Context, Finding, Rule

PANS = frozenset((
    "pan", "pans", "tin", "tins", "mould", "moulds", "mold", "molds", "springform", "ring", "rings",
))  # fmt: skip
# How words about a prepared pan begin, and about one that is meant to be bare.
PREPARED = (
    *(does.removesuffix("e") for does in PAN if does != "prepare"),
    *("parchment", "spray", "ungreased", "unbuttered", "nonstick", "silicone"),
)


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    batters = any(part.kind == "batter" for part in formula.parts)
    if formula.status != "approved" or not batters or not is_baked(context):
        return
    for step in formula.method:
        if _prepares(step):
            return
        if verb(step) in DEPOSITS and PANS & set(words(step.text("into"))):
            yield Finding(
                step.place,
                f"nothing says how the pan of the step '{step.do}' is prepared; grease or line it, or say that it stays bare",
            )
            return


def _prepares(step: Step) -> bool:
    said = " ".join((step.do, *(step.text(key) for key in ("into", "on", "note"))))
    return any(word.startswith(PREPARED) for word in words(said.replace("non-stick", "nonstick")))


RULE = Rule(
    id="pan-not-prepared",
    level="note",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
