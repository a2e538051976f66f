"""Two commits to a release log: which formulas are new, changed, approved or retired, on what evidence.

A release holds the approved formulas. What blocks one is what lint says of it as an approved formula,
at the level of a warning or an error, and a test bake that rejects the very revision. Everything is
read as the commit holds it: formulas, house files, test bakes.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal

from perflour.cookbook.page import Page
from perflour.cookbook.proofreading import Proofreader
from perflour.diff.difference import Difference, difference_between
from perflour.formula.formula import REFERENCE
from perflour.history.lineage import Lineage, in_order, lineages
from perflour.history.store import HistoryStore
from perflour.release.at_a_commit import NO_END, Evidence, Side, end_at
from perflour.release.for_readers import (
    Breaking,
    IngredientMove,
    breaking_changes,
    ingredient_moves,
)
from perflour.release.printed import Corrected, corrections_between
from perflour.release.statuses import RELEASED
from perflour.result import CannotRun, request_field
from perflour.system import git
from perflour.system.blobs import Blobs
from perflour.system.destination import write_report
from perflour.system.opening import make_folder
from perflour.system.paths import display_path, under

Turn = Literal["new", "changed", "unchanged", "retired", "withdrawn", "waiting"]
#: What leaves the book for good: a formula that becomes a reference is not the house's own any more.
OUT = ("retired", REFERENCE)


@dataclass(frozen=True)
class Released:
    """One formula at the end of a release, or one that went.

    ``turn`` is what happens to it for readers: ``new`` to them when it is approved now and was not
    before, ``changed`` or ``unchanged`` when it was and is approved, ``retired`` and ``withdrawn`` (not
    approved any more) when it was, ``waiting`` else. ``was_there`` is False for a formula that the
    start does not hold at all. ``breaking``, ``moves`` and ``corrections`` are against the start. ``page`` is what
    the book prints of it, ``page_before`` what it printed; None where it does not hold it, or did not.
    """

    path: str
    id: str
    title: str
    status: str
    status_before: str
    turn: Turn
    was_there: bool
    evidence: Evidence | None
    difference: Difference | None = None
    breaking: tuple[Breaking, ...] = ()
    moves: tuple[IngredientMove, ...] = ()
    title_before: str = ""
    page_before: Page | None = None
    page: Page | None = None
    corrections: tuple[Corrected, ...] = ()

    @property
    def is_released(self) -> bool:
        return self.status == RELEASED

    @property
    def was_released(self) -> bool:
        return self.status_before == RELEASED

    @property
    def is_retitled(self) -> bool:
        """Whether readers of the book know it by another title."""
        return bool(self.page and self.page_before and self.page.title != self.page_before.title)

    @property
    def corrected(self) -> tuple[Corrected, ...]:
        """The corrections that did something to the page."""
        return tuple(c for c in self.corrections if not c.is_empty)


@dataclass(frozen=True)
class Release:
    """The log between two commits; ``start`` is empty where everything before it counts as nothing."""

    start: str
    end: str
    day: str
    formulas: tuple[Released, ...]

    @property
    def blocked(self) -> tuple[Released, ...]:
        """The approved formulas that may not go out as they are."""
        return tuple(f for f in self.formulas if f.is_released and is_blocked(f))


def is_of_others(formula: Released) -> bool:
    """Whether it is a reference at both ends, or at the one that holds it: no release tells of it."""
    return {formula.status, formula.status_before} - {""} == {REFERENCE}


def is_blocked(formula: Released) -> bool:
    return formula.evidence is not None and formula.evidence.is_blocked


def release(span: str, paths: Sequence[str]) -> Release:
    """The log of ``FROM..TO``, of ``FROM..`` up to HEAD, or of all up to ``TO``, for formulas under paths.

    Raises CannotRun for a revision that is not there, and where no path lies in the repository.
    """
    start, dots, end = span.partition("..")
    return release_between(
        start if dots else "", (end.lstrip(".") or "HEAD") if dots else span, paths
    )


def release_between(start: str, end: str, paths: Sequence[str]) -> Release:
    """The log between two revisions; ``start`` empty for the first release. Raises CannotRun."""
    repository = git.find_repository(Path(paths[0]))
    limits = [repository.relative(path) for path in paths]
    last = git.commit_named(repository, end)
    first = git.commit_named(repository, start) if start else ""
    blobs = Blobs(repository)
    start_end = end_at(blobs, first, ["."], is_start=True) if first else NO_END
    last_end = end_at(blobs, last, limits)
    before, after = start_end.sides, last_end.sides
    if not after:
        raise CannotRun(f"no formula in {', '.join(paths)} at {end}; name a folder that holds some")
    came_from = _paths_before(repository, first, last) if first else {}
    formulas = []
    for path, side in after.items():
        old_path = came_from.get(path, path)
        formulas.append(_released(before.get(old_path), side, last_end.proof))
    left = set(before) - {came_from.get(path, path) for path in after}
    gone = (before[path] for path in sorted(left) if under(path, limits))
    formulas += [_gone(side) for side in gone]
    own = tuple(f for f in formulas if not is_of_others(f))
    return Release(start, end, git.day_of(repository, last), own)


def _paths_before(repository: git.Repository, first: str, last: str) -> dict[str, str]:
    """By path at the end, the path at the start: lineages that begin with the same commit and path."""
    commits = HistoryStore(repository).commits(last)
    here = lineages(in_order(commits, last))
    if first not in commits:  # another line of development
        commits = HistoryStore(repository, remember=False).commits(first)
    there = {_root(line): path for path, line in lineages(in_order(commits, first)).items()}
    return {path: there[_root(line)] for path, line in here.items() if _root(line) in there}


def _root(lineage: Lineage) -> tuple[str, str]:
    revision = lineage.snapshots[0]
    return revision.commit.sha, revision.path


def _released(before: Side | None, after: Side, proof: Proofreader) -> Released:
    old, new = before.balance if before else None, after.balance
    status_before = before.status if before else ""
    name = new.formula.id if new else Path(after.path).parent.name
    told = Released(
        path=after.path,
        id=name,
        title=new.formula.title if new else name,
        status=after.status,
        status_before=status_before,
        turn=_turn(before, after),
        was_there=before is not None,
        evidence=after.evidence,
        page=after.page,
    )
    if before is None or old is None or new is None:
        return told
    pages = (before.page, after.page) if before.page and after.page else None
    breaking = breaking_changes(old, new)
    return replace(
        told,
        difference=difference_between(old, new, after.path, after.house),
        breaking=breaking,
        moves=ingredient_moves(old, new),
        title_before=old.formula.title,
        page_before=pages[0] if pages else None,
        corrections=corrections_between(old.formula, new.formula, pages, breaking, proof)
        if pages
        else (),
    )


def _turn(before: Side | None, after: Side) -> Turn:
    was = before is not None and before.status == RELEASED
    if after.status == RELEASED:
        if not was or before is None:
            return "new"
        return "unchanged" if before.evidence.revision == after.evidence.revision else "changed"
    if after.status in OUT and before is not None and before.status not in OUT:
        return "retired"
    return "withdrawn" if was else "waiting"


def _gone(side: Side) -> Released:
    """A formula whose file is not there any more: retired for readers where it was approved."""
    name = side.balance.formula.id if side.balance else Path(side.path).parent.name
    return Released(
        path=side.path,
        id=name,
        title=side.balance.formula.title if side.balance else name,
        status="",
        status_before=side.status,
        turn="retired",
        was_there=True,
        evidence=None,
    )


@dataclass(frozen=True)
class Prepared:
    """A release that is about to be tagged. ``uncommitted`` files block it like a blocked formula."""

    version: str
    release: Release
    uncommitted: tuple[str, ...]
    path: Path

    @property
    def is_ready(self) -> bool:
        return not self.release.blocked and not self.uncommitted and any(self.approved)

    @property
    def approved(self) -> Iterator[Released]:
        """The formulas that go out."""
        return (f for f in self.release.formulas if f.is_released)


def prepare(version: str, since: str, paths: Sequence[str], into: str = "") -> Prepared:
    """What a release of the newest commit would hold, since a tag or the newest one there is.

    ``into`` names the log's file, else it is releases/VERSION.md. Nothing is written and nothing is
    tagged. Raises CannotRun for a version that is no new tag.
    """
    repository = git.find_repository(Path(paths[0]))
    if not git.can_be_tag(repository, version) or "/" in version:
        raise CannotRun(f"'{version}' cannot be a tag; name the release like 2026.1")
    if git.commit_or_none(repository, f"refs/tags/{version}"):
        raise CannotRun(f"there is a tag '{version}' already; name the new release otherwise")
    path = Path(into).absolute() if into else repository.top / "releases" / f"{version}.md"
    if os.path.isdir(path):
        raise CannotRun(
            f"{display_path(str(path))}: is a folder; name a file with {request_field('into')}"
        )
    start = since or git.newest_tag(repository) or ""
    found = release_between(start, "HEAD", paths)
    changed = git.not_committed(repository, [repository.relative(path) for path in paths])
    return Prepared(version, replace(found, end=version), tuple(changed), path)


def write_log(prepared: Prepared, text: str) -> None:
    """Write the log of a release that is ready. Raises CannotRun where that cannot be done."""
    try:
        make_folder(str(prepared.path.parent))
    except OSError as error:
        raise CannotRun(
            f"{prepared.path.parent}: cannot be made ({error.strerror}); name a file with {request_field('into')}"
        ) from None
    write_report(str(prepared.path), text.encode(), ())
