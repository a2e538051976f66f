"""Revisions that differ in one thing only, and how both scored."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

from perflour.evidence.rows import Evidence, Near, Revision, Sample
from perflour.trials.means import Gap


@dataclass(frozen=True)
class Scored:
    """One attribute of two revisions: means of the same tasters in the same sittings, by so many of them.

    ``bakes`` are how many there are behind the one and the other. Only where both were baked twice or more can a
    change be told from the bake: ``gap`` is then that of the bakes' means (Welch), and ``p_of_all`` counts
    every look of the report (Bonferroni); else both are None.
    """

    attribute: str
    first: float
    second: float
    tasters: int
    bakes: tuple[int, int]
    gap: Gap | None = None
    p_of_all: float | None = None


@dataclass(frozen=True)
class PairScored:
    """Two revisions one thing apart, or the same; ``scores`` is empty where no taster had both side by side."""

    near: Near
    scores: tuple[Scored, ...]


def pairs_scored(evidence: Evidence, families: int = 1) -> tuple[PairScored, ...]:
    """Every pair of one thing, with its scores; ``families`` are the sets of looks of a report, this one counted."""
    samples: dict[tuple[str, str], list[Sample]] = defaultdict(list)
    for sample in evidence.samples:
        samples[_key(sample.revision)].append(sample)
    found = [
        (near, _scores(samples[_key(near.first)], samples[_key(near.second)]))
        for near in evidence.near
    ]
    looks = sum(1 for _, scores in found for one in scores if one.gap and one.gap.p is not None)
    return tuple(
        PairScored(near, tuple(_counted(one, looks * families) for one in scores))
        for near, scores in found
    )


def _key(revision: Revision) -> tuple[str, str]:
    return revision.formula, revision.digest


def _counted(one: Scored, looks: int) -> Scored:
    if one.gap is None or one.gap.p is None:
        return one
    return replace(one, p_of_all=min(1.0, one.gap.p * looks))


def _scores(first: Sequence[Sample], second: Sequence[Sample]) -> list[Scored]:
    """By attribute the tasters who gave both in one sitting; of several sittings each counts."""
    from perflour.trials.sensory import group_gap  # loads scipy

    one, other = _by_sitting(first), _by_sitting(second)
    attributes = dict.fromkeys(attribute for _, _, attribute in one)
    found = []
    for attribute in attributes:
        keys = [key for key in one if key[2] == attribute and key in other]
        if not keys:
            continue
        means = [sum(side[key] for key in keys) / len(keys) for side in (one, other)]
        bakes = [_by_bake(side, attribute) for side in (first, second)]
        count = (len(bakes[0]), len(bakes[1]))
        gap = group_gap(*bakes) if min(count) > 1 else None
        tasters = len({taster for _, taster, _ in keys})
        found.append(Scored(attribute, means[0], means[1], tasters, count, gap))
    return found


def _by_bake(samples: Sequence[Sample], attribute: str) -> list[float]:
    """The mean of each bake; a blind sample counts with the bake it came from."""
    given: dict[str, list[float]] = defaultdict(list)
    for sample in samples:
        values = [one.value for one in sample.given if one.attribute == attribute]
        given[sample.bake or f"{sample.record} {sample.code}"] += values
    return [sum(values) / len(values) for values in given.values() if values]


def _by_sitting(samples: Sequence[Sample]) -> dict[tuple[str, str, str], float]:
    """By sitting, taster and attribute the mean of what was given."""
    given: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    for sample in samples:
        for one in sample.given:
            given[sample.sitting, one.taster, one.attribute].append(one.value)
    return {key: sum(values) / len(values) for key, values in given.items()}
