"""The record of a planned trial with its variants: read, and held against the files beside it."""

from __future__ import annotations

import os
from collections.abc import Iterator
from typing import NamedTuple

from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.formula.digests import marks
from perflour.formula.file import read_or_tell
from perflour.formula.formula import Formula
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.house import kitchen_for
from perflour.records.trial import Trial, trial_from
from perflour.records.trial_check import trial_faults
from perflour.result import FileProblem, Result
from perflour.system.files import read_bytes, read_or_refused
from perflour.system.opening import STANDARD_INPUT, lies_there
from perflour.system.paths import FORMULA_FILE, display_path


class TrialFile(NamedTuple):
    """A trial as it is recorded, None where it cannot be read; ``results`` say what is wrong."""

    trial: Trial | None
    results: tuple[Result, ...] = ()


def read_trial(path: str) -> TrialFile:
    """The trial in a file. Raises CannotRun where it cannot be opened."""
    return trial_in(read_bytes(path), display_path(path), kitchen_for(path).catalogue)


def trial_in(content: bytes, path: str, catalogue: Catalogue) -> TrialFile:
    """The trial in a file's bytes; its variants are looked for beside ``path``."""
    try:
        document = read_document(content, path)
    except FileProblem as problem:
        return TrialFile(None, (problem.result(),))
    if results := check_schema(document, "trial") or tuple(trial_faults(document)):
        return TrialFile(None, results)
    trial = trial_from(document.data)
    return TrialFile(trial, tuple(_about_files(trial, document, catalogue)))


def _about_files(trial: Trial, document: Document, catalogue: Catalogue) -> Iterator[Result]:
    if document.path == STANDARD_INPUT:
        return
    folder = os.path.dirname(os.path.abspath(document.path))
    if os.path.basename(folder) != trial.id:
        said = f"the trial is '{trial.id}' but the folder is '{os.path.basename(folder)}'; rename one of them"  # fmt: skip
        yield Result("trial-inconsistent", "error", said, document.place("trial"))
    for at, bake in enumerate(trial.bakes):
        path = os.path.join(folder, bake.formula, FORMULA_FILE)
        if not lies_there(path):
            said = f"there is no {bake.formula}/{FORMULA_FILE} beside this record; put it back from git"  # fmt: skip
            yield Result("variant-missing", "error", said, document.place("bakes", at, "formula"))
            continue
        source = read_or_refused(path)
        formula = () if source.refused else read_or_tell(source.content, path, catalogue.said.customs)  # fmt: skip
        if isinstance(formula, Formula) and bake.of not in (called := marks(formula)):
            said = f"{bake.formula} is another revision now, {called[0]}; put the file back, or write that if it is what was baked"  # fmt: skip
            yield Result("variant-changed", "error", said, document.place("bakes", at, "of"))
