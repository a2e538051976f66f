"""What each kind of change is: its section, how early it is told, what it does to ratios."""

from enum import IntEnum
from typing import Literal, NamedTuple

from perflour.diff.change import Change

Section = Literal["ingredients", "ratios", "method", "bake", "yield", "text"]
SECTIONS: tuple[Section, ...] = ("ingredients", "ratios", "method", "bake", "yield", "text")


class Tier(IntEnum):
    """What is told before what.

    The batch first; then what the baker did, what follows from that, what the measuring explains
    (of whatever kind), and words.
    """

    BATCH = 0
    PART = 1
    DONE = 2
    FOLLOWS = 3
    DOUBTED = 4
    WORDS = 5


# What a change does to ratios: those of the whole formula move, or do where the ingredient's own
# percentage does; only what each part holds; nothing.
Moves = Literal["ratios", "ratios with its percentage", "parts", "nothing"]


class Kind(NamedTuple):
    """A kind of change.

    ``by_rounding`` says whether it tells, of a scaled formula, what rounding did: what scaling means
    to do does not, nor what no rounding reaches.
    """

    name: str
    section: Section
    tier: Tier
    moves: Moves
    by_rounding: bool


_KINDS = (
    # the batch, and what 100 % is
    Kind("batch-scaled", "ingredients", Tier.BATCH, "nothing", False),
    Kind("part-scaled", "ingredients", Tier.PART, "ratios", True),
    Kind("basis", "ingredients", Tier.DONE, "ratios", False),
    Kind("blend", "ingredients", Tier.DONE, "ratios", True),
    # lines
    Kind("amount", "ingredients", Tier.DONE, "ratios", True),
    Kind("re-measured", "ingredients", Tier.DONE, "ratios with its percentage", False),
    Kind("amount-as-written", "ingredients", Tier.DONE, "ratios", True),
    Kind("mass-only", "ingredients", Tier.DONE, "ratios", True),
    Kind("follows-basis", "ingredients", Tier.FOLLOWS, "ratios", True),
    Kind("added", "ingredients", Tier.DONE, "ratios", True),
    Kind("removed", "ingredients", Tier.DONE, "ratios", True),
    Kind("substituted", "ingredients", Tier.DONE, "ratios", True),
    Kind("moved", "ingredients", Tier.DONE, "parts", True),
    Kind("shared-out", "ingredients", Tier.DONE, "parts", True),
    Kind("split", "ingredients", Tier.DONE, "ratios", True),
    Kind("merged", "ingredients", Tier.DONE, "ratios", True),
    Kind("renamed", "ingredients", Tier.WORDS, "nothing", True),
    Kind("state", "ingredients", Tier.DONE, "nothing", True),
    Kind("note", "text", Tier.WORDS, "nothing", True),
    # parts
    Kind("part-added", "ingredients", Tier.DONE, "ratios", True),
    Kind("part-removed", "ingredients", Tier.DONE, "ratios", True),
    Kind("part-renamed", "ingredients", Tier.WORDS, "nothing", True),
    Kind("part-kind", "ingredients", Tier.DONE, "nothing", True),
    Kind("part-share", "ingredients", Tier.DONE, "ratios", True),
    # derived ratios
    Kind("ratio", "ratios", Tier.FOLLOWS, "ratios", True),
    Kind("window", "ratios", Tier.FOLLOWS, "nothing", True),
    # the method
    Kind("step-added", "method", Tier.DONE, "nothing", False),
    Kind("step-removed", "method", Tier.DONE, "nothing", False),
    Kind("step-moved", "method", Tier.DONE, "nothing", False),
    Kind("step-time", "method", Tier.DONE, "nothing", False),
    Kind("step-temperature", "method", Tier.DONE, "nothing", False),
    Kind("step-speed", "method", Tier.DONE, "nothing", False),
    Kind("step-sign", "method", Tier.DONE, "nothing", False),
    Kind("step-uses", "method", Tier.DONE, "nothing", False),
    Kind("step-reworded", "method", Tier.DONE, "nothing", False),
    Kind("bake", "bake", Tier.DONE, "nothing", False),
    # the rest
    Kind("yield", "yield", Tier.DONE, "nothing", False),
    Kind("mass-per-piece", "yield", Tier.FOLLOWS, "nothing", False),
    Kind("header", "text", Tier.WORDS, "nothing", False),
)
KINDS = {kind.name: kind for kind in _KINDS}


def kind_of(change: Change) -> Kind:
    """The row of a change."""
    return KINDS[change.kind]
