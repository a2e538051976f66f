"""Two commits to a review: what a branch does to the formulas, for those who decide on it.

A branch is judged against the commit it started from, as hosts show it: what came to the other branch
meanwhile is not its doing. Everything is read as the two commits hold it: formulas, house files, test
bakes, changelogs.
"""

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path, PurePosixPath
from typing import Any, NamedTuple

from perflour.balance.allergens import allergens
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_at
from perflour.diff.difference import Difference, added_or_removed, difference_between
from perflour.documents.reader import read_document
from perflour.formula.digests import digest, marks
from perflour.kitchen.house import House, kitchen_for
from perflour.lint.baseline import results_not_in
from perflour.lint.check import check_all
from perflour.records.bake import Bake, bakes_of
from perflour.release.reasons import REASONS
from perflour.result import LEVELS, CannotRun, FileProblem, Result
from perflour.system import git
from perflour.system.checkout import as_committed, checked_out
from perflour.system.file_kinds import KITCHEN_FILES
from perflour.system.files import named_paths, read_or_refused
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, under
from perflour.system.without_numpy import without_numpy

# A draft is not asked for a test bake yet, a retired formula not any more, a reference never.
TO_BE_BAKED = ("testing", "approved")

Found = Mapping[str, tuple[Result, ...]]


class HouseChange(NamedTuple):
    """One entry of a house or ingredients file that changed; None on the side where it is not."""

    path: str
    entry: str
    before: Any
    after: Any


@dataclass(frozen=True)
class Reviewed:
    """One formula that differs, or of which lint says something else than before.

    ``revision`` is its digest, empty where it is gone or cannot be read; ``is_new_revision`` whether
    it must be baked again, ``bakes`` those of exactly this revision. ``new`` and ``gone`` are lint's
    results on one side only, ``kept`` counts those on both. ``allergens`` are newly there, each with
    what brings it; ``allergens_gone`` are not there any more.
    """

    path: str
    id: str
    title: str
    status: str
    difference: Difference | None
    revision: str
    is_new_revision: bool
    bakes: tuple[Bake, ...]
    changelog_behind: bool
    new: tuple[Result, ...]
    gone: tuple[Result, ...]
    kept: int
    allergens: tuple[tuple[str, tuple[str, ...]], ...]
    allergens_gone: tuple[str, ...]

    @property
    def reasons(self) -> tuple[str, ...]:
        """What stands against it, of REASONS."""
        levels = {result.level for result in self.new}
        held: dict[str, bool] = {
            **{level: level in levels for level in LEVELS},
            "allergen": bool(self.allergens),
            "untested": self.is_new_revision and not self.bakes and self.status in TO_BE_BAKED,
            "changelog": self.changelog_behind,
        }
        return tuple(reason for reason in REASONS if held[reason])


@dataclass(frozen=True)
class Review:
    """What a branch changes; ``others`` are new results on files that are no formulas."""

    base: str
    head: str
    start: str
    end: str
    formulas: tuple[Reviewed, ...]
    house: tuple[HouseChange, ...]
    others: tuple[Result, ...]

    @property
    def reasons(self) -> tuple[str, ...]:
        """All that stands against the branch, of REASONS."""
        held = {reason for formula in self.formulas for reason in formula.reasons}
        held |= {result.level for result in self.others}
        return tuple(reason for reason in REASONS if reason in held)

    def stopped_by(self, policy: Iterable[str]) -> tuple[str, ...]:
        """The reasons of a policy that hold: empty where the branch may be merged."""
        wanted = set(policy)
        return tuple(reason for reason in self.reasons if reason in wanted)


class _Side(NamedTuple):
    """One commit: its formulas weighed, what lint says by path, and the folder's state beside them."""

    balances: dict[str, Balance | tuple[Result, ...]]
    houses: dict[str, House]
    results: Found
    bakes: dict[str, tuple[Bake, ...]]
    changelogs: dict[str, str | None]
    kitchen: dict[str, bytes]


