"""What is written down of a test bake, line by line: sheets for the bench have these lines, prompts ask for them.

One list for both, so that a sheet is typed in from the top down.
"""

from __future__ import annotations

from typing import NamedTuple

from perflour.documents.schema import schema

VERDICTS = {
    "keep": "this revision stands",
    "change": "try the next change",
    "reject": "go back",
}
#: What stands before the conditions, and behind the readings; the names of these are in the schema.
FIRST = (("date", "day"), ("baker", "baker"), ("batch", "batch factor"))
LAST = (
    ("scores", "scores of a taster, 1 to 9"),
    ("notes", "notes"),
    ("verdict", "verdict"),
    ("try", "the one change to try next"),
    ("because", "because"),
)


class AskedLine(NamedTuple):
    """One line: its number on the sheet, its key in the record and the ``group`` of that, what it is called,
    and how an answer may look."""

    number: int
    group: str
    key: str
    words: str
    like: str = ""


def asked_lines() -> tuple[AskedLine, ...]:
    """All lines in their order."""
    named = [("", key, words, "") for key, words in FIRST]
    named += [row for group in ("conditions", "measured") for row in _of_schema(group)]
    named += [
        ("", key, words, "A: crumb=7, flavour=8" if key == "scores" else "") for key, words in LAST
    ]
    return tuple(AskedLine(number, *row) for number, row in enumerate(named, 1))


def lines_of(group: str) -> tuple[AskedLine, ...]:
    """The lines of one group: ``conditions`` or ``measured``."""
    return tuple(asked for asked in asked_lines() if asked.group == group)


def _of_schema(group: str) -> list[tuple[str, str, str, str]]:
    known = schema("bake")["properties"][group]["properties"]
    return [
        (group, key, str(one["title"]).lower(), str(one["examples"][0]))
        for key, one in known.items()
    ]
