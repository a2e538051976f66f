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

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_at
from perflour.diff.difference import Difference, difference_between
from perflour.formula.digests import marks
from perflour.formula.formula import REFERENCE, Waiver
from perflour.history.lineage import Lineage, in_order, lineages
from perflour.history.store import HistoryStore
from perflour.kitchen.house import House, kitchen_for
from perflour.lint.check import check_balance
from perflour.records.bake import Bake, bakes_of
from perflour.release.for_readers import (
    Breaking,
    IngredientMove,
    breaking_changes,
    ingredient_moves,
    yield_said,
)
from perflour.result import CannotRun, Result, request_field
from perflour.system import git
from perflour.system.checkout import as_committed, checked_out, formula_beside
from perflour.system.destination import write_report
from perflour.system.opening import make_folder
from perflour.system.paths import FORMULA_FILE, display_path, under

Turn = Literal["new", "changed", "unchanged", "retired", "withdrawn", "waiting"]
#: What leaves the book for good: a formula that becomes a reference is not the house's own any more.
OUT = ("retired", REFERENCE)


@dataclass(frozen=True)
class Evidence:
    """What speaks for a revision, and what against it.

    ``bakes`` are of exactly this revision; ``results`` what lint says of it as an approved formula;
    ``rejecting`` the bakes that reject it after the last one that keeps it; ``makes`` its yield.
    """

    revision: str
    bakes: tuple[Bake, ...]
    results: tuple[Result, ...]
    rejecting: tuple[Bake, ...]
    allergens: Allergens | None
    waivers: tuple[Waiver, ...]
    makes: str = ""

    @property
    def blocking(self) -> tuple[Result, ...]:
        """The results that keep it out of a release; notes do not."""
        return tuple(result for result in self.results if result.level != "note")

    @property
    def is_blocked(self) -> bool:
        return bool(self.blocking or self.rejecting)


@dataclass(frozen=True)
class Released:
    """One formula at the end of a release, or one that went.

    ``turn`` is what happens to it for readers: ``new`` to them when it is approved now and was not
    before, ``changed`` or ``unchanged`` when it was and is approved, ``retired`` and ``withdrawn`` (not
    approved any more) when it was, ``waiting`` else. ``was_there`` is False for a formula that the
    start does not hold at all. ``breaking`` and ``moves`` are against the start.
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
        return tuple(f for f in self.formulas if f.status == "approved" and is_blocked(f))


def is_of_others(formula: Released) -> bool:
    """Whether it is a reference at both ends, or at the one that holds it: no release tells of it."""
    return {formula.status, formula.status_before} - {""} == {REFERENCE}


def is_blocked(formula: Released) -> bool:
    return formula.evidence is not None and formula.evidence.is_blocked


@dataclass(frozen=True)
class _Side:
    """A formula as one end holds it: weighed, or what is wrong with it."""

    path: str
    balance: Balance | None
    house: House
    evidence: Evidence

    @property
    def status(self) -> str:
        return self.balance.formula.status if self.balance else "unreadable"


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
    before = _sides_at(repository, first, limits=["."]) if first else {}
    after = _sides_at(repository, last, limits)
    if not after:
        raise CannotRun(f"no formula in {', '.join(paths)} at {end}; name a folder that holds some")
    came_from = _paths_before(repository, first, last) if first else {}
    formulas = []
    for path, side in after.items():
        old_path = came_from.get(path, path)
        formulas.append(_released(before.get(old_path), side))
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


def _sides_at(repository: git.Repository, commit: str, limits: Sequence[str]) -> dict[str, _Side]:
    """Every formula below the limits as a commit holds it, by path."""
    with checked_out(repository, commit) as commit_files:
        top = commit_files.top
        files = sorted(top.rglob(FORMULA_FILE))
        paths = [file.relative_to(top).as_posix() for file in files]
        pairs = zip(files, paths, strict=True)
        sides = {path: _side(file, path) for file, path in pairs if under(path, limits)}
        refused = {r.place.path: r for r in commit_files.refused if under(r.place.path, limits)}
        # a record that is a link elsewhere is no evidence, which is told of its formula
        for path, told in refused.items():
            formula = formula_beside(path)
            side = sides.get(formula)
            results = (*side.evidence.results, told) if side else (told,)
            evidence = (
                replace(side.evidence, results=results)
                if side
                else Evidence("", (), results, (), None, ())
            )
            sides[formula] = (
                replace(side, evidence=evidence)
                if side
                else _Side(formula, None, House(), evidence)
            )
        return dict(sorted(sides.items()))


def _side(file: Path, path: str) -> _Side:
    kitchen = kitchen_for(str(file))
    wrong = as_committed(kitchen.results, Path(str(file).removesuffix(f"/{path}")))
    weighed = weigh_at(str(file), path, kitchen)
    if not isinstance(weighed, Balance):
        return _Side(path, None, kitchen.house, Evidence("", (), wrong + weighed, (), None, ()))
    # as it would be judged once approved
    formula = weighed.formula._replace(status="approved")
    results = check_balance(weighed._replace(formula=formula), str(file), kitchen)
    called = marks(weighed.formula)
    bakes = tuple(bakes_of(str(file.parent), called))
    evidence = Evidence(
        called[0],
        bakes,
        wrong + results,
        _rejecting(bakes),
        allergens(weighed),
        formula.waivers,
        yield_said(formula),
    )
    return _Side(path, weighed, kitchen.house, evidence)


def _rejecting(bakes: Sequence[Bake]) -> tuple[Bake, ...]:
    """The bakes that reject a revision on or after the day it was last kept."""
    kept = max((bake.date for bake in bakes if bake.verdict == "keep"), default="")
    return tuple(bake for bake in bakes if bake.verdict == "reject" and bake.date >= kept)


def _released(before: _Side | None, after: _Side) -> Released:
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
    )
    if old is None or new is None:
        return told
    return replace(
        told,
        difference=difference_between(old, new, after.path, after.house),
        breaking=breaking_changes(old, new),
        moves=ingredient_moves(old, new),
    )


def _turn(before: _Side | None, after: _Side) -> Turn:
    was = before is not None and before.status == "approved"
    if after.status == "approved":
        if not was or before is None:
            return "new"
        return "unchanged" if before.evidence.revision == after.evidence.revision else "changed"
    if after.status in OUT and before is not None and before.status not in OUT:
        return "retired"
    return "withdrawn" if was else "waiting"


def _gone(side: _Side) -> Released:
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
        return (f for f in self.release.formulas if f.status == "approved")


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
