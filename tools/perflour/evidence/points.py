"""What stands behind a relation, thing by thing: the figure, and the mean of the score with its interval by tasters."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import fmean

from perflour.evidence.leveled import Score
from perflour.trials.means import mean_of


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
