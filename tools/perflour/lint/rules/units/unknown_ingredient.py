"""Every ingredient is in the catalogue or in the house's own ingredients.yaml.

An unknown name has no group, no composition and no cup mass, so flour might go uncounted. Words around
a name that leave it the same food ("cold butter", "eggs, beaten") are understood; a near name is only
suggested, where the noun is shared, and never taken silently."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for weighed in context.balance.lines:
        line = weighed.line
        if weighed.ingredient is None and not line.is_part:
            near = " or ".join(f"'{name}'" for name in context.catalogue.suggest(line.name))
            hint = f"did you mean {near}? Else" if near else "if it is right,"
            message = f"'{line.name}' is not in the catalogue; {hint} add it to ingredients.yaml"
            yield Finding(line.place, message, line.name)


RULE = Rule(
    id="unknown-ingredient",
    level="error",
    family="units",
    source="the built-in catalogue and the ingredients.yaml of the house",
    text=__doc__ or "",
    check=check,
)
