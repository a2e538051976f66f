"""One change between two revisions of a formula."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Change:
    """What moved, from what to what.

    ``kind`` is one of batch-scaled, basis, amount, re-measured, amount-as-written, added, removed,
    moved, renamed, state, ratio, step-added, step-removed, step-moved, step-changed, bake, yield,
    mass-per-piece, header. ``before`` and ``after`` are percent of the basis (g for batch-scaled,
    basis and mass-per-piece), ``delta`` their difference (the factor for batch-scaled) and
    ``spread`` one standard spread of it. ``beyond_spread`` says whether the move is more than the
    measuring explains. ``text_*`` and ``grams_*`` are a line's amount as
    written and its mass. ``fine`` asks for two decimals.
    """

    kind: str
    part: str
    subject: str
    before: float | None = None
    after: float | None = None
    delta: float | None = None
    spread: float | None = None
    beyond_spread: bool | None = None
    text_before: str = ""
    text_after: str = ""
    grams_before: float | None = None
    grams_after: float | None = None
    fine: bool = False
