"""Which figures go with which scores, as values, and what stands behind one of them, thing by thing.

Apart from ``relations``, which finds them: whoever shows them loads no numpy.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from perflour.evidence.leveled import Score
from perflour.trials.means import ALPHA, mean_of

#: So often scores are dealt anew where all deals are too many.
DEALS = 4_999


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


@dataclass(frozen=True)
class Shown:
    """One thing: its figure and its outcome, with the 95 % interval of the mean of its tasters or readings (None for one)."""

    thing: str
    family: str
    figure: float
    outcome: float
    low: float | None
    high: float | None
    tasters: int


def shown(
    scores: Sequence[Score],
    figure: Sequence[float | None],
    things: Sequence[str],
    family: Mapping[str, str],
) -> tuple[Shown, ...]:
    """The things that have both, in order; a taster counts once for a thing, however often they gave it a score.

    Of a reading, which has no taster, each sitting counts.
    """
    by_thing: dict[str, dict[str, list[float]]] = defaultdict(lambda: defaultdict(list))
    for score in scores:
        by_thing[score.thing][score.taster or score.sitting].append(score.value)
    found = []
    for thing, value in zip(things, figure, strict=True):
        if value is not None and thing in by_thing:
            each = [fmean(values) for values in by_thing[thing].values()]
            mean = mean_of(each)
            found.append(Shown(thing, family[thing], value, mean.mean, mean.low, mean.high, len(each)))  # fmt: skip
    return tuple(found)
