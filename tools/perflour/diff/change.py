"""One change between two revisions of a formula."""

from typing import NamedTuple


class LineSaid(NamedTuple):
    """An ingredient line as it stands on one side, the ``place``-th of its part.

    ``grams`` is None where it has no mass.
    """

    part: str
    place: int
    item: str
    amount: str
    grams: float | None


class Shift(NamedTuple):
    """A named figure that moved along: a flour's share of the blend, water of a substitution."""

    name: str
    before: float
    after: float


class Change(NamedTuple):
    """What moved, from what to what.

    ``kind`` is one of

    - the batch: batch-scaled, part-scaled, basis, blend
    - lines: amount, re-measured, amount-as-written, mass-only, follows-basis, added, removed,
      substituted, moved, shared-out, split, merged, renamed, state, note
    - parts: part-added, part-removed, part-renamed, part-kind, part-share
    - ratios: ratio, window
    - method: step-added, step-removed, step-moved, step-time, step-temperature, step-speed,
      step-sign, step-uses, step-reworded, bake
    - the rest: yield, mass-per-piece, header

    ``before`` and ``after`` are percent of the basis (g for batch-scaled, part-scaled, basis and
    mass-per-piece; °C or min for a step), ``delta`` their difference (the factor for batch-scaled
    and part-scaled; against the scaled batch for basis) and ``spread`` one standard spread of it.
    ``beyond_spread`` says whether the move is more than the measuring explains. ``importance`` is
    the move in usual widths of its figure. ``text_*`` and ``grams_*`` are the amount as written and
    its mass; ``subject_before`` and ``part_before`` what was there before, where that is another.
    ``lines_before`` are the lines that a change takes away and ``lines_after`` those it puts there:
    together with the factors they lead from one balance to the other. ``window`` is the usual range
    that a ratio enters or leaves (``crossing``). ``fine`` asks for two decimals,
    ``in_several`` to name the part: the ingredient stands in more than one.
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
    importance: float = 0.0
    subject_before: str = ""
    part_before: str = ""
    lines_before: tuple[LineSaid, ...] = ()
    lines_after: tuple[LineSaid, ...] = ()
    shifts: tuple[Shift, ...] = ()
    window: tuple[float, float] | None = None
    crossing: str = ""
    in_several: bool = False
