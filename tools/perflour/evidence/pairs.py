"""Revisions that differ in one thing only, and how both scored."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from perflour.evidence.rows import Evidence, Near, Revision, Sample
from perflour.trials.sensory import Gap, paired_gap


@dataclass(frozen=True)
class Scored:
    """One attribute of two revisions, given by the same tasters in the same sittings: the second against the first.

    ``p_of_all`` counts every comparison of the report (Bonferroni); None where a single taster tells nothing.
    ``bakes`` are those behind the one and the other.
    """

    attribute: str
    first: float
    second: float
    gap: Gap
    p_of_all: float | None
    bakes: tuple[int, int]


@dataclass(frozen=True)
class PairScored:
    """Two revisions one thing apart, or the same; ``scores`` is empty where no taster had both side by side."""

    near: Near
    scores: tuple[Scored, ...]


def pairs_scored(evidence: Evidence) -> tuple[PairScored, ...]:
    """Every pair of one thing, with its scores."""
    samples: dict[tuple[str, str], list[Sample]] = defaultdict(list)
    for sample in evidence.samples:
        samples[_key(sample.revision)].append(sample)
    found = [
        (near, _scores(samples[_key(near.first)], samples[_key(near.second)]))
        for near in evidence.near
    ]
    looks = sum(1 for _, scores in found for one in scores if one.gap.p is not None)
    return tuple(
        PairScored(near, tuple(_counted(one, looks) for one in scores)) for near, scores in found
    )


def _key(revision: Revision) -> tuple[str, str]:
    return revision.formula, revision.digest


def _counted(one: Scored, looks: int) -> Scored:
    p = one.gap.p
    return Scored(
        one.attribute,
        one.first,
        one.second,
        one.gap,
        None if p is None else min(1.0, p * looks),
        one.bakes,
    )


def _scores(first: Sequence[Sample], second: Sequence[Sample]) -> list[Scored]:
    """By attribute the tasters who gave both in one sitting; of several sittings each counts."""
    one, other = _by_sitting(first), _by_sitting(second)
    attributes = dict.fromkeys(attribute for _, _, attribute in one)
    found = []
    for attribute in attributes:
        keys = [key for key in one if key[2] == attribute and key in other]
        if not keys:
            continue
        pair = ([one[key] for key in keys], [other[key] for key in keys])
        means = [sum(values) / len(values) for values in pair]
        bakes = (len({s.bake or s.record for s in first}), len({s.bake or s.record for s in second}))  # fmt: skip
        found.append(Scored(attribute, means[0], means[1], paired_gap(*pair), None, bakes))
    return found


def _by_sitting(samples: Sequence[Sample]) -> dict[tuple[str, str, str], float]:
    """By sitting, taster and attribute the mean of what was given."""
    given: dict[tuple[str, str, str], list[float]] = defaultdict(list)
    for sample in samples:
        for one in sample.given:
            given[sample.sitting, one.taster, one.attribute].append(one.value)
    return {key: sum(values) / len(values) for key, values in given.items()}
