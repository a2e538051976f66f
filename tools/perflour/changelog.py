"""Git history and test bakes to iterations: what changed in ratios, what was baked, what next."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path, PurePosixPath

from perflour import git
from perflour.bake import Bake, bakes_in
from perflour.balance import Balance
from perflour.check import InvalidFormula, weigh_file
from perflour.compare import FORMULA_FILE
from perflour.difference import Difference, compare
from perflour.files import read_bytes
from perflour.formula import digest
from perflour.house import display_path, kitchen_for
from perflour.result import CannotRun, FileProblem, Result
from perflour.rules.changelog_behind import CHANGELOG_FILE
from perflour.writing import write_file


@dataclass(frozen=True)
class Iteration:
    """A revision whose balance or method changed.

    ``number`` counts from 1; ``difference`` is against the revision before it, None for the first;
    ``back_to`` is the number of an earlier iteration with the same digest (a revert);
    ``unreadable`` says why the revision could not be weighed. ``commit`` is None for the work tree.
    """

    number: int
    commit: git.Commit | None
    digest: str
    difference: Difference | None
    bakes: tuple[Bake, ...] = ()
    back_to: int | None = None
    unreadable: str = ""


@dataclass(frozen=True)
class Changelog:
    """The iterations of one formula, oldest first.

    ``text_only`` counts commits that changed no ingredient, step or yield; ``loose_bakes`` were
    baked from no revision that is in the history.
    """

    path: Path
    id: str
    title: str
    status: str
    iterations: tuple[Iteration, ...]
    text_only: int = 0
    loose_bakes: tuple[Bake, ...] = ()
    problems: tuple[Result, ...] = ()


def changelogs(names: Sequence[str], committed: bool = False) -> list[Changelog]:
    """The changelog of every formula under the named files and folders, by path.

    A test bake or CHANGELOG.md stands for its formula. ``committed`` leaves out what the work tree
    alone holds; it is what a CHANGELOG.md tells. Raises CannotRun outside a git repository, for a
    path that is not there and, with ``committed``, in a shallow clone.
    """
    paths = [Path(os.path.abspath(name)) for name in names]
    for name, named in zip(names, paths, strict=True):
        if not named.exists():
            raise CannotRun(f"{name}: no such file or folder; check the path")
    paths = [_of_formula(path) for path in paths]
    repository = git.find_repository(paths[0])
    if committed and git.is_shallow(repository):
        raise CannotRun(
            "this clone holds only a part of the history; get all of it with `git fetch --unshallow`"
        )
    limits = [repository.relative(path) for path in paths]
    # the whole history: a folder may have been renamed into the limits
    walks = _walks(git.log(repository, ["."]))
    for path in _formula_files(repository, paths):
        walks.setdefault(path, [])
    wanted = {
        path: walk
        for path, walk in walks.items()
        if (repository.top / path).is_file() and _under(path, limits)
    }
    _end_at_head(repository, wanted)
    blobs = git.read_blobs(repository, [b for walk in wanted.values() for _, b in walk if b])
    return [_changelog(repository, path, wanted[path], blobs, committed) for path in sorted(wanted)]


def _end_at_head(repository: git.Repository, walks: dict[str, Walk]) -> None:
    """Add the merge that took one side whole: git's log passes it over, and ends on the other side."""
    at_head = git.blobs_at_head(repository)
    for path, walk in walks.items():
        blob = at_head.get(path)
        if walk and blob and walk[-1][1] != blob and (merge := git.newest_merge(repository, path)):
            walk.append((merge, blob))


def _of_formula(path: Path) -> Path:
    """The formula of a test bake, of the bakes' folder or of a CHANGELOG.md; else the path itself."""
    if path.name in (CHANGELOG_FILE, "bakes"):
        formula = path.parent / FORMULA_FILE
    elif path.parent.name == "bakes" and path.name != FORMULA_FILE:
        formula = path.parent.parent / FORMULA_FILE
    else:
        return path
    return formula if formula.is_file() else path


def _under(path: str, limits: list[str]) -> bool:
    return any(limit in (".", path) or path.startswith(f"{limit}/") for limit in limits)


def _formula_files(repository: git.Repository, paths: list[Path]) -> list[str]:
    """Formula files of the work tree, so that one not committed yet is there too."""
    found: list[str] = []
    for path in paths:
        files = sorted(path.rglob(FORMULA_FILE)) if path.is_dir() else [path]
        found += [repository.relative(file) for file in files if file.name == FORMULA_FILE]
    return found


