"""A dough with yeast rises before it is baked.

Some step before the bake proofs, ferments, rests or chills it for at least 20 min; where a step says no
time it is taken as long enough. A fermented preferment counts, so a missing last proof is not seen."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import first_bake, is_baked
from perflour.lint.ask.steps import groups, waits, words
from perflour.lint.rule import Context, Finding, Rule

LEAST_MIN = 20.0
ALSO = frozenset(("double", "doubled", "risen", "retard", "overnight"))


def check(context: Context) -> Iterator[Finding]:
    steps = context.formula.method
    baked = first_bake(context)
    if "yeast" not in groups(context) or baked is None or not is_baked(context):
        return
    yeast = next(w for w in context.balance.lines if w.group == "yeast")
    if any(
        waits(s, LEAST_MIN) or ALSO & set(words(f"{s.do} {s.text('until')} {s.text('note')}"))
        for s in steps[:baked]
    ):
        return
    yield Finding(
        steps[baked].place,
        f"{yeast.line.name}, but no step lets the dough rise; add a step like {{do: proof, for: 60 min, until: doubled}}",
        yeast.line.name,
    )


RULE = Rule(
    id="yeast-without-proof",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
