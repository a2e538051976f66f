"""Creaming says how long, or what it looks like when it is done.

The air of the cake is beaten in here: one minute gives a close crumb, ten a fragile one. Three to five
minutes at medium-high are usual. The colour (pale) is a sign too."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.steps import verbs, words
from perflour.lint.rule import Context, Finding, Rule

# A note that begins so names a food.
NO_CREAMING = (("cream", "cheese"), ("cream", "of"))


def check(context: Context) -> Iterator[Finding]:
    for does, step in zip(verbs(context), context.formula.method, strict=True):
        if (
            does == "cream"
            and step.time is None
            and not step.text("until").strip()
            and words(step.text("note"))[:2] not in NO_CREAMING
        ):
            yield Finding(
                step.place,
                f"the step '{step.do}' has neither a time nor a sign; add `for` (3-5 min is usual) or `until`",
            )


RULE = Rule(
    id="creaming-without-sign",
    level="warning",
    family="method",
    source="common practice, no source: 3 to 5 min at medium-high",
    text=__doc__ or "",
    check=check,
    house_only=True,
)
