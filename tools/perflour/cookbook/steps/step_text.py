"""The steps of a method as sentences for a reader, in the language of the book."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from perflour.cookbook.steps.english_steps import english_sentences
from perflour.formula.formula import Formula

#: By language who writes the sentences: of a formula, whether it goes into an oven, what its base is called.
WRITERS: Mapping[str, Callable[[Formula, bool, str], tuple[str, ...]]] = MappingProxyType(
    {"en": english_sentences}
)


def method_sentences(
    formula: Formula, baked: bool = True, base: str = "", language: str = "en"
) -> tuple[str, ...]:
    """Every step in words; ``baked`` False where nothing goes into an oven.

    ``base`` is what is worked on where a step names nothing: dough, batter. Texts keep what was written;
    only temperatures get the scale they lack.
    """
    return WRITERS[language](formula, baked, base)
