"""How a measure is filled: heaped, scant, packed; words before or behind a cup or a spoon.

How much a heaped spoon holds nobody has fixed: the ranges are wide, and common practice, no source.
"""

import re

from perflour.tuples import NamedTuple


class Filling(NamedTuple):
    """The lowest and highest share of a level measure that a word stands for, for spoons and for cups."""

    spoon: tuple[float, float]
    cup: tuple[float, float]


HEAPED, ROUNDED, SCANT, GENEROUS = "heaped", "rounded", "scant", "generous"
FILLINGS = {
    HEAPED: Filling((1.5, 2.5), (1.1, 1.4)),
    ROUNDED: Filling((1.2, 2.0), (1.05, 1.25)),
    SCANT: Filling((0.8, 0.98), (0.85, 0.98)),
    GENEROUS: Filling((1.05, 1.3), (1.02, 1.15)),
}
# Up to this size a measure is a spoon, whose heap is large beside it.
LARGEST_SPOON_ML = 20.0
LEVEL = ("level", "levelled", "leveled", "full", "even")
_NAMES = {
    "heaped": HEAPED, "heaping": HEAPED, "rounded": ROUNDED, "rounding": ROUNDED, "scant": SCANT,
    "scanty": SCANT, "generous": GENEROUS, "good": GENEROUS, "ample": GENEROUS,
}  # fmt: skip
# Words that say how dense it lies; they are states, written beside the measure.
_LAID = frozenset(("packed", "unpacked", "lightly", "firmly", "tightly", "loosely", "well", "sifted", "unsifted"))  # fmt: skip
WORDS = frozenset((*_NAMES, *LEVEL, *_LAID))


def filling_in(text: str) -> tuple[str, str]:
    """How the measure is filled that text starts with, and what follows; empty for level and unsaid."""
    words = text.split()
    count = 0
    while count < len(words) and words[count].lower() in WORDS:
        count += 1
    if not count:
        return "", text
    said = [word.lower() for word in words[:count]]
    names = dict.fromkeys(_NAMES.get(word, word) for word in said if word not in LEVEL)
    return " ".join(names), " ".join(words[count:])


def heaped_or_scant(filling: str) -> str:
    """The word of a filling that stands for a range of sizes; empty for packed and the like."""
    return next((word for word in filling.split() if word in FILLINGS), "")


def apart(state: str) -> tuple[str, str]:
    """The word of a state that says how full the measure is, and the state without it."""
    for piece in re.findall(r"\w+", state):
        if piece.lower() in _NAMES:
            left = re.sub(rf"\b{piece}\b[\s,]*", "", state, count=1).strip(" ,")
            return _NAMES[piece.lower()], left
    return "", state


def laid(filling: str) -> str:
    """The words of a filling that are a state: lightly packed."""
    return " ".join(word for word in filling.split() if word in _LAID)


def share_of_level(word: str, ml: float) -> tuple[float, float]:
    """The lowest and highest share of a level measure of that size, by the word of ``heaped_or_scant``."""
    of = FILLINGS[word]
    return of.spoon if ml <= LARGEST_SPOON_ML else of.cup
