"""A repository and commits of it by one process of git: docs/performance.md."""

import os
from collections.abc import Sequence
from pathlib import Path

from perflour.result import CannotRun
from perflour.system import git


def find_with_head(path: Path) -> tuple[git.Repository, bool, str | None]:
    """The repository of a path that is there, whether it is shallow, and its newest commit, None before the first.

    Raises CannotRun as ``git.find_repository``.
    """
    folder = path if os.path.isdir(path) else path.parent
    wanted = ("--is-shallow-repository", "--path-format=absolute", "--show-toplevel", "--git-common-dir")  # fmt: skip
    try:
        told = git.Repository(folder).run(
            "rev-parse", *wanted, "--quiet", "--verify", "HEAD^{commit}"
        )
        shallow, top, git_folder, head = os.fsdecode(told).removesuffix("\n").split("\n")
    except (CannotRun, ValueError):  # no commit yet, no repository, or a folder of a strange name
        found = git.find_repository(path)
        return found, git.is_shallow(found), git.commit_or_none(found, "HEAD")
    return git.Repository(Path(top), Path(git_folder)), shallow == "true", head


def find_with_commits(
    path: Path, revisions: Sequence[str]
) -> tuple[git.Repository, list[str] | None]:
    """The repository of a path that need not be there any more, and the commits that revisions name.

    None for these where git says anything but a commit of each: which of them is wrong is to be asked one by one.
    Raises CannotRun as ``git.find_repository``.
    """
    if os.path.isdir(path) and not any(name.startswith("-") or "\0" in name for name in revisions):
        wanted = ("--path-format=absolute", "--show-toplevel", "--git-common-dir")
        try:
            told = git.Repository(path).run("rev-parse", *wanted, *(f"{name}^{{commit}}" for name in revisions))  # fmt: skip
            top, git_folder, *commits = os.fsdecode(told).removesuffix("\n").split("\n")
        except (CannotRun, ValueError):  # no repository, or no such commit
            pass
        else:
            if len(commits) == len(revisions) and all(map(str.isalnum, commits)):
                return git.Repository(Path(top), Path(git_folder)), commits
    return git.find_repository(path), None
