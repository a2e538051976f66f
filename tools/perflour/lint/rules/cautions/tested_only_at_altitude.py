"""An approved formula that was tested only high above the sea says so.

In thin air leavening rises more and water boils away sooner, so a formula that was set up there is cut in
leavening and sugar and raised in liquid and flour; by the sea it is not right as it stands. Judged where
every test bake of exactly this revision states the height of its kitchen and all are at `metres-from` or
more: 900 m, a round figure for 3,000 ft, where published tables begin. A word about altitude, or that
height, in the title, the notes or a step will do. Nothing is said where a bake states no height, or one
that cannot be read. Looked for in the `bakes` folder beside a formula.yaml."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.method import approved_folder, revision_marks
from perflour.lint.rule import Context, Finding, Rule

PARAMETERS = {"metres-from": 900.0}
MENTIONS = ("altitude", "elevation", "sea level", "above sea", "the sea")


def check(context: Context) -> Iterator[Finding]:
    folder = approved_folder(context)
    if folder is None:
        return
    from perflour.records.bake import any_holds, bakes_of  # only for an approved formula

    if not any_holds(folder, "altitude"):
        return  # most state no height and need not be parsed
    bakes = bakes_of(folder, revision_marks(context))
    heights = [(m, bake.altitude) for bake in bakes if (m := bake.height_m) is not None]
    if not heights or len(heights) < len(bakes):
        return
    lowest_m, said = min(heights)
    if lowest_m >= context.limits(RULE.id, PARAMETERS)["metres-from"] and not _tells(context, said):
        more = " and above" if max(heights)[0] > lowest_m else ""
        yield Finding(
            context.formula.place("status"),
            f"tested only at {said}{more}, and nothing says so; say it in `notes`, with what to change at sea level (more leavening and sugar, less liquid and flour, as a rule)",
        )


def _tells(context: Context, said: str) -> bool:
    """Whether the title, the notes or a step speak of altitude or name the height."""
    formula = context.formula
    steps = [text for step in formula.method for text in step.said.values()]
    text = " ".join((formula.title, formula.notes, *steps)).lower().replace(",", "")
    return any(word in text for word in MENTIONS) or said.lower().replace(",", "") in text


RULE = Rule(
    id="tested-only-at-altitude",
    level="note",
    family="cautions",
    source="Colorado State University Extension, high-altitude baking (from memory): its table begins at 3,000 ft, 914 m",
    text=__doc__ or "",
    check=check,
    parameters=PARAMETERS,
    house_only=True,
)
