"""A branch as git has it: its commits, what it changed, the files of both ends.

git is set to read the files, and they are waited for where they are used: whoever loads the modules of a review
meanwhile loses no time (docs/performance.md).
"""

import os
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from perflour.result import CannotRun
from perflour.system import git
from perflour.system.blobs import Blobs
from perflour.system.checkout import Wanted, wanted_of
from perflour.system.paths import under
from perflour.tuples import NamedTuple

# The mode of another repository within.
_REPOSITORY = "160000"


class Branch(NamedTuple):
    """``base`` and ``head`` as they were asked for; the commits where they parted, of the base and of the head.

    ``changes`` are those below the ``limits``, ``known`` the lists of known results that changed elsewhere, ``old`` and
    ``new`` what is read of ``start`` and ``end``. ``authors`` says who changed each path.
    """

    base: str
    head: str
    limits: Sequence[str]
    start: str
    tip: str
    end: str
    changes: Sequence[git.FileChange]
    known: Sequence[git.FileChange]
    blobs: Blobs
    old: Wanted
    new: Wanted
    authors: Callable[[], Mapping[str, tuple[str, ...]]]


def branch_of(span: str, paths: Sequence[str]) -> Branch:
    """The branch of ``BASE..HEAD`` below the paths; an end left out is HEAD.

    Raises CannotRun for a revision that is not there, and where the two share no commit.
    """
    base, dots, head = span.replace("...", "..").partition("..")
    if not dots:
        raise CannotRun(f"'{span}' is no span of commits; write it like main..my-branch")
    base, head = base or "HEAD", head or "HEAD"
    repository, commits = git.find_with_commits(Path(paths[0]), (head, base))
    limits = [repository.relative(path) for path in paths]
    end, tip = commits or (git.commit_named(repository, name) for name in (head, base))
    start = git.merge_base(repository, tip, end)
    if start is None:
        raise CannotRun(f"{base} and {head} have no commit in common; fetch the whole history")
    asked = [git.ask_tree(repository, commit) for commit in (start, end)]
    authors = git.ask_authors(repository, start, end, limits)
    trees = [tree() for tree in asked]
    changed = changes_of_trees(*trees)
    if changed is None:
        changed = git.ask_changes(repository, [start, end], ["."])()
    changes = changed
    if not all(under(path, limits) for c in changed for path in (c.old_path, c.new_path)):
        changes = git.changed_files(repository, start, end, limits)
    blobs = Blobs(repository)
    old, new = (wanted_of(blobs, c, t) for c, t in zip((start, end), trees, strict=True))
    below = {change.new_path for change in changes}
    known = [c for c in changed if _may_be_baseline(c) and c.new_path not in below]
    blobs.ask(_blobs([*changes, *known], old, new))
    return Branch(base, head, limits, start, tip, end, changes, known, blobs, old, new, authors)


def changes_of_trees(old: git.Tree, new: git.Tree) -> list[git.FileChange] | None:
    """The files that differ between two commits, as ``git.ask_changes`` tells them.

    None where only git can say: files went and others came, which may be the same ones, or another repository changed.
    """
    was, is_now = old.rows, new.rows
    gone, come = was.keys() - is_now.keys(), is_now.keys() - was.keys()
    changed = gone.union(path for path, row in is_now.items() if was.get(path) != row)
    rows = {path: (was.get(path, ""), is_now.get(path, "")) for path in changed}
    if (gone and come) or any(
        row.startswith(_REPOSITORY) for pair in rows.values() for row in pair
    ):
        return None
    told = ((path, *rows[path]) for path in sorted(changed, key=os.fsencode))
    return [git.FileChange(path, path, _blob(before), _blob(after)) for path, before, after in told]


def _blob(row: str) -> str | None:
    return row.rpartition(" ")[2] or None


def _blobs(changes: Sequence[git.FileChange], *sides: Wanted) -> Iterator[str]:
    for change in changes:
        yield from (blob for blob in (change.old_blob, change.new_blob) if blob)
    for side in sides:
        yield from side.blobs.values()


def _may_be_baseline(change: git.FileChange) -> bool:
    """Whether a file may be a list of known results, which lies where its owner put it."""
    return change.new_path.endswith(".json")
