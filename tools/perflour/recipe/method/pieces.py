"""The words and signs of a sentence, and which of them are verbs."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from perflour.formula.verbs import GREASES, PAN
from perflour.recipe.words import phrases, word_map, word_set

JOINTS = frozenset((",", ";", ":", "and", "then", "or", ")"))
FILLERS = frozenset(("so", "then", "now", "next", "well", "ok", "okay", "right", "and", "but", "after", "once", "finally", "meanwhile", "again", "just", "please", "there"))  # fmt: skip
INTO, ONTO = frozenset(("in", "into")), frozenset(("on", "over", "onto", "ontop"))
#: Nouns that only look like a verb's participle: "the remaining", "a baking tin", "baking powder".
NO_VERB_BEHIND = frozenset(
    ("the", "a", "an", "its", "their", "your", "this", "of", "each", "some", "more", "any")
)


class Piece(NamedTuple):
    """A word or sign: in the form of an instruction, and where it stands in the sentence."""

    word: str
    start: int
    end: int


def base_form(word: str) -> str:
    """The verb that a word is a form of: "creamed" and "creams" are cream; empty for none."""
    verbs = phrases("verbs").firsts()
    if word in verbs:
        return word
    if word in word_map("irregular-verbs"):
        return str(word_map("irregular-verbs")[word])
    for ending in ("ing", "ed", "es", "s"):
        if not word.endswith(ending) or len(word) < len(ending) + 3:
            continue
        stem = word[: -len(ending)]
        for form in (stem, f"{stem}e", stem[:-1] if stem[-1] == stem[-2] else "", f"{stem[:-1]}y" if stem.endswith("i") else ""):  # fmt: skip
            if form in verbs:
                return form
    return ""


def starts_of(pieces: Sequence[Piece]) -> list[int]:
    """Where clauses may open: at the start and behind joints."""
    return [n for n in range(len(pieces)) if n == 0 or pieces[n - 1].word in JOINTS]


def is_adverb(word: str) -> bool:
    """ "Gently", "slowly"."""
    return word.endswith("ly") and len(word) > 4


def has_verb(pieces: Sequence[Piece]) -> bool:
    """Whether a word there is a verb and nothing else."""
    words = [piece.word for piece in pieces]
    return any(
        phrases("verbs").at(words, n)
        and words[n] not in word_set("verbs-that-are-nouns")
        and (n == 0 or words[n - 1] not in NO_VERB_BEHIND)
        for n in range(len(words))
    )


def says_pieces(words: Sequence[str]) -> bool:
    """Whether "in" is followed by what it is cut in: "slices", "half", "16 squares"."""
    stemmed = {word.removesuffix("s") for word in words}
    return bool(stemmed & (word_set("pieces") | {"half", "halve", "quarter", "strip", "cube"}))


def readies_pan(words: Sequence[str], at: int) -> bool:
    """ "Butter and line a tin": two things done to one pan."""
    behind = next((n for n in range(at + 2, min(at + 10, len(words))) if words[n] in (",", ";", "and", "with")), min(at + 10, len(words)))  # fmt: skip
    return words[at] in GREASES and bool(PAN & set(words[at + 2 : at + 3])) and bool(word_set("baking-tins") & set(words[at + 3 : behind]))  # fmt: skip