Walk = list[tuple[git.Commit, str | None]]


def _walks(commits: list[git.Commit]) -> dict[str, Walk]:
    """By formula path: each commit that touched it with the blob it left; renames followed."""
    walks: dict[str, Walk] = {}
    for commit in commits:
        for change in commit.changes:
            if PurePosixPath(change.new_path).name != FORMULA_FILE:
                continue
            walk = walks.setdefault(change.new_path, [])
            if change.old_path != change.new_path and not walk:
                walk += walks.pop(change.old_path, [])
            walk.append((commit, change.new_blob))
    return walks


@dataclass
class _Trail:
    """What is known so far while one formula's history is walked."""

    iterations: list[Iteration] = field(default_factory=list)
    last: Balance | None = None
    text_only: int = 0
    numbers: dict[str, int] = field(default_factory=dict)


def _changelog(
    repository: git.Repository, path: str, walk: Walk, blobs: dict[str, bytes], committed: bool
) -> Changelog:
    file = repository.top / path
    trail = _Trail()
    for commit, blob in walk:
        if blob and blob in blobs:
            _step(trail, commit, blobs[blob], path, file)
    named = trail.last
    _step(trail, None, file.read_bytes(), display_path(str(file)), file)
    bakes, problems = bakes_in(str(file.parent))
    iterations = tuple(
        replace(i, bakes=tuple(b for b in bakes if i.digest and b.of == i.digest))
        for i in trail.iterations
    )
    known = {i.digest for i in iterations}
    if committed and iterations and iterations[-1].commit is None:
        iterations = iterations[:-1]
    else:  # a title or status not committed yet is told: it makes no iteration
        named = trail.last
    formula = named.formula if named else None
    return Changelog(
        path=file,
        id=formula.id if formula else file.parent.name,
        title=formula.title if formula else file.parent.name,
        status=formula.status if formula else "",
        iterations=iterations,
        text_only=trail.text_only,
        loose_bakes=tuple(bake for bake in bakes if bake.of not in known),
        problems=problems,
    )


def _step(trail: _Trail, commit: git.Commit | None, content: bytes, shown: str, file: Path) -> None:
    """Add one revision to the trail; ``commit`` None is the work tree as it is."""
    number = len(trail.iterations) + 1
    try:
        weighed = weigh_file(content, shown, kitchen_for(str(file)))
    except (FileProblem, InvalidFormula) as problem:
        trail.iterations.append(Iteration(number, commit, "", None, unreadable=str(problem)))
        return
    mark = digest(weighed.formula)
    if trail.last and digest(trail.last.formula) == mark:
        trail.text_only += commit is not None
    else:
        difference = compare(trail.last, weighed, shown) if trail.last else None
        trail.iterations.append(
            Iteration(number, commit, mark, difference, back_to=trail.numbers.get(mark))
        )
        trail.numbers.setdefault(mark, number)
    trail.last = weighed


@dataclass(frozen=True)
class Stale:
    """A CHANGELOG.md that is not as it should be; ``present`` is None where it is missing."""

    changelog: Changelog
    path: Path
    wanted: str
    present: str | None


Render = Callable[[Sequence[Changelog]], str]


def stale_changelogs(found: Sequence[Changelog], render: Render) -> list[Stale]:
    """Those that say something else, and those that an approved formula does without."""
    return [
        stale
        for stale in _differing(found, render)
        if stale.present is not None or stale.changelog.status == "approved"
    ]


def write_changelogs(found: Sequence[Changelog], render: Render) -> list[str]:
    """Write CHANGELOG.md beside each formula that has a commit; the paths that changed."""
    written = []
    for stale in _differing(found, render):
        write_file(stale.path, stale.wanted.encode())
        written.append(display_path(str(stale.path)))
    return written


def _differing(found: Sequence[Changelog], render: Render) -> Iterator[Stale]:
    """Every CHANGELOG.md to be written; line ends do not count, git may check out others."""
    for changelog in found:
        path = changelog.path.parent / CHANGELOG_FILE
        present = None
        if path.is_file():
            present = read_bytes(str(path)).decode("utf-8", "replace")
        if present is None and not changelog.iterations:
            continue
        wanted = render([changelog])
        if present is None or present.splitlines() != wanted.splitlines():
            yield Stale(changelog, path, wanted, present)
