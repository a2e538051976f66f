"""Branches and tags: those that are there, whether a new branch can begin here, and beginning it."""

from __future__ import annotations

import re
from collections.abc import Sequence

from perflour.plain import one_line
from perflour.result import CannotRun
from perflour.system import git
from perflour.system.nearest import nearest


def check_new_branch(repository: git.Repository, name: str) -> None:
    """Raises CannotRun where no branch of that name can begin at the newest commit with nothing else in it."""
    shown = one_line(name)
    try:
        repository.run("check-ref-format", "--branch", name)
    except CannotRun:
        raise CannotRun(f"'{shown}' is no name for a branch; write one like trial-chew") from None
    if git.commit_or_none(repository, f"refs/heads/{name}"):
        raise CannotRun(f"there is a branch {shown} already; name another")
    if left := git.not_committed(repository, ["."]):
        more = f" and {len(left) - 1} more" if len(left) > 1 else ""
        raise CannotRun(
            f"what is not committed would come along to the new branch ({one_line(left[0])}{more}); "
            "commit it, or put it away with `git stash -u`"
        )


def begin_branch(repository: git.Repository, name: str) -> None:
    """Switch to a new branch; files that are not committed yet come along. Raises CannotRun."""
    repository.run("switch", "-q", "-c", name)


def tags(repository: git.Repository) -> list[str]:
    """The tags that HEAD goes back to, those of the oldest commits first; of one day by name."""
    words = [
        "for-each-ref",
        "--merged=HEAD",
        "--sort=refname",
        "--sort=*committerdate",
        "--sort=committerdate",
    ]
    return _names(repository, *words, "--format=%(refname:short)", "refs/tags")


def branches_ahead(repository: git.Repository) -> list[str]:
    """The branches of this clone that hold commits which HEAD does not, those worked on last first."""
    words = ["for-each-ref", "--no-merged=HEAD", "--sort=refname", "--sort=-committerdate"]
    return _names(repository, *words, "--format=%(refname:short)", "refs/heads")


def revision_near(repository: git.Repository, revision: str, others: Sequence[str] = ()) -> str:
    """The branch or tag, or one of the others, that a revision which names nothing may mean; empty for none."""
    listed = repository.run("for-each-ref", "--format=%(refname:short)").decode("utf-8", "replace")
    name = re.split("[~^]", revision, maxsplit=1)[0]
    near = nearest(name, ("HEAD", *listed.splitlines(), *others))
    return one_line(near + revision[len(name) :]) if near and near != name else ""


def _names(repository: git.Repository, *words: str) -> list[str]:
    """What git lists, held against HEAD: nothing before the first commit."""
    if git.commit_or_none(repository, "HEAD") is None:
        return []
    return repository.run(*words).decode("utf-8", "surrogateescape").splitlines()


def ends(repository: git.Repository) -> bytes:
    """Where every branch and tag is, to tell whether one has moved."""
    words = ["--format=%(objectname) %(refname)", "refs/heads", "refs/tags"]
    return repository.run("for-each-ref", *words)
