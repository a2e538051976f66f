"""What is eaten uncooked holds no raw egg.

Mousse, icing and tiramisu take pasteurised egg. Judged where the class is not baked, or where the method
of a formula in testing or approved neither bakes nor cooks; a step to 71 °C or more cooks, and any step
that cooks keeps the rule quiet. Dried, frozen and pasteurised egg is left alone."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.ask.raw import is_raw, says
from perflour.lint.rule import Context, Finding, Rule

EGGS = ("egg", "egg white", "egg yolk")
SAFE = ("pasteuri", "dried", "powder", "hard boiled", "hard-boiled")


def check(context: Context) -> Iterator[Finding]:
    if not is_raw(context):
        return
    for weighed in context.balance.ingredient_lines:
        if weighed.ingredient and weighed.name in EGGS and not says(weighed, SAFE):
            yield Finding(
                weighed.line.place,
                f"{weighed.line.name} stays raw, nothing in the method bakes or cooks it; take pasteurised egg (state: pasteurised) or heat it to 71 °C (160 °F), and follow the local food code",
                weighed.line.name,
            )


RULE = Rule(
    id="raw-egg-not-cooked",
    level="warning",
    family="cautions",
    source="USDA FSIS safe minimum internal temperature chart (from memory); FDA Food Code 3-302.13 (from memory)",
    text=__doc__ or "",
    check=check,
)
