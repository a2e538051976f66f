"""A repository and its newest commit by one process of git: docs/performance.md."""

import os
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
