"""Which figures go with which scores, as values, for those that show them and load no numpy: see ``relations``."""

from __future__ import annotations

from dataclasses import dataclass

#: So often scores are dealt anew where all deals are too many.
DEALS = 4_999
#: Common practice, no source: a find is called one at 1 in 20, and looked for with 4 chances in 5.
ALPHA, POWER = 0.05, 0.8


@dataclass(frozen=True)
class Relation:
    """One figure and one outcome over ``things``.

    ``rank`` is Spearman's correlation within strata; ``p`` its chance alone, ``p_of_all`` with all looks counted;
    ``is_real`` where that is at most 1 in 20. ``needed`` things would show a relation of this strength with
    4 chances in 5 among so many looks, None where it is too weak for any kitchen. ``alike`` are other figures with the same ranks.
    """

    figure: str
    outcome: str
    things: int
    rank: float
    p: float
    p_of_all: float
    needed: int | None
    alike: tuple[str, ...] = ()

    @property
    def is_real(self) -> bool:
        return self.p_of_all <= ALPHA


@dataclass(frozen=True)
class Relations:
    """All relations, the strongest first; ``looks`` is how many were counted, ``least_p`` the least that could be.

    ``not_whole`` names figures left out because some thing has no value, ``constant`` those that never moved.
    """

    found: tuple[Relation, ...]
    looks: int
    deals: int
    is_exact: bool
    least_p: float
    not_whole: tuple[str, ...]
    constant: tuple[str, ...]

    @property
    def can_tell(self) -> bool:
        """Whether even perfect order could have been called real among so few things."""
        return self.least_p <= ALPHA


@dataclass(frozen=True)
class Pairing:
    """Two figures that moved together: on the same side of their middle (or, ``opposite``, on other sides) in ``times`` of ``things``."""

    first: str
    second: str
    rank: float
    times: int
    things: int

    @property
    def opposite(self) -> bool:
        return self.rank < 0
