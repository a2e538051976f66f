"""Planned trials where a formula's history or its evidence is told, in words and as plain data."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.history.trials import BakedAs, TrialTold
from perflour.plain import one_line
from perflour.typed import TYPE_CHECKING, Any

if TYPE_CHECKING:  # a review tells of no changelog: docs/performance.md
    from perflour.history.changelog import Changelog


def planned_lines(told: TrialTold) -> Iterator[str]:
    """What a trial of a revision is to find out; what was decided of one that led to no other revision."""
    trial = told.trial
    asked = f": {_in_one(trial.question)}" if trial.question else ""
    factors = ", ".join(factor.name for factor in trial.factors)
    yield f"trial {trial.id} planned of it{asked or f', varying {factors}'}"
    if trial.decided and not trial.led_to:
        yield f"  decided: {_in_one(trial.decided)}"


def came_of_line(told: TrialTold) -> str:
    """The trial that a revision came of, on how many bakes and tasters, and what was decided."""
    return f"came of trial {told.id}: {standing(told)}"


def led_here_line(told: TrialTold) -> str:
    """The same where the revision is what is looked at."""
    return f"trial {told.id} led to this: {standing(told)}"


def standing(told: TrialTold) -> str:
    """How much of a trial is recorded, by how many tasters, and what was decided."""
    decided = f"; decided: {_in_one(told.trial.decided)}" if told.trial.decided else ""
    number = len(told.tasters)
    tasted = f"{number} taster{'s'[: number != 1]}" if number else "nobody's scores"
    return f"{len(told.baked)} of {len(told.trial.bakes)} bakes recorded, {tasted}{decided}"


def baked_as_said(baked: BakedAs) -> str:
    """As which variant a revision was baked."""
    verdicts = ", ".join(f"{bake.verdict} {bake.name} by {bake.baker}" for bake in baked.bakes)
    return f"baked in trial {baked.trial} as {baked.letter}: {verdicts}"


def loose_trial_lines(changelog: Changelog) -> Iterator[str]:
    """Trials of revisions that are not in the history, and those that led to one."""
    planned = {told.id for iteration in changelog.iterations for told in iteration.planned}
    led = {told.id for iteration in changelog.iterations for told in iteration.came_of}
    for told in changelog.trials:
        if told.id not in planned:
            yield f"trial {told.id} is of revision {told.trial.of}, {_NOT_THERE}"
        if told.trial.led_to and told.id not in led:
            yield f"trial {told.id} led to revision {told.trial.led_to}, {_NOT_THERE}"


_NOT_THERE = (
    "which is not in this history: not committed yet, or lost where commits were squashed or rebased; "
    "keep the record as it is"
)


def trial_data(told: TrialTold) -> dict[str, Any]:
    """One trial as plain data."""
    trial = told.trial
    return {
        "trial": trial.id,
        "date": trial.date,
        "question": trial.question or None,
        "of": trial.of,
        "bakes": len(trial.bakes),
        "bakes_recorded": list(told.baked),
        "tasters": len(told.tasters),
        "decided": trial.decided or None,
        "led_to": trial.led_to or None,
    }


def baked_as_data(baked: BakedAs) -> dict[str, Any]:
    """Which variant was exactly a revision, and its test bakes, as plain data."""
    return {
        "trial": baked.trial,
        "variant": baked.letter,
        "bakes": [{"bake": b.name, "date": b.date, "baker": b.baker, "verdict": b.verdict} for b in baked.bakes],
    }  # fmt: skip


def _in_one(text: str) -> str:
    return " ".join(one_line(text).split())
