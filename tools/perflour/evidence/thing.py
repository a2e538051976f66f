"""One thing that differs between two formulas, in values."""

from __future__ import annotations

from typing import Literal, NamedTuple

Sort = Literal[
    "amount", "added", "removed", "exchange", "state", "moved", "part", "preferment",
    "setting", "sign", "step", "order", "not compared",
]  # fmt: skip


class Thing(NamedTuple):
    """What a baker did, once.

    ``sort``: the amount of an ingredient or of a part as a whole, an ingredient added or removed, one exchanged for
    another (``subject`` for ``subject_before``), its state, its place; a part that came, went or is taken by another
    share, a preferment; a setting of a step, the sign by which it is done, a step added or removed, the order of steps;
    or what could not be compared. ``field`` is the setting, or says more of the sort. Figures are in ``unit`` (% of the
    basis, g, °C, min), None where there are none. A flour's mass before is that of the scaled batch.
    """

    sort: Sort
    subject: str
    subject_before: str = ""
    part: str = ""
    field: str = ""
    before: float | None = None
    after: float | None = None
    unit: str = ""
