"""Formulas that moved from one file to another: a folder renamed, two that took each other's name."""

from collections.abc import Sequence
from contextlib import suppress

from perflour.system.blobs import Blobs, read_blobs
from perflour.system.git import Commit, FileChange, Repository
from perflour.system.opening import read


def with_moves(repository: Repository, commits: Sequence[Commit]) -> list[Commit]:
    """The commits with moved formulas told from changed ones.

    git sees a rename only where the old path is gone. Two formulas that take each other's name, or
    one that takes the place of another, are told by their text, the line with the id left out.
    """
    several = [c for c in commits if sum(x.old_blob is not None for x in c.changes) > 1]
    names = [b for c in several for x in c.changes for b in (x.old_blob, x.new_blob) if b]
    bodies = {name: _body(text) for name, text in read_blobs(repository, names).items()}
    moved = {c.sha: c._replace(changes=_moves(c.changes, bodies)) for c in several}
    return [moved.get(commit.sha, commit) for commit in commits]


def moved_files(blobs: Blobs, changes: Sequence[FileChange]) -> list[FileChange]:
    """The same for the files between two revisions, or one and the work tree."""
    if sum(change.old_blob is not None for change in changes) < 2:
        return list(changes)
    names = [b for x in changes for b in (x.old_blob, x.new_blob) if b]
    contents = blobs.of(names)
    bodies: dict[str, int] = {name: _body(contents[name]) for name in names}
    here = [change for change in changes if change.in_work_tree]
    for change in here:
        with suppress(OSError):
            bodies[change.new_path] = _body(read(str(blobs.repository.top / change.new_path)))
    readable = [
        c._replace(new_blob=c.new_path) if c.new_path in bodies and c.in_work_tree else c
        for c in changes
    ]
    in_tree = {change.new_path for change in here}
    return [
        c._replace(new_blob=None, in_work_tree=True) if c.new_path in in_tree else c
        for c in _moves(readable, bodies)
    ]


def _body(text: bytes) -> int:
    """What stays when a formula takes another name."""
    lines = (line.rstrip() for line in text.splitlines())
    return hash(b"\n".join(line for line in lines if not line.startswith((b"formula:", b"#"))))


def _moves(changes: Sequence[FileChange], bodies: dict[str, int]) -> tuple[FileChange, ...]:
    old = {c.old_path: c.old_blob for c in changes if c.old_blob}
    new = {c.new_path: c.new_blob for c in changes if c.new_blob}
    by_body: dict[int, list[str]] = {}
    for path, blob in old.items():
        by_body.setdefault(bodies[blob], []).append(path)
    moved: dict[str, str] = {}
    for path, blob in new.items():
        sources = by_body.get(bodies[blob], [])
        if path not in sources and len(sources) == 1:
            moved[path] = sources[0]
    # a formula that stays where it is was copied, not moved
    while copied := [p for p, source in moved.items() if source in new and source not in moved]:
        for path in copied:
            del moved[path]
    if not moved:
        return tuple(changes)
    taken = set(moved.values())
    given = {c.new_path: c.old_path for c in changes if c.old_path not in taken and c.new_blob}
    sources_of = {**given, **moved}
    told = [
        FileChange(source := sources_of.get(path, path), path, old.get(source), blob)
        for path, blob in new.items()
    ]
    left = set(old) - set(sources_of.values())
    return (*told, *(FileChange(path, path, old[path], None) for path in sorted(left)))