def review(span: str, paths: Sequence[str]) -> Review:
    """What ``BASE..HEAD`` changes below the paths; an end left out is HEAD.

    Raises CannotRun for a revision that is not there, and where the two share no commit.
    """
    base, dots, head = span.replace("...", "..").partition("..")
    if not dots:
        raise CannotRun(f"'{span}' is no span of commits; write it like main..my-branch")
    base, head = base or "HEAD", head or "HEAD"
    repository = git.find_repository(Path(paths[0]))
    limits = [repository.relative(path) for path in paths]
    end = git.commit_named(repository, head)
    start = git.merge_base(repository, git.commit_named(repository, base), end)
    if start is None:
        raise CannotRun(f"{base} and {head} have no commit in common; fetch the whole history")
    changes = git.changed_files(repository, start, end, limits)
    whole = any(PurePosixPath(c.new_path).name in KITCHEN_FILES for c in changes)
    old = _side(repository, start, limits, None if whole else {c.old_path for c in changes})
    new = _side(repository, end, limits, None if whole else {c.new_path for c in changes})
    came_from = {c.new_path: c.old_path for c in changes if c.old_path != c.new_path}
    formulas = tuple(_reviewed(old, new, came_from))
    house = tuple(_house_changes(old.kitchen, new.kitchen))
    return Review(base, head, start, end, formulas, house, _others(old, new))


def _side(
    repository: git.Repository, commit: str, limits: Sequence[str], changed: set[str] | None
) -> _Side:
    """A commit as far as it matters: the formulas beside changed files, all where ``changed`` is None."""
    with checked_out(repository, commit) as commit_files:
        top = commit_files.top
        names = [str(top / limit) for limit in limits if os.path.exists(top / limit)]
        files = list(named_paths(names))
        refused = {r.place.path: (r,) for r in commit_files.refused if under(r.place.path, limits)}
        if changed is not None:
            folders = {_formula_folder(path) for path in changed}
            files = [f for f in files if _formula_folder(_below(f, top)) in folders]
            refused = {p: told for p, told in refused.items() if _formula_folder(p) in folders}
        found = check_all(files)
        results = {
            _below(f, top): as_committed(rows, top) for f, rows in zip(files, found, strict=True)
        } | refused
        formulas = [f for f in files if PurePosixPath(f).name == FORMULA_FILE]
        balances = {_below(f, top): _weighed(f, _below(f, top)) for f in formulas}
        balances |= {p: told for p, told in refused.items() if p.endswith(f"/{FORMULA_FILE}")}
        beside = {path: top / PurePosixPath(path).parent for path in balances}
        return _Side(
            balances,
            {_below(f, top): kitchen_for(f).house for f in formulas},
            results,
            {path: _bakes(str(beside[path]), weighed) for path, weighed in balances.items()},
            {path: _text(folder / CHANGELOG_FILE) for path, folder in beside.items()},
            {
                _below(f, top): read_or_refused(f).content
                for f in files
                if os.path.basename(f) in KITCHEN_FILES
            },
        )


def _formula_folder(path: str) -> PurePosixPath:
    """The folder that a formula shares with its test bakes and its changelog."""
    folder = PurePosixPath(path).parent
    return folder.parent if folder.name == BAKES else folder


def _below(file: str, top: Path) -> str:
    return file.removeprefix(f"{top}/")


def _weighed(file: str, shown: str) -> Balance | tuple[Result, ...]:
    return weigh_at(file, shown, kitchen_for(file))


def _bakes(folder: str, weighed: Balance | tuple[Result, ...]) -> tuple[Bake, ...]:
    if not isinstance(weighed, Balance):
        return ()
    return tuple(bakes_of(folder, marks(weighed.formula)))


def _text(path: Path) -> str | None:
    """The text of a file that is there; what cannot be read is told as a result of its own."""
    if not os.path.isfile(path):
        return None
    return read_or_refused(str(path)).content.decode("utf-8", "replace")


def _reviewed(old: _Side, new: _Side, came_from: Mapping[str, str]) -> Iterator[Reviewed]:
    """Every formula with something to tell, by path."""
    left = set(old.balances)
    for path, weighed in new.balances.items():
        was = came_from.get(path, path)
        left.discard(was)
        told = _formula(old, was, new, path, weighed)
        if told.difference or told.new or told.gone:
            yield told
    for path in sorted(left):
        weighed = old.balances[path]
        if path not in new.balances and isinstance(weighed, Balance):
            difference = added_or_removed(weighed, None, path)
            formula = weighed.formula
            yield Reviewed(
                path, formula.id, formula.title, "", difference, "", False, (), False, (), (), 0, (),
                (),
            )  # fmt: skip


