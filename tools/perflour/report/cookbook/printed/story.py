"""The story of a formula for readers, from its changelog: what was tried, why, and what was found."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from perflour.cookbook.page import Story, Turn
from perflour.plain import one_line
from perflour.records.bake import Bake
from perflour.result import CannotRun

if TYPE_CHECKING:
    from perflour.history.changelog import Changelog

_SENTENCE = re.compile(r"(.+?[.!?…])(?:\s|$)")


def stories(paths: Sequence[str]) -> dict[str, Story]:
    """The stories of the formulas of files, by path; none outside a repository."""
    from perflour.history.changelog import changelogs  # most books tell none

    try:
        found = changelogs(paths)
    except CannotRun:
        return {}
    told = {os.path.realpath(changelog.path): story_of(changelog) for changelog in found}
    return {path: story for path in paths if (story := told.get(os.path.realpath(path)))}


def story_of(changelog: Changelog) -> Story | None:
    """What led to the newest version; None where it is the first one."""
    before = changelog.iterations[:-1]
    turns = tuple(turn for one in before for turn in _turns(one.number, one.bakes))
    return Story(len(before), sum(len(one.bakes) for one in before), turns) if turns else None


def _turns(version: int, bakes: Sequence[Bake]) -> Iterator[Turn]:
    for bake in bakes:
        notes = one_line(" ".join(bake.notes.split()))
        if bake.verdict in ("keep", "reject") and notes:
            found = _SENTENCE.match(notes)
            yield Turn(version, found[1] if found else notes)
        elif bake.next_try:
            yield Turn(version, one_line(bake.next_try), one_line(bake.next_because))
