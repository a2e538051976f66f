"""Corrections of a printed page: what makes one, what is told of it, and what stays a change."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import git
from tests.history.test_changelog import commit
from tests.release.test_release import loaf, put, release, section

SODA = "  - {item: baking soda, because: a spoon too much was printed}\n"
WHOLE = "  - {because: the page was that of a larger pan}\n"
BEFORE = loaf("quay-loaf").replace("soda, amount: 3 g", "soda, amount: 9 g")


def after(entries: str, **said: object) -> str:
    return loaf("quay-loaf", **said) + (f"corrections:\n{entries}" if entries else "")


SODA_SAID = "  Quay loaf\n    baking soda: 3.0 g (about ½ tsp plus ⅛ tsp), printed as 9.0 g (2 tsp)\n      because a spoon too much was printed\n"
YIELD = "makes 2 loaves of 258 g each, weighed before baking (was 2 loaves of 261 g each)\n"
BAKED = "    baked once in our kitchen just as it is printed\n"


@pytest.mark.parametrize(
    ("content", "corrected", "changed"),
    [
        (after(""), "", f"  Quay loaf\n    {YIELD}    much less baking soda: 3.0 g, was 9.0 g\n{BAKED}"),
        (after(SODA), f"{SODA_SAID}    {YIELD}", ""),
        (
            after(SODA, sugar=90, pieces=1),
            SODA_SAID,
            "  Quay loaf\n    makes 1 loaf of 486 g, weighed before baking (was 2 loaves of 261 g each)\n"
            f"    less dark brown sugar: 90 g, was 120 g\n{BAKED}",
        ),
        (
            after(WHOLE, oven=165, pan="2 loaf pans 14 x 8 cm"),
            "  Quay loaf\n    baking soda: 3.0 g (about ½ tsp plus ⅛ tsp), printed as 9.0 g (2 tsp)\n"
            "    makes 2 loaves of 258 g each, weighed before baking (printed as 2 loaves of 261 g each)\n"
            "    pan: 2 loaf pans 14 × 8 cm, printed as 2 loaf pans 16 × 9 cm\n"
            "    oven: 165 °C (330 °F), printed as 175 °C (345 °F)\n      because the page was that of a larger pan\n",
            "",
        ),
    ],
    ids=["no entry, so a change", "one amount", "an amount, and a change", "the whole page"],
)  # fmt: skip
def test_a_correction_is_what_the_record_says_is_one(
    repository: Path, content: str, corrected: str, changed: str
) -> None:
    put(repository, BEFORE)
    commit(repository, "Print it")
    git(repository, "tag", "2026.1")
    put(repository, content, day="2026-05-01")
    commit(repository, "Print it again")
    log = release(repository, "2026.1..HEAD", "--for", "readers").out
    assert section(log, "Corrections: please mend your copy") == corrected
    assert section(log, "Changed") == changed
    git(repository, "tag", "2026.2")
    assert "Corrections" not in release(repository, "2026.2..HEAD", "--for", "readers").out


def test_an_entry_that_moved_nothing_is_told_to_the_team(repository: Path) -> None:
    put(repository, loaf("quay-loaf"))
    commit(repository, "Print it")
    put(repository, after(SODA), verdict="")
    commit(repository, "Claim a correction")
    log = release(repository, "HEAD~1..HEAD").out
    assert section(log, "Corrections") == (
        "  Quay loaf (quay-loaf)\n    a correction of baking soda is recorded, but what is printed is the same; look at the entry\n"
    )
    assert "Corrections" not in release(repository, "HEAD~1..HEAD", "--for", "readers").out


def test_what_was_not_in_the_book_cannot_be_corrected(repository: Path) -> None:
    put(repository, BEFORE.replace("status: approved", "status: testing"))
    commit(repository, "Try it")
    put(repository, after(SODA), day="2026-05-01")
    commit(repository, "Approve it")
    assert "Corrections" not in release(repository, "HEAD~1..HEAD").out


def test_readers_get_no_word_that_only_the_kitchen_knows(repository: Path) -> None:
    put(repository, BEFORE)
    commit(repository, "Print it")
    inner = "  - {item: baking soda, because: as in quay-loaf before}\n"
    put(repository, after(inner), day="2026-05-01")
    commit(repository, "Correct it")
    for audience, told in (("readers", False), ("editor", True), ("team", True)):
        log = release(repository, "HEAD~1..HEAD", "--for", audience).out
        assert ("because as in quay-loaf before" in log) is told
        assert "baking soda: 3.0 g (about ½ tsp plus ⅛ tsp), printed as 9.0 g (2 tsp)" in log