def _formula(
    old: _Side, was: str, new: _Side, path: str, weighed: Balance | tuple[Result, ...]
) -> Reviewed:
    before = old.balances.get(was)
    known = _renamed(old.results.get(was, ()), was, path)
    now = _own(new.results[path], path)
    fresh = results_not_in(known, now)
    gone = results_not_in(now, known)
    name = weighed.formula.id if isinstance(weighed, Balance) else PurePosixPath(path).parent.name
    told = Reviewed(
        path=path,
        id=name,
        title=weighed.formula.title if isinstance(weighed, Balance) else name,
        status=weighed.formula.status if isinstance(weighed, Balance) else "unreadable",
        difference=None,
        revision="",
        is_new_revision=False,
        bakes=new.bakes[path],
        changelog_behind=False,
        new=fresh,
        gone=gone,
        kept=len(now) - len(fresh),
        allergens=(),
        allergens_gone=(),
    )
    if not isinstance(weighed, Balance):
        return told
    return _with_balances(told, before if isinstance(before, Balance) else None, weighed, new)


def _with_balances(told: Reviewed, before: Balance | None, after: Balance, new: _Side) -> Reviewed:
    """What the balances of both sides add to a formula that can be read."""
    revision, *earlier = marks(after.formula)
    is_new = before is None or digest(before.formula) != revision
    difference = (
        difference_between(before, after, told.path, new.houses[told.path])
        if before
        else added_or_removed(None, after, told.path)
    )
    had, has = _brought(before), _brought(after)
    changelog = new.changelogs[told.path]
    return replace(
        told,
        difference=None if difference.is_empty else difference,
        revision=revision,
        is_new_revision=is_new,
        changelog_behind=is_new
        and changelog is not None
        and not any(mark in changelog for mark in (revision, *earlier)),
        allergens=tuple((name, by) for name, by in has.items() if name not in had),
        allergens_gone=tuple(name for name in had if name not in has),
    )


def _brought(balance: Balance | None) -> dict[str, tuple[str, ...]]:
    """The allergens of both lists with what brings them."""
    if balance is None:
        return {}
    known = allergens(balance)
    return {brought.allergen: brought.by for brought in (*known.eu, *known.us)}


def _own(results: Iterable[Result], path: str) -> tuple[Result, ...]:
    """What is said of a file itself; results of the house files come with every file of a run."""
    return tuple(result for result in results if result.place.path == path)


def _renamed(results: Iterable[Result], was: str, path: str) -> tuple[Result, ...]:
    return tuple(r._replace(place=r.place._replace(path=path)) for r in _own(results, was))


def _others(old: _Side, new: _Side) -> tuple[Result, ...]:
    """New results on test bakes and house files."""
    known, now = (
        tuple(
            dict.fromkeys(
                result
                for results in side.results.values()
                for result in results
                if result.place.path not in side.balances
            )
        )
        for side in (old, new)
    )
    return results_not_in(known, now)


def _house_changes(
    before: Mapping[str, bytes], after: Mapping[str, bytes]
) -> Iterator[HouseChange]:
    """What changed in house and ingredients files, entry by entry."""
    with without_numpy():
        from deepdiff import DeepDiff  # slow to load: docs/performance.md
        from deepdiff.helper import NotPresent

    for path in sorted({*before, *after}):
        sides = [_data(side.get(path)) for side in (before, after)]
        if sides[0] == sides[1]:
            continue
        before_after: list[Any] = sides
        tree = DeepDiff(
            before_after[0],
            before_after[1],
            view="tree",
            ignore_order=True,
            threshold_to_diff_deeper=0,
        )
        for found in sorted(
            (item for items in tree.values() for item in items), key=lambda f: str(f.path())
        ):
            entry = ", ".join(map(str, found.path(output_format="list"))) or "the whole file"
            there = (None if isinstance(s, NotPresent) else s for s in (found.t1, found.t2))
            yield HouseChange(path, entry, *there)


def _data(content: bytes | None) -> Any:
    try:
        return {} if content is None else read_document(content, "").data
    except FileProblem:
        return {}
