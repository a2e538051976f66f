"""Declared allergens name every allergen that the listed ingredients bring.

Holds where a formula has `allergens`; with `declare-allergens: true` in house.yaml every approved
formula must have them. A word of the US or EU list counts, or the food itself (rye, almonds). By what
each food is: traces, lecithin and the makings of bought goods are on labels, not here."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    stated = formula.states("allergens")
    wanted = context.house.declare_allergens and formula.status == "approved"
    if not stated and not wanted:
        return
    from perflour.lint.ask.allergens import as_word, brought

    declared = {as_word(word) for word in formula.allergens}
    missing: dict[str, list[str]] = {}
    for found in brought(context.balance):
        if not found.words & declared:
            missing.setdefault(found.name, []).append(found.ingredient)
    place = formula.place("allergens" if stated else "status")
    for name, by in missing.items():
        where = (
            "`allergens`" if stated else "`allergens`, which this house asks of approved formulas"
        )
        yield Finding(
            place,
            f"{name} is not in {where}, yet the formula brings it ({', '.join(dict.fromkeys(by))}); add it, and go by labels and the local law",
            name,
        )


RULE = Rule(
    id="allergen-not-declared",
    level="warning",
    family="house format",
    source="US Food Allergen Labeling and Consumer Protection Act of 2004 (from memory); Regulation (EU) No 1169/2011, Annex II (from memory)",
    text=__doc__ or "",
    check=check,
)
