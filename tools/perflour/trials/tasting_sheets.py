"""What is printed for a session: one sheet a taster, the server's list, and what must be said first."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from perflour.balance.allergens import Allergens, Brought, allergens
from perflour.documents.reader import Document
from perflour.history.revisions import Revision, formula_of, revision_by_digest
from perflour.kitchen.cautions import AllergenName, Caution, texts
from perflour.kitchen.house import read_valid
from perflour.records.serving import rows_of
from perflour.records.session_check import session_faults
from perflour.records.tasting import Sample, Session, session_from
from perflour.result import CannotRun
from perflour.system.paths import display_path


@dataclass(frozen=True)
class Warned:
    """What all samples of a session together hold, and the cautions that go with it.

    ``us`` and ``eu`` are allergens in print; ``declared`` are words the formulas declare besides;
    ``not_known`` are ingredients whose allergens are not known. ``cautions`` are for the server, who is told them
    once; ``in_short`` are what stands on the sheet of every taster.
    """

    us: tuple[str, ...]
    eu: tuple[str, ...]
    declared: tuple[str, ...]
    not_known: tuple[str, ...]
    cautions: tuple[Caution, ...]
    in_short: tuple[Caution, ...]


@dataclass(frozen=True)
class SampleNamed:
    """A sample with the title of its formula, for the server alone."""

    sample: Sample
    title: str


@dataclass(frozen=True)
class TastingSheets:
    """All that is printed. ``rows`` tasters, or a multiple, make the order balanced."""

    session: Session
    samples: tuple[SampleNamed, ...]
    warned: Warned
    rows: int

    @property
    def is_balanced(self) -> bool:
        return len(self.session.order) % self.rows == 0


def read_session(name: str) -> Session:
    """The session in a file. Raises CannotRun where it is not valid or contradicts itself."""
    return read_session_document(name)[0]


def read_session_document(name: str) -> tuple[Session, Document]:
    """The same with its document."""
    path = Path(name).absolute()
    if not os.path.isfile(path):
        raise CannotRun(f"{name}: no such file; name the record of a session")
    document, results = read_valid(str(path), "session")
    if document is None:
        raise CannotRun(f"{results[0].place}: {results[0].message}")
    session = session_from(document.data, str(path))
    if faults := session_faults(session, document):
        raise CannotRun(f"{faults[0].place}: {faults[0].message}")
    return session, document


def tasting_sheets(name: str) -> TastingSheets:
    """The sheets of the session in a file.

    Raises CannotRun, also where the formula of a sample is not to be found: without it nobody knows
    its allergens, and no sheet may be printed without them.
    """
    session = read_session(name)
    folder = Path(name).absolute().parent.parent
    revisions = [_revision(folder, sample) for sample in session.samples]
    named = (
        SampleNamed(sample, revision.weighed.formula.title)
        for sample, revision in zip(session.samples, revisions, strict=True)
    )
    rows = len(rows_of(session.ask, len(session.samples)))
    return TastingSheets(session, tuple(named), warned(revisions), rows)


def _revision(folder: Path, sample: Sample) -> Revision:
    path = formula_of(folder, sample.formula)
    if path is None:
        raise CannotRun(
            f"there is no formula {sample.formula} in {display_path(str(folder))}, so its allergens "
            "are not known; put it back before anyone tastes"
        )
    revision = revision_by_digest(path, sample.of)
    if revision is None:
        raise CannotRun(
            f"no revision of {sample.formula} in the history is {sample.of}, so its allergens are "
            "not known; commit what was baked, or mend the digest"
        )
    return revision


def warned(revisions: list[Revision]) -> Warned:
    """The allergens of all revisions together, in the order of the laws' lists, and the cautions."""
    found = [allergens(revision.weighed) for revision in revisions]
    known = texts()
    us = _together(known.us, [each.us for each in found])
    eu = _together(known.eu, [each.eu for each in found])
    listed = {name.lower() for name in (*us, *eu)}
    said = (word for revision in revisions for word in revision.weighed.formula.allergens)
    return Warned(
        us=us,
        eu=eu,
        declared=tuple(dict.fromkeys(word for word in said if word.lower() not in listed)),
        not_known=tuple(dict.fromkeys(name for each in found for name in each.not_known)),
        in_short=known.that_hold(frozenset(("tasting-sheet",))),
        cautions=(*known.that_hold(frozenset(("tasting",))), *_cautions(found)),
    )


def _together(names: tuple[AllergenName, ...], found: list[tuple[Brought, ...]]) -> tuple[str, ...]:
    held = dict.fromkeys(brought.allergen for each in found for brought in each)
    in_print = [name.name for name in names if name.name in held]
    return (*in_print, *(name for name in held if name not in in_print))


def _cautions(found: list[Allergens]) -> tuple[Caution, ...]:
    return tuple(dict.fromkeys(caution for each in found for caution in each.cautions))
