"""The steps of a method as sentences for a reader, in the language of the book."""

from __future__ import annotations

from collections.abc import Callable

from perflour.cookbook.steps.english_steps import english_sentences
from perflour.formula.formula import Formula

#: Who writes the sentences: of a formula, whether it goes into an oven, what its base is called.
Writer = Callable[[Formula, bool, str], tuple[str, ...]]


def method_sentences(formula: Formula, baked: bool = True, base: str = "") -> tuple[str, ...]:
    """Every step in English; ``baked`` False where nothing goes into an oven.

    ``base`` is what is worked on where a step names nothing: dough, batter. Texts keep what was written;
    only temperatures get the scale they lack. Other languages: ``grammars``.
    """
    return english_sentences(formula, baked, base)
