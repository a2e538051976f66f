"""Letters and blind codes for the bakes of a trial, and which of them are tasted side by side.

The bakes of one day are tasted together, so that nothing is told old from fresh. Codes are those that a tasting
session of just these bakes draws from the seed that is kept, so that labels written for the trial are right there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import ceil
from string import ascii_lowercase

from perflour.designs.design import Design
from perflour.records.serving import blind_codes
from perflour.records.trial import Tasting
from perflour.result import CannotRun
from perflour.trials.session_request import MOST_SAMPLES, MOST_SEED

#: Seeds tried until the codes of a tasting are none that another one has.
MOST_TRIED = 10_000


@dataclass(frozen=True)
class Coded:
    """The bakes by letter in the order of the work, and their codes; ``tastings`` are those of two or more."""

    letters: tuple[str, ...]
    by_letter: Mapping[str, str]
    tastings: tuple[Tasting, ...]


def coded(design: Design, seed: int) -> Coded:
    """Letters and codes for a trial. Raises CannotRun for more bakes than there are codes."""
    letters = tuple(letter_of(at) for at in range(len(design.runs)))
    found: dict[str, str] = {}
    tastings: list[Tasting] = []
    for day in sorted({run.day for run in design.runs}):
        todays = [one for run, one in zip(design.runs, letters, strict=True) if run.day == day]
        for together in _flights(todays):
            drawn = _free_seed(len(together), seed + len(tastings), set(found.values()))
            found |= dict(zip(together, blind_codes(len(together), drawn), strict=True))
            if len(together) > 1:
                tastings.append(Tasting(tuple(together), drawn))
    return Coded(letters, found, tuple(tastings))


def _flights(letters: list[str]) -> list[list[str]]:
    """The bakes of a day in tastings of at most as many samples as one takes, all about as large."""
    size = ceil(len(letters) / ceil(len(letters) / MOST_SAMPLES))
    return [letters[at : at + size] for at in range(0, len(letters), size)]


def _free_seed(count: int, first: int, taken: set[str]) -> int:
    """The first seed from one on whose codes nobody has."""
    for turn in range(MOST_TRIED):
        seed = (first + turn) % (MOST_SEED + 1)
        if taken.isdisjoint(blind_codes(count, seed)):
            return seed
    raise CannotRun("there are not so many blind codes; plan fewer bakes")


def letter_of(number: int) -> str:
    """The short name of a bake, counted from 0: a to z, then aa, ab and so on."""
    more, last = divmod(number, len(ascii_lowercase))
    return (ascii_lowercase[more - 1] if more else "") + ascii_lowercase[last]
