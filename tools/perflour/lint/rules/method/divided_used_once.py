"""An ingredient marked "divided" is used in at least two steps.

"Divided" tells the reader to keep some back; with one step that uses it, either the second one is missing
or the word is. Read in the `state` and `note` of a line; "divided into 8 pieces" says how it is cut and is
passed over. A step counts too when only its words name the ingredient, and one step is enough when it says
that it takes it in turns or in several additions."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule

MARK = "divided"


def check(context: Context) -> Iterator[Finding]:
    for part in context.formula.parts:
        for line in part.lines:
            if (line.note or line.state) and MARK in f"{line.note} {line.state}".lower():
                from perflour.lint.ask.portions import only_step  # only where a line is marked

                if step := only_step(context, line, MARK):
                    yield Finding(
                        line.place,
                        f"{line.name} is marked '{MARK}', but only the step '{step.do}' uses it; say where the other portion goes, or take the mark away",
                        line.name,
                    )


RULE = Rule(
    id="divided-used-once",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
