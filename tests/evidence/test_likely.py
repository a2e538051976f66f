"""Published relations: each has a source and limits, speaks of a figure there is, and of the classes it was seen on."""

from __future__ import annotations

import re

import pytest

from perflour.balance.ratios import RATIOS
from perflour.evidence.figures import HELD
from perflour.evidence.likely import likely, published


def test_none_without_source_and_limits() -> None:
    for one in published():
        assert re.search(r"\(\d{4}\)|\b\d{4}\b", one.source), one
        assert len(one.limits) > 30, one
        assert one.figure in (*RATIOS, *HELD, "soda-left")


@pytest.mark.parametrize(
    ("moved", "classes", "told"),
    [
        (["sugar"], ["drop-cookie"], ["a wider and flatter cookie"]),
        (["sugar"], ["lean-bread"], []),
        (["sugar"], ["drop-cookie", "lean-bread"], []),
        (["egg"], ["drop-cookie"], []),
    ],
)
def test_only_of_what_moved_and_what_it_was_seen_on(
    moved: list[str], classes: list[str], told: list[str]
) -> None:
    assert [one.more for one in likely(moved, classes)] == told
