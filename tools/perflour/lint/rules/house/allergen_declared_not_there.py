"""No allergen is declared that no listed ingredient brings.

It stays behind when an ingredient is replaced. Nothing is said while an ingredient is unknown, or for
what the label of bought chocolate or margarine may bring (soy, milk, nuts). Where it is declared for
traces, waive the rule with that reason."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.lint.rule import Context, Finding, Rule


def check(context: Context) -> Iterator[Finding]:
    if not context.formula.allergens:
        return
    from perflour.lint.ask.allergens import all_known, as_word, brought, by_label

    if not all_known(context.balance):
        return
    there = {word for found in brought(context.balance) for word in found.words}
    there |= by_label(context.balance)
    for word in context.formula.allergens:
        if as_word(word) not in there:
            yield Finding(
                context.formula.place("allergens"),
                f"'{word}' is declared, but no listed ingredient brings it; check the labels, then remove it or waive this rule with the reason (traces)",
                word,
            )


RULE = Rule(
    id="allergen-declared-not-there",
    level="note",
    family="house format",
    source="house choice",
    text=__doc__ or "",
    check=check,
)
