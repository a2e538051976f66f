"""The revisions that a test bake keeps, and those that are one of them at another size."""

from __future__ import annotations

from collections.abc import Collection

from perflour.diff.change import is_only_scaled
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:  # a review tells of no changelog: docs/performance.md
    from perflour.history.changelog import Changelog
    from perflour.history.iterations import Iteration


def kept_numbers(changelog: Changelog, by: str = "") -> frozenset[int]:
    """The iterations that a test bake keeps, and those that are one of them scaled.

    ``by`` is a day (ISO 8601): of bakes dated later nothing was known then.
    """
    kept: set[int] = set()
    for iteration in changelog.iterations:
        if keeps(iteration, by) or (not iteration.bakes and is_scaled_from(iteration, kept)):
            kept.add(iteration.number)
    return frozenset(kept)


def keeps(iteration: Iteration, by: str = "") -> list[str]:
    """The test bakes that keep a revision, by name; with ``by`` those dated on that day or before."""
    bakes = (bake for bake in iteration.bakes if bake.verdict == "keep")
    return [bake.name for bake in bakes if not by or bake.date <= by]


def is_scaled_from(iteration: Iteration, kept: Collection[int]) -> int:
    """The number of the kept iteration that this one is at another size; 0 for none."""
    for move in iteration.moves:
        if move.against in kept and is_only_scaled(move.changes):
            return move.against
    return 0
