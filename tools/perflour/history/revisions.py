"""Exact revisions of a formula: as the file is, at a git revision, or by the digest of an iteration."""

from __future__ import annotations

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.formula.digests import digest
from perflour.history.changelog import Changelog, changelogs
from perflour.kitchen.house import kitchen_for
from perflour.result import CannotRun, FileProblem
from perflour.system import git
from perflour.system.blobs import file_at, read_blobs
from perflour.system.branches import revision_near
from perflour.system.files import read_bytes
from perflour.system.named import formula_file
from perflour.system.paths import FORMULA_FILE, HOUSE_FILE, display_path


@dataclass(frozen=True)
class Revision:
    """One revision of the formula file at ``path``, weighed; ``digest`` is its name in records."""

    path: Path
    weighed: Balance
    digest: str


def named_revision(words: str) -> Revision:
    """The revision that ``FORMULA`` or ``FORMULA@REVISION`` names, by path or id. Raises CannotRun."""
    name, at, revision = words.rpartition("@")
    if not at or os.path.exists(words):
        return revision_now(formula_file(words))
    return revision_at(formula_file(name), revision)


def revision_now(path: Path) -> Revision:
    """The file as it is. Raises CannotRun where it cannot be weighed."""
    return _weighed(path, read_bytes(str(path)), display_path(str(path)))


def revision_at(path: Path, name: str) -> Revision:
    """The formula at a digest of its history, or at a git revision. Raises CannotRun."""
    if found := revision_by_digest(path, name):
        return found
    repository = git.find_repository(path)
    commit = git.commit_or_none(repository, name)
    shown = display_path(str(path))
    if commit is None:
        lists = "list the first with `perflour changelog`, the others with `git log --oneline`"
        near = revision_near(repository, name)
        raise CannotRun(
            f"'{name}' is neither a revision of {shown} nor one of git; "
            + (f"did you mean {near}?" if near else lists)
        )
    inner = repository.relative(path)
    content = file_at(repository, commit, inner)
    if content is None:
        raise CannotRun(f"{shown}: not there at '{name}'; name a revision that holds it")
    return _weighed(path, content, f"{name}:{inner}")


def revision_by_digest(path: Path, mark: str) -> Revision | None:
    """The formula of that digest: the file as it is, else the first of its history; None for neither.

    Raises CannotRun outside a git repository, where the file itself has another digest.
    """
    try:
        now = revision_now(path)
        if now.digest == mark:
            return now
    except CannotRun:
        pass  # a broken file has a history all the same
    for content, shown in _contents_of(path, mark):
        found = _weighed(path, content, shown)
        if found.digest == mark:
            return found
    return None


def _contents_of(path: Path, mark: str) -> Iterator[tuple[bytes, str]]:
    """The formula files of the commits that made an iteration; the folder may have had another name."""
    repository = git.find_repository(path)
    for changelog in changelogs([str(path)]):
        for iteration in changelog.iterations:
            if iteration.digest != mark or iteration.commit is None:
                continue
            sha, changes = iteration.commit.sha, iteration.commit.changes
            names = [c.new_path for c in changes if c.new_blob and _is_formula(c.new_path)]
            for inner in names or [repository.relative(path)]:
                blobs = read_blobs(repository, [f"{sha}:{inner}"])
                yield from ((blob, f"{sha[:9]}:{inner}") for blob in blobs.values())


def _is_formula(path: str) -> bool:
    return PurePosixPath(path).name == FORMULA_FILE


def _weighed(path: Path, content: bytes, shown: str) -> Revision:
    try:
        weighed = weigh_file(content, shown, kitchen_for(str(path)))
    except FileProblem as problem:
        raise CannotRun(str(problem)) from None
    return Revision(path, weighed, digest(weighed.formula))


def kitchen_folder(path: Path) -> Path:
    """The folder of the house file above a formula, else the folder that holds the formula's."""
    for folder in path.parents:
        if os.path.isfile(folder / HOUSE_FILE):
            return folder
        if os.path.exists(folder / ".git"):
            break
    return path.parent.parent


def formula_of(folder: Path, formula_id: str) -> Path | None:
    """The file of a formula by its id, which is its folder's name, anywhere below a folder."""
    found = sorted(folder.rglob(f"{formula_id}/{FORMULA_FILE}"))
    return found[0] if found else None


def place_in_history(changelog: Changelog, mark: str) -> int | None:
    """The number of the newest iteration with a digest, None where the history has none."""
    numbers = [i.number for i in changelog.iterations if i.digest == mark]
    return numbers[-1] if numbers else None
