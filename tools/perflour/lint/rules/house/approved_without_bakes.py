"""An approved formula has a test bake with verdict keep of exactly this revision.

Ingredients, amounts or steps changed after the last good bake mean that nobody has eaten what is
printed. Looked for in the `bakes` folder beside a formula.yaml; nothing is said of standard input or
of files with other names."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import approved_folder, bakes_of_revision, revision
from perflour.lint.rule import Context, Finding, Rule
from perflour.system.opening import is_file

PARAMETERS = {"keeps-least": 1.0}


def check(context: Context) -> Iterator[Finding]:
    folder = approved_folder(context)
    if folder is None or not is_file(context.path):
        return
    least = context.limits(RULE.id, PARAMETERS)["keeps-least"]
    keeps = sum(bake.verdict == "keep" for bake in bakes_of_revision(context, folder))
    if keeps < least:
        yield Finding(
            context.formula.place("status"),
            f"approved, but revision {revision(context)} has {keeps} of {least:g} test bakes with verdict keep; bake it and record it in bakes/, or set the status to testing",
        )


RULE = Rule(
    id="approved-without-bakes",
    level="warning",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
    house_only=True,
)
