"""What happened to a formula beside its changes, in words: approvals, names, tastings, and the story of a long history."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator

from perflour.history.kept import is_scaled_from, keeps, kept_numbers
from perflour.kitchen.quantity import Amount, AmountProblem, parse_amount
from perflour.kitchen.weighing import Mass, weigh
from perflour.plain import one_line
from perflour.records.bake import Bake, Photo
from perflour.records.tasting import Session
from perflour.system.paths import BAKES
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:  # a review tells of no changelog: docs/performance.md
    from perflour.history.changelog import Changelog
    from perflour.history.iterations import Iteration

#: A history of more iterations is told in short first.
LONG = 5
_MASSES = ("mass-before", "mass-after")
# re compiles a pattern when it is first used: docs/performance.md
_SENTENCE = r"(.{3,}?[.!?])(?:\s|$)"


def measured_lines(bake: Bake) -> Iterator[str]:
    """Heights, masses and temperatures of a bake in one line, with what it lost in the oven."""
    said = [
        f"{name.replace('-', ' ')} {text}" for name, text in bake.measured if name not in _MASSES
    ]
    masses = dict(bake.measured)
    grams = [_grams(masses.get(name, "")) for name in _MASSES]
    if grams[0] and grams[1] is not None and grams[1] <= grams[0]:
        said.append(f"lost {(grams[0] - grams[1]) / grams[0] * 100:.1f} % of its mass in the oven")
    else:
        said += [f"{name.replace('-', ' ')} {masses[name]}" for name in _MASSES if name in masses]
    if said:
        yield f"  measured: {one_line(', '.join(said))}"
    for photo in bake.photos:
        caption = f": {photo.caption}" if photo.caption else ""
        yield f"  photo {photo_path(photo)}{one_line(caption)}"


def photo_path(photo: Photo) -> str:
    """A photo of a test bake as seen from the folder of its formula, where CHANGELOG.md stands."""
    return one_line(posixpath.normpath(posixpath.join(BAKES, photo.file)))


def _grams(text: str) -> float | None:
    """A mass as it was written down; None for what is none."""
    try:
        amount = parse_amount(text)
    except AmountProblem:
        return None
    mass = weigh(amount, None, "") if isinstance(amount, Amount) else None
    return mass.grams if isinstance(mass, Mass) else None


def tasting_lines(changelog: Changelog) -> dict[int, list[str]]:
    """By number the tastings that had an iteration; what one decided stands at the newest that it had."""
    told: dict[int, list[str]] = {}
    for session in changelog.sessions:
        tasted = {sample.of for sample in session.samples if sample.formula == changelog.id}
        *earlier, newest = [i.number for i in changelog.iterations if i.digest in tasted] or [0]
        for number in earlier:
            told.setdefault(number, []).append(f"tasting {session.name}, with iteration {newest}")
        lines = told.setdefault(newest, [])
        lines.append(_tasting(session))
        if session.decided:
            lines.append(f"  decided: {' '.join(one_line(session.decided).split())}")
    return told


def _tasting(session: Session) -> str:
    samples, tasters = len(session.samples), len(session.present)
    asked = f": {' '.join(one_line(session.question).split())}" if session.question else ""
    return f"tasting {session.name}, {session.ask} of {samples} samples by {tasters} tasters{asked}"


def event_lines(changelog: Changelog, iteration: Iteration) -> Iterator[str]:
    """Changes of status, title and folder while this iteration was there."""
    for event in changelog.events:
        if event.iteration == iteration.number:
            who = "not committed yet"
            if event.commit:
                who = f"{event.commit.date} by {event.commit.author}"
            if event.kind == "status" and event.after == "approved":
                on = _approved_on(changelog, iteration, event.commit.date if event.commit else "")
                yield f"approved, was {event.before}: {who}, {on}"
            else:
                yield f"{event.kind} {event.before} -> {event.after}: {who}"


def _approved_on(changelog: Changelog, iteration: Iteration, day: str) -> str:
    """What an approval stood on that day; what was baked since is told as that."""
    if known := keeps(iteration, day):
        return f"on test bake {', '.join(known)}"
    if scaled := is_scaled_from(iteration, kept_numbers(changelog, day)):
        return f"on iteration {scaled}, which was kept"
    since = keeps(iteration)
    later = f"; kept since then by {', '.join(since)}" if since else ""
    return f"on no test bake that keeps it{later}"


def story_lines(changelog: Changelog) -> list[str]:
    """A long history in short: from when to when, and the bakes that decided something."""
    if len(changelog.iterations) <= LONG:
        return []
    first, last = changelog.iterations[0], changelog.iterations[-1]
    days = [i.commit.date for i in (first, last) if i.commit]
    told = [f"{len(changelog.iterations)} iterations, {' to '.join(dict.fromkeys(days))}"]
    for iteration in changelog.iterations:
        told += [f"iteration {iteration.number} came of trial {one.id}: {one.trial.decided or 'what was decided is not said'}" for one in iteration.came_of]  # fmt: skip
        for bake in iteration.bakes:
            if bake.verdict == "keep" or bake.verdict == "reject":
                told.append(
                    f"iteration {iteration.number}, {_VERDICTS[bake.verdict]}: {_learnt(bake)}"
                )
            elif bake.next_try:
                told.append(f"after iteration {iteration.number}: {bake.next_try}, because {bake.next_because}")  # fmt: skip
    return [one_line(line) for line in told]


_VERDICTS = {"keep": "kept", "reject": "rejected"}


def _learnt(bake: Bake) -> str:
    """The first sentence of what was noted; what to try next where nothing was."""
    notes = " ".join(bake.notes.split())
    found = re.match(_SENTENCE, notes)
    return found[1] if found else notes or bake.next_because or "nothing noted"
