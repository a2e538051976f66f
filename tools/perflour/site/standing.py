"""Where a formula stands, by its newest iteration: what it waits for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal, NamedTuple

from perflour.formula.formula import APPROVED, REFERENCE
from perflour.history.changelog import Changelog
from perflour.history.kept import is_scaled_from, keeps, kept_numbers
from perflour.records.bake import Bake

Waits = Literal[
    "unreadable",
    "reference",
    "retired",
    "to-bake",
    "to-change",
    "rejected",
    "to-approve",
    "approved",
    "approved-unkept",
    "approved-doubted",
]
RETIRED = "retired"


class Standing(NamedTuple):
    """What a formula waits for; ``bake`` is the newest test bake of its newest iteration, or
    else of an earlier one, with what it asked for. ``scaled_from`` is the kept iteration that the newest one is at
    another size, 0 where it was kept itself or not at all."""

    waits: Waits
    iteration: int = 0
    bake: str = ""
    next_try: str = ""
    next_because: str = ""
    scaled_from: int = 0


def standing(changelog: Changelog) -> Standing:
    """Where a formula stands. A status that ends the work counts before any bake, the newest bake before others."""
    newest = changelog.iterations[-1] if changelog.iterations else None
    number = newest.number if newest else 0
    if changelog.status in (REFERENCE, RETIRED):
        return Standing("reference" if changelog.status == REFERENCE else "retired", number)
    if newest is None or newest.unreadable:
        return Standing("unreadable", number)
    scaled_from = 0 if keeps(newest) else is_scaled_from(newest, kept_numbers(changelog))
    kept = bool(keeps(newest) or scaled_from)
    bake = _newest(newest.bakes)
    waits, of = _waits(changelog.status, bake, kept), bake
    if waits == "to-bake":  # what an earlier bake asked for is still to be tried, or is tried now
        of = _newest([bake for iteration in changelog.iterations for bake in iteration.bakes])
    asked = (of.name, of.next_try, of.next_because) if of else ("", "", "")
    return Standing(waits, number, *asked, scaled_from)


def _waits(status: str, bake: Bake | None, kept: bool) -> Waits:
    """What a formula that is worked on waits for, by the newest bake of its newest iteration."""
    asked = bake is not None and bake.verdict != "keep"
    if status == APPROVED:
        return "approved-doubted" if kept and asked else "approved" if kept else "approved-unkept"
    if bake is None:
        return "to-approve" if kept else "to-bake"
    if bake.verdict == "keep":
        return "to-approve"
    return "rejected" if bake.verdict == "reject" else "to-change"


def _newest(bakes: Sequence[Bake]) -> Bake | None:
    return max(bakes, key=lambda one: (one.date, one.name), default=None)
