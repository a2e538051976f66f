"""What is eaten unbaked holds no raw flour.

Raw flour is a raw food, and toasting it at home is no proven cure. Judged where the class is not baked,
or where the method of a formula in testing or approved neither bakes nor cooks. Any step that cooks,
whatever is in it, keeps the rule quiet. Flour sold as heat-treated is left alone when the line says so."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.raw import is_raw, says
from perflour.lint.rule import Context, Finding, Rule

SAFE = ("heat treated", "heat-treated", "ready to eat", "ready-to-eat", "pregelatin")


def check(context: Context) -> Iterator[Finding]:
    if not is_raw(context):
        return
    for weighed in context.balance.ingredient_lines:
        if (
            weighed.ingredient
            and weighed.ingredient.counts_as == "flour"
            and not says(weighed, SAFE)
        ):
            yield Finding(
                weighed.line.place,
                f"{weighed.line.name} is raw and nothing in the method bakes or cooks it; cook it, or buy flour sold as ready to eat, and follow the local food code",
                weighed.line.name,
            )


RULE = Rule(
    id="raw-flour-not-baked",
    level="warning",
    family="cautions",
    source="US FDA consumer advice on raw flour and dough (from memory); that an oven at home makes no flour safe: the same",
    text=__doc__ or "",
    check=check,
)
