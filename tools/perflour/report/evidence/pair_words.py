"""Revisions one thing apart, and how both scored, in words."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from perflour.evidence.pairs import PairScored, Scored
from perflour.kitchen.figures import counted
from perflour.report.evidence.thing_words import thing_text
from perflour.report.trials.figures import interval_text, p_text
from perflour.trials.means import ALPHA

SCALE_REACH = (-8.0, 8.0)
#: So many pairs are told one by one.
MOST_TOLD = 20


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
    scores = [one for pair in found for one in pair.scores]
    if any(one.p_of_all is None for one in scores):
        yield "where one of the two was baked once, no score can tell the change from the bake"
    if judged := [one for one in scores if one.p_of_all is not None]:
        beyond = any(map(_is_beyond, judged))
        yield (
            f"of {counted(len(judged), 'comparison')} with two bakes or more of both "
            f"{'no more than those marked are' if beyond else 'none is'} beyond chance, all looks counted"
        )


def _pair(pair: PairScored) -> str:
    near = pair.near
    said = "the same in all that counts" if near.thing is None else f"only {thing_text(near.thing)}"
    return f"{near.first.label} and {near.second.iteration}: {said}"


def _is_beyond(one: Scored) -> bool:
    return one.p_of_all is not None and one.p_of_all <= ALPHA


def _scored(one: Scored) -> str:
    told = (
        f"{one.attribute} {one.first:.1f} -> {one.second:.1f} by {counted(one.tasters, 'taster')}"
    )
    if not _is_beyond(one) or one.p_of_all is None or one.gap is None:
        return told
    interval = interval_text(one.gap.low, one.gap.high, SCALE_REACH)
    bakes = f"{one.bakes[0]} and {one.bakes[1]} bakes"
    return f"{told} (beyond chance over {bakes}: {interval}, p {p_text(one.p_of_all)})"
