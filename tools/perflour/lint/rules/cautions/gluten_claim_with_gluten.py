"""What calls itself gluten-free has no cereal containing gluten in it.

For some readers this is no matter of taste. Read in class and title, and in `notes` where a sentence
claims it plainly: one with not, if, for, use or instead is advice and is left alone. A line that calls
its item gluten-free is taken at its word. No rule shows that a formula is free of gluten."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.formula.formula import Formula
from perflour.lint.ask.raw import says
from perflour.lint.rule import Context, Finding, Rule

HEDGES = frozenset(("not", "never", "if", "for", "use", "instead", "replace", "swap", "make", "version", "with", "unless", "may"))  # fmt: skip


def check(context: Context) -> Iterator[Finding]:
    formula = context.formula
    said = " ".join((formula.product_class, formula.title, formula.notes))
    if (
        b"gluten" not in said.encode().lower()
    ):  # long notes, which say nothing of it, in bytes: docs/performance.md
        return
    from perflour.balance.allergens import GLUTEN, claims_gluten_free

    if "not" in _words(formula.title) or not (claims_gluten_free(formula) or _notes_claim(formula)):
        return
    for weighed in context.balance.ingredient_lines:
        known = weighed.ingredient
        if known is None or not (GLUTEN in known.allergens_eu or "wheat" in known.allergens_us):
            continue
        if not says(weighed, ("gluten-free", "gluten free", "without gluten")):
            name = weighed.line.name
            if "oat" in weighed.name:
                message = f"{name} in a formula called gluten-free: oats often carry wheat and are a gluten cereal in EU law; take oats sold as gluten-free and say so in `state`, and go by the label and the local law"
            else:
                message = f"{name} brings gluten into a formula called gluten-free; change the ingredient or take the claim away, and go by the label and the local law"
            yield Finding(weighed.line.place, message, name)


def _notes_claim(formula: Formula) -> bool:
    """Whether a sentence of the notes says gluten-free without any hedge."""
    from perflour.balance.allergens import GLUTEN_FREE_WORDS

    notes = formula.notes.translate(dict.fromkeys(map(ord, ";!?:"), "."))
    sentences = (" ".join(_words(sentence)) for sentence in notes.split("."))
    return any(
        any(words in sentence for words in GLUTEN_FREE_WORDS) and not HEDGES & set(sentence.split())
        for sentence in sentences
    )


def _words(text: str) -> list[str]:
    return text.lower().replace("-", " ").replace(",", " ").replace("(", " ").split()


RULE = Rule(
    id="gluten-claim-with-gluten",
    level="error",
    family="cautions",
    source="21 CFR 101.91 (from memory); Regulation (EU) No 828/2014 (from memory)",
    text=__doc__ or "",
    check=check,
)
