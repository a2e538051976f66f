"""Every ingredient is in the catalogue or in the house's own ingredients.yaml.

An unknown name has no group, no composition and no cup mass, so flour might go uncounted. Words around
a name that leave it the same food ("cold butter", "eggs, beaten") are understood; a near name is only
suggested, where the noun is shared, and never taken silently. A name that is none of a food ("water 66 %",
"loaf tin") is told as that."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    for weighed in context.balance.lines:
        line = weighed.line
        if weighed.ingredient is None and not line.is_part:
            yield Finding(line.place, _wrong(context, line.name), line.name)


def _wrong(context: Context, name: str) -> str:
    """What is wrong with an unknown name, and what to do."""
    from perflour.lint.ask.no_food import in_other_words, why_no_food  # only on the way to an error

    if told := why_no_food(context, name):
        return told
    if meant := in_other_words(context, name):
        return f"'{name}' is called '{meant}' in the catalogue; write that"
    near = " or ".join(f"'{known}'" for known in context.catalogue.suggest(name))
    hint = f"did you mean {near}? Else" if near else "if it is right,"
    return f"'{name}' is not in the catalogue; {hint} add it to ingredients.yaml"


RULE = Rule(
    id="unknown-ingredient",
    level="error",
    family="units",
    source="the built-in catalogue and the ingredients.yaml of the house",
    text=__doc__ or "",
    check=check,
)
