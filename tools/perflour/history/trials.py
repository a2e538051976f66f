"""Planned trials as evidence of the formula that they are of: which bakes of them are recorded, and who tasted."""

import os
import re
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress

from perflour.formula.digests import marks
from perflour.formula.file import read_or_tell
from perflour.formula.formula import Formula
from perflour.kitchen.house import kitchen_for, read_valid
from perflour.records.bake import Bake, bakes_in
from perflour.records.tasting import session_files, session_from
from perflour.records.trial import Trial, TrialBake, trial_files, trial_from
from perflour.records.trial_check import trial_faults
from perflour.result import Result
from perflour.system.files import read_or_refused
from perflour.system.opening import is_file, is_folder, names_in, read
from perflour.system.paths import BAKES, FORMULA_FILE
from perflour.tuples import NamedTuple

# re compiles a pattern when it is first used: docs/performance.md
_SAYS_OF_WHAT = rb"(?m)^formula:[ \t]*\S"


class TrialFiles(NamedTuple):
    """The record of a trial, and all files that say what became of it, with their content.

    ``beside`` are its variants with their test bakes, and ``sessions`` the tastings that name a variant.
    """

    path: str
    content: bytes
    beside: tuple[tuple[str, bytes], ...] = ()
    sessions: tuple[str, ...] = ()

    def speaks_of(self, names: Iterable[str]) -> bool:
        """Whether it may be of a formula of one of these names; one that says of none may be of any."""
        said = rb"|".join(re.escape(name.encode()) for name in names)
        is_named = re.search(rb"(?<![A-Za-z0-9-])(?:%s)(?![A-Za-z0-9-])" % said, self.content)
        return bool(is_named) or not re.search(_SAYS_OF_WHAT, self.content)


class Variant(NamedTuple):
    """A bake of a trial: its letter, and the records that say that exactly what was planned was baked.

    ``called`` are the digests of the variant's file, none where it is gone or is not what was planned any more.
    """

    letter: str
    bakes: tuple[Bake, ...]
    called: tuple[str, ...]


class BakedAs(NamedTuple):
    """Test bakes of a variant that is exactly a revision of the formula."""

    trial: str
    letter: str
    bakes: tuple[Bake, ...]


class TrialTold(NamedTuple):
    """A trial with what is recorded of it: its variants, and the names of all who scored one of them."""

    trial: Trial
    path: str
    variants: tuple[Variant, ...]
    tasters: tuple[str, ...]

    @property
    def id(self) -> str:
        return self.trial.id

    @property
    def baked(self) -> tuple[str, ...]:
        """The letters of the bakes that are recorded."""
        return tuple(variant.letter for variant in self.variants if variant.bakes)

    def baked_as(self, called: Iterable[str]) -> Iterator[BakedAs]:
        """The variants that are exactly a revision, by all that it is called, and were baked."""
        for variant in self.variants:
            if variant.bakes and not set(called).isdisjoint(variant.called):
                yield BakedAs(self.id, variant.letter, variant.bakes)


def trials_beside(folder: str, tasted: Sequence[tuple[str, bytes]] | None = None) -> list[TrialFiles]:  # fmt: skip
    """The trials beside the formulas of a folder; where there are none no other file is opened.

    ``tasted`` are the folder's tastings, where they have been read already.
    """
    paths = trial_files(folder)
    if paths and tasted is None:
        tasted = session_files(folder)
    return [_files_of(path, tasted or ()) for path in paths]


def _files_of(path: str, tasted: Sequence[tuple[str, bytes]]) -> TrialFiles:
    folder = os.path.dirname(path)
    variants = sorted(name for name in _names(folder) if is_folder(os.path.join(folder, name)))
    beside: list[tuple[str, bytes]] = []
    for name in variants:
        bakes = os.path.join(folder, name, BAKES)
        inner = [os.path.join(folder, name, FORMULA_FILE)]
        inner += [os.path.join(bakes, file) for file in sorted(_names(bakes))]
        beside += [(one, _content(one)) for one in inner]
    sessions = [(one, content) for one, content in tasted if any(v.encode() in content for v in variants)]  # fmt: skip
    return TrialFiles(
        path, _content(path), (*beside, *sessions), tuple(session for session, _ in sessions)
    )


def _names(folder: str) -> list[str]:
    try:
        return list(names_in(folder))
    except OSError:
        return []


def _content(path: str) -> bytes:
    """What a file holds, nothing where it cannot be read: who reads it as a record says why."""
    with suppress(OSError, ValueError):
        return read(path)
    return b""


def read_trials(
    found: Iterable[TrialFiles], names: Sequence[str]
) -> tuple[tuple[TrialTold, ...], tuple[Result, ...]]:
    """The trials of a formula of one of these names, by id, and what is wrong with records of trials that may be of it."""
    told: list[TrialTold] = []
    problems: list[Result] = []
    for files in found:
        if not files.speaks_of(names):
            continue
        trial, results = _read(files.path)
        problems += results
        if trial and trial.formula in names:
            one, wrong = _told(trial, files)
            told.append(one)
            problems += wrong
    return tuple(told), tuple(problems)


def trials_in(folder: str) -> tuple[TrialTold, ...]:
    """All trials beside the formulas of a folder that can be read."""
    read_ones = ((_read(files.path)[0], files) for files in trials_beside(folder))
    return tuple(_told(trial, files)[0] for trial, files in read_ones if trial)


def _read(path: str) -> tuple[Trial | None, tuple[Result, ...]]:
    """The trial of a record, None where it cannot be read or contradicts itself."""
    document, results = read_valid(path, "trial")
    results = results or tuple(trial_faults(document) if document else ())
    return (None if results or document is None else trial_from(document.data)), results


def _told(trial: Trial, files: TrialFiles) -> tuple[TrialTold, list[Result]]:
    folder = os.path.dirname(files.path)
    variants: list[Variant] = []
    problems: list[Result] = []
    for bake in trial.bakes:
        variant, wrong = variant_of(folder, bake)
        variants.append(variant)
        problems += wrong
    tasters = [one.taster for v in variants for b in v.bakes for one in b.by_taster]
    planned = {(bake.formula, bake.of) for bake in trial.bakes}
    for path in files.sessions:
        document, _ = read_valid(path, "session")  # what is wrong with it is lint's to say
        session = session_from(document.data, path) if document else None
        if session and session.is_tasted and planned & {(s.formula, s.of) for s in session.samples}:
            tasters += [served.taster for served in session.present]
    names = tuple(dict.fromkeys(tasters))
    return TrialTold(trial, files.path, tuple(variants), names), problems


def variant_of(folder: str, bake: TrialBake) -> tuple[Variant, tuple[Result, ...]]:
    """What is recorded of a bake of the trial in a folder, and what is wrong with these records."""
    beside = os.path.join(folder, bake.formula)
    recorded, problems = bakes_in(beside)
    called = _called(os.path.join(beside, FORMULA_FILE), bake.of) if recorded else ()
    exact = tuple(one for one in recorded if one.of in (bake.of, *called))
    return Variant(bake.letter, exact, called), problems


def _called(file: str, planned: str) -> tuple[str, ...]:
    """All that a variant is called where it is what was planned."""
    source = read_or_refused(file) if is_file(file) else None
    if source is None or source.refused:
        return ()
    formula = read_or_tell(source.content, file, kitchen_for(file).catalogue.said.customs)
    both = marks(formula) if isinstance(formula, Formula) else ()
    return both if planned in both else ()
