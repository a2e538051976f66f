"""Revisions one thing apart, and how both scored, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.evidence.pairs import PairScored, Scored
from perflour.evidence.relations import ALPHA
from perflour.report.evidence.thing_words import thing_text
from perflour.report.evidence.why_words import counted
from perflour.report.trials.figures import interval_text, p_text

SCALE_REACH = (-8.0, 8.0)


def pair_lines(found: Sequence[PairScored]) -> Iterator[str]:
    """One line a pair; then what must be known of all."""
    for pair in found:
        near = pair.near
        said = (
            "the same in all that counts"
            if near.thing is None
            else f"only {thing_text(near.thing)}"
        )
        scored = ", ".join(map(_scored, pair.scores)) or "no taster had both side by side"
        yield f"{near.first.label} and {near.second.iteration}: {said}: {scored}"
    looks = sum(one.p_of_all is not None for pair in found for one in pair.scores)
    if looks:
        beyond = any(_is_beyond(one) for pair in found for one in pair.scores)
        yield (
            f"with all {looks} comparisons counted {'no more than these are' if beyond else 'none is'} beyond the chance of "
            "tasters; where there is one bake of each, the bakes may differ by themselves"
        )


def _is_beyond(one: Scored) -> bool:
    return one.p_of_all is not None and one.p_of_all <= ALPHA


def _scored(one: Scored) -> str:
    gap = one.gap
    told = (
        f"{one.attribute} {one.first:.1f} -> {one.second:.1f} by {counted(gap.tasters, 'taster')}"
    )
    if not _is_beyond(one) or one.p_of_all is None:
        return told
    interval = interval_text(gap.low, gap.high, SCALE_REACH)
    return f"{told} (beyond the chance of tasters: {interval}, p {p_text(one.p_of_all)})"
