"""The trials of a kitchen: which of their bakes are done, and which are to come."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass

from perflour.designs.trial_file import read_trial
from perflour.history.trials import variant_of
from perflour.records.trial import Trial, TrialBake
from perflour.result import CannotRun, Result
from perflour.system.file_kinds import kind_of
from perflour.system.files import STDIN, named_paths
from perflour.system.paths import display_path


@dataclass(frozen=True)
class ListedTrial:
    """One trial with its bakes that have a record, and those that have none; ``path`` is that of its record."""

    path: str
    trial: Trial
    done: tuple[TrialBake, ...]
    to_come: tuple[TrialBake, ...]


@dataclass(frozen=True)
class Trials:
    """Those that could be read, by date and id, and what is wrong with files."""

    trials: tuple[ListedTrial, ...]
    problems: tuple[Result, ...]


def list_trials(names: Sequence[str]) -> Trials:
    """The trials under the named files and folders. Raises CannotRun for a name that is not there."""
    if STDIN in names:
        raise CannotRun("a trial belongs to its folder; name files or folders, not -")
    found: list[ListedTrial] = []
    problems: list[Result] = []
    for path in named_paths(names):
        if kind_of(path) != "trial":
            continue
        read = read_trial(path)
        problems += read.results
        if read.trial:
            found.append(_listed(path, read.trial))
    found.sort(key=lambda one: (one.trial.date, one.trial.id))
    return Trials(tuple(found), tuple(problems))


def _listed(path: str, trial: Trial) -> ListedTrial:
    done: list[TrialBake] = []
    to_come: list[TrialBake] = []
    for bake in trial.bakes:
        variant, _ = variant_of(os.path.dirname(path), bake)  # what is wrong is lint's to say
        (done if variant.bakes else to_come).append(bake)
    return ListedTrial(display_path(path), trial, tuple(done), tuple(to_come))
