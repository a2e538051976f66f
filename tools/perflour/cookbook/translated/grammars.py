"""What a language needs beyond its words: how sentences, sizes and names of a formula are built in it, by language."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from perflour.balance.balance import Hundred
from perflour.cookbook.translated import german
from perflour.cookbook.translated.german_steps import german_sentences
from perflour.cookbook.translated.speaker import Speaker
from perflour.formula.formula import Formula
from perflour.kitchen.language import Noun


@dataclass(frozen=True)
class Grammar:
    """``sentences`` are of a formula, whether it is baked, its base, who speaks, and the names of what it uses.

    ``hundred`` says what 100 % is, ``sized`` how large what is counted is, ``in_index`` how a name is listed.
    """

    sentences: Callable[[Formula, bool, str, Speaker, Mapping[str, Noun]], tuple[str, ...]]
    hundred: Callable[[Hundred, Noun, Noun, bool], str]
    sized: Callable[[str, str, bool], str]
    in_index: Callable[[str], str]


GRAMMARS: Mapping[str, Grammar] = MappingProxyType({
    "de": Grammar(german_sentences, german.hundred, german.sized, german.noun_first),
})  # fmt: skip
