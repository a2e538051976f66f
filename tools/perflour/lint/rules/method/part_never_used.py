"""A part that is made is used: by another part or by a step.

A topping that no step puts on stays in the bowl. A part is used as well where a sentence puts it on ("on goes the topping"), or where
what is in it is scattered, sprinkled or brushed on as it is. So is what is eaten with it ("to serve"), and lines
whose notes say what they are for ("for dusting")."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.places import KINDS
from perflour.kitchen.names import fold
from perflour.lint.ask.method import used_names
from perflour.lint.rule import Context, Finding, Rule

# What begins the name of a part that no step takes, but who eats it.
AT_TABLE = ("to serve", "for serving")


def check(context: Context) -> Iterator[Finding]:
    parts = context.balance.parts
    if not context.formula.method or sum(not p.used_by_parts for p in parts) < 2:
        return
    used = used_names(context)
    # The main part need not be named: the steps work on it until another comes in.
    main = next((at for at, p in enumerate(parts) if KINDS.get(p.part.kind) != "beside"), 0)
    base = next((at for at, p in enumerate(parts) if p.part.kind in ("dough", "batter")), main)
    for at, balanced in enumerate(parts):
        name = balanced.part.name
        if at in (main, base) or balanced.used_by_parts or fold(name) in used:
            continue
        if fold(name).startswith(AT_TABLE) or all(line.note.startswith("for ") for line in balanced.part.lines):  # fmt: skip
            continue
        from perflour.lint.ask.taken import put_on_by_words  # only where something is missing

        if not put_on_by_words(context, at):
            yield Finding(
                balanced.part.place,
                f"the part '{name}' is made but no step or part uses it; add it to the `uses` of a step",
                name,
            )


RULE = Rule(
    id="part-never-used",
    level="warning",
    family="method",
    source="common practice, no source",
    text=__doc__ or "",
    check=check,
)
