"""What a formula waits for, by its status and the test bakes of its newest iteration."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.history.changelog import Changelog
from perflour.history.iterations import Iteration
from perflour.records.bake import Bake
from perflour.site.standing import standing


def bake(name: str, verdict: str) -> Bake:
    return Bake(
        name, name, "d", "N", verdict, "", (), (), 0, f"less sugar after {name}", "too sweet"
    )


NONE: tuple[Bake, ...] = ()
KEEP, CHANGE, REJECT = bake("2026-03-01", "keep"), bake("2026-03-02", "change"), bake("2026-03-03", "reject")  # fmt: skip


@pytest.mark.parametrize(
    ("status", "bakes", "waits", "last"),
    [
        ("testing", (NONE,), "to-bake", ""),
        ("testing", ((CHANGE,), NONE), "to-bake", CHANGE.name),
        ("testing", ((CHANGE,),), "to-change", CHANGE.name),
        ("testing", ((CHANGE, REJECT),), "rejected", REJECT.name),
        ("testing", ((KEEP,),), "to-approve", KEEP.name),
        ("testing", ((KEEP, CHANGE),), "to-change", CHANGE.name),
        ("testing", ((KEEP,), NONE), "to-bake", KEEP.name),
        ("approved", ((KEEP,),), "approved", KEEP.name),
        ("approved", ((KEEP, CHANGE),), "approved-doubted", CHANGE.name),
        ("approved", ((KEEP,), NONE), "approved-unkept", ""),
        ("approved", ((CHANGE,),), "approved-unkept", CHANGE.name),
        ("retired", ((CHANGE,),), "retired", ""),
        ("reference", (NONE,), "reference", ""),
    ],
)
def test_where_a_formula_stands(
    status: str, bakes: tuple[tuple[Bake, ...], ...], waits: str, last: str
) -> None:
    made = tuple(Iteration(n, None, f"d{n}", bakes=own) for n, own in enumerate(bakes, 1))
    found = standing(Changelog(Path("f"), "f", "F", status, made))
    assert (found.waits, found.bake, found.iteration) == (waits, last, len(made))
    assert found.next_try == (f"less sugar after {last}" if last else "")


def test_a_newest_iteration_that_cannot_be_read_is_said_so() -> None:
    made = (Iteration(1, None, "d", bakes=(KEEP,)), Iteration(2, None, "", unreadable="no parts"))
    assert standing(Changelog(Path("f"), "f", "F", "testing", made)).waits == "unreadable"
