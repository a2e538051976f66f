"""What changed since the last test bake of a formula: of one thing a score can speak, of several it cannot say of which."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from perflour.balance.balance import Balance
from perflour.diff.difference import difference_between
from perflour.evidence.thing import Thing
from perflour.evidence.things import things
from perflour.history.revisions import Revision, kitchen_folder, revision_by_digest
from perflour.kitchen.house import kitchen_for
from perflour.records.bake import Bake, bakes_in
from perflour.records.trial import trial_files
from perflour.result import CannotRun
from perflour.system.opening import read

#: A trial varies so many things at most.
MOST_VARIED = 5
#: Share of an amount that rounding to the scale may move: house choice.
ROUNDING = 0.01
#: Settings of a step that a trial can vary, by their units.
VARIED_UNITS = ("min", "°C")


@dataclass(frozen=True)
class Since:
    """The things that changed since a test bake; more than one."""

    bake: Bake
    formula: str
    path: Path
    things: tuple[Thing, ...]

    @property
    def trial(self) -> tuple[tuple[str, ...], int] | None:
        """What a trial that parts them would vary, in its words, and its fewest bakes; None where one cannot be varied."""
        words = [_varied(thing) for thing in self.things]
        said = tuple(word for word in words if word)
        if len(said) < len(words) or not 2 <= len(said) <= MOST_VARIED:
            return None
        return said, 4 if len(said) < 3 else 8


def since_last_bake(revision: Revision) -> Since | None:
    """What changed since the last test bake of another revision, where that is more than one thing.

    None too where there is no such bake, or its revision is nowhere in the history.
    """
    bakes = bakes_in(str(revision.path.parent))[0]
    earlier = [bake for bake in bakes if bake.of != revision.digest]
    if not earlier:
        return None
    last = max(earlier, key=lambda bake: (bake.date, bake.name))
    try:
        found = revision_by_digest(revision.path, last.of)
    except CannotRun:
        return None  # outside a repository only the file itself is known
    if found is None:
        return None
    changed = changed_things(found.weighed, revision)
    if len(changed) < 2 or _came_of_a_trial(revision):
        return None
    return Since(last, revision.weighed.formula.id, revision.path, tuple(changed))


def changed_things(before: Balance, revision: Revision) -> Sequence[Thing]:
    """The things that a revision changed, but for what the scale rounds."""
    house = kitchen_for(str(revision.path)).house
    found = things(difference_between(before, revision.weighed, house=house))
    return [thing for thing in found if not _is_rounding(thing)]


def _is_rounding(thing: Thing) -> bool:
    before, after = thing.before, thing.after
    if thing.sort != "amount" or before is None or after is None:
        return False
    return abs(before - after) <= ROUNDING * max(before, after)


def _came_of_a_trial(revision: Revision) -> bool:
    """Whether a planned trial led to a revision: then its bakes have parted what changed."""
    mark = revision.digest.encode()
    for path in trial_files(str(kitchen_folder(revision.path))):
        with suppress(OSError, ValueError):  # lint tells what cannot be read
            if mark in read(path).rpartition(b"led-to:")[2]:
                return True
    return False


def _varied(thing: Thing) -> str:
    """A thing as the factor of a trial, its ends those of both sides; empty where a trial cannot vary it."""
    if thing.before is None or thing.after is None or thing.before == thing.after:
        return ""
    low, high = sorted((thing.before, thing.after))
    if thing.sort == "amount" and thing.unit == "%":
        return f"{thing.subject}={low:.3g}..{high:.3g}"
    if thing.sort == "setting" and thing.unit in VARIED_UNITS:
        field = "at" if thing.field == "oven" else thing.field
        return f"{thing.subject} {field}={low:g} {thing.unit}..{high:g} {thing.unit}"
    return ""
