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
]
RETIRED = "retired"


class Standing(NamedTuple):
    """What a formula waits for; ``bake`` is the newest test bake of its newest iteration, where there is one."""

    waits: Waits
    iteration: int = 0
    bake: str = ""
    next_try: str = ""
    next_because: str = ""


def standing(changelog: Changelog) -> Standing:
    """Where a formula stands. A status that ends the work counts before any bake."""
    newest = changelog.iterations[-1] if changelog.iterations else None
    number = newest.number if newest else 0
    if changelog.status in (REFERENCE, RETIRED):
        return Standing("reference" if changelog.status == REFERENCE else "retired", number)
    if newest is None or newest.unreadable:
        return Standing("unreadable", number)
    bake = max(newest.bakes, key=lambda one: (one.date, one.name), default=None)
    kept = keeps(newest) or is_scaled_from(newest, kept_numbers(changelog))
    if changelog.status == APPROVED:
        return _with(bake, "approved" if kept else "approved-unkept", number)
    if kept:
        return _with(bake, "to-approve", number)
    if bake is None:
        return Standing("to-bake", number)
    return _with(bake, "rejected" if bake.verdict == "reject" else "to-change", number)


def _with(bake: Bake | None, waits: Waits, number: int) -> Standing:
    if bake is None:
        return Standing(waits, number)
    return Standing(waits, number, bake.name, bake.next_try, bake.next_because)
