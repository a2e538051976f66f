"""Where a formula stands, by its newest iteration: what it waits for."""

from __future__ import annotations

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
    else of an earlier one, with what it asked for."""

    waits: Waits
    iteration: int = 0
    bake: str = ""
    next_try: str = ""
    next_because: str = ""


def standing(changelog: Changelog) -> Standing:
    """Where a formula stands. A status that ends the work counts before any bake, the newest bake before others."""
    newest = changelog.iterations[-1] if changelog.iterations else None
    number = newest.number if newest else 0
    if changelog.status in (REFERENCE, RETIRED):
        return Standing("reference" if changelog.status == REFERENCE else "retired", number)
    if newest is None or newest.unreadable:
        return Standing("unreadable", number)
    bake = max(newest.bakes, key=lambda one: (one.date, one.name), default=None)
    kept = keeps(newest) or is_scaled_from(newest, kept_numbers(changelog))
    doubted = bake is not None and bake.verdict != "keep"
    if changelog.status == APPROVED:
        waits: Waits = "approved" if kept else "approved-unkept"
        return _with(bake, "approved-doubted" if kept and doubted else waits, number)
    if bake is None and not kept:
        return _with(_newest_bake(changelog), "to-bake", number)
    if bake is None or bake.verdict == "keep":
        return _with(bake, "to-approve", number)
    return _with(bake, "rejected" if bake.verdict == "reject" else "to-change", number)


def _newest_bake(changelog: Changelog) -> Bake | None:
    """The newest test bake of an earlier iteration: what it asked for is still to be tried, or is tried now."""
    bakes = (bake for iteration in changelog.iterations for bake in iteration.bakes)
    return max(bakes, key=lambda one: (one.date, one.name), default=None)


def _with(bake: Bake | None, waits: Waits, number: int) -> Standing:
    if bake is None:
        return Standing(waits, number)
    return Standing(waits, number, bake.name, bake.next_try, bake.next_because)
