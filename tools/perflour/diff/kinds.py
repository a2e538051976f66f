"""What each kind of change is: its section, how early it is told, what it does to ratios."""

from enum import IntEnum
from math import inf

from perflour.diff.change import (
    BlendChange,
    Change,
    LineChange,
    MassChange,
    PartChange,
    RatioChange,
    Scaling,
    StepChange,
    TextChange,
    WindowChange,
)
from perflour.tuples import NamedTuple
from perflour.typed import Literal

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
    """A kind of change, and the type that carries it.

    ``by_rounding`` says whether it tells, of a scaled formula, what rounding did: what scaling means
    to do does not, nor what no rounding reaches. What follows from other changes is news by itself
    from the importance ``news_from`` on.
    """

    name: str
    type: type[Change]
    section: Section
    tier: Tier
    moves: Moves
    by_rounding: bool
    news_from: float = inf


_KINDS = (
    # the batch, and what 100 % is
    Kind("batch-scaled", Scaling, "ingredients", Tier.BATCH, "nothing", False),
    Kind("part-scaled", Scaling, "ingredients", Tier.PART, "ratios", True),
    Kind("basis-named", TextChange, "ingredients", Tier.BATCH, "nothing", False),
    Kind("basis-short", TextChange, "ingredients", Tier.BATCH, "nothing", False),
    Kind("basis-unknown", TextChange, "ingredients", Tier.BATCH, "nothing", False),
    Kind("basis", MassChange, "ingredients", Tier.DONE, "ratios", False),
    Kind("blend", BlendChange, "ingredients", Tier.DONE, "ratios", True),
    # lines
    Kind("amount", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("re-measured", LineChange, "ingredients", Tier.DONE, "ratios with its percentage", False),
    Kind("amount-as-written", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("mass-only", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("follows-basis", LineChange, "ingredients", Tier.FOLLOWS, "ratios", True),
    Kind("added", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("removed", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("substituted", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("leavening", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("exchanged", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("moved", TextChange, "ingredients", Tier.DONE, "parts", True),
    Kind("shared-out", LineChange, "ingredients", Tier.DONE, "parts", True),
    Kind("split", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("merged", LineChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("renamed", TextChange, "ingredients", Tier.WORDS, "nothing", True),
    Kind("state", TextChange, "ingredients", Tier.DONE, "nothing", True),
    Kind("note", TextChange, "text", Tier.WORDS, "nothing", True),
    Kind("lines-not-compared", TextChange, "ingredients", Tier.DONE, "nothing", True),
    # parts
    Kind("part-added", PartChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("part-removed", PartChange, "ingredients", Tier.DONE, "ratios", True),
    Kind("preferment", PartChange, "ingredients", Tier.PART, "parts", True),
    Kind("part-renamed", TextChange, "ingredients", Tier.WORDS, "nothing", True),
    Kind("part-kind", TextChange, "ingredients", Tier.DONE, "nothing", True),
    Kind("part-share", LineChange, "ingredients", Tier.DONE, "ratios", True),
    # derived ratios
    Kind("ratio", RatioChange, "ratios", Tier.FOLLOWS, "ratios", True),
    Kind("ratio-unknown", RatioChange, "ratios", Tier.FOLLOWS, "nothing", True, news_from=0.0),
    Kind("part-beside", MassChange, "ratios", Tier.FOLLOWS, "nothing", True, news_from=1.0),
    Kind("window", WindowChange, "ratios", Tier.FOLLOWS, "nothing", True),
    # the method
    Kind("step-added", TextChange, "method", Tier.DONE, "nothing", False),
    Kind("step-removed", TextChange, "method", Tier.DONE, "nothing", False),
    Kind("step-moved", TextChange, "method", Tier.DONE, "nothing", False),
    Kind("step-split", TextChange, "method", Tier.DONE, "nothing", False),
    Kind("steps-joined", TextChange, "method", Tier.DONE, "nothing", False),
    Kind("steps-not-compared", TextChange, "method", Tier.DONE, "nothing", False),
    Kind("step-time", StepChange, "method", Tier.DONE, "nothing", False),
    Kind("step-temperature", StepChange, "method", Tier.DONE, "nothing", False),
    Kind("step-speed", StepChange, "method", Tier.DONE, "nothing", False),
    Kind("step-sign", StepChange, "method", Tier.DONE, "nothing", False),
    Kind("step-uses", StepChange, "method", Tier.DONE, "nothing", False),
    Kind("step-reworded", StepChange, "method", Tier.DONE, "nothing", False),
    Kind("bake", StepChange, "bake", Tier.DONE, "nothing", False),
    # the rest
    Kind("yield", TextChange, "yield", Tier.DONE, "nothing", False),
    Kind("mass-per-piece", MassChange, "yield", Tier.FOLLOWS, "nothing", False),
    Kind("piece-unknown", TextChange, "yield", Tier.FOLLOWS, "nothing", False),
    Kind("yield-off", MassChange, "yield", Tier.FOLLOWS, "nothing", True),
    Kind("header", TextChange, "text", Tier.WORDS, "nothing", False),
)
KINDS = {kind.name: kind for kind in _KINDS}


def kind_of(change: Change) -> Kind:
    """The row of a change."""
    return KINDS[change.kind]
