"""What will be there after the merge: the merge driver, in memory, on formulas that both sides changed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import PurePosixPath

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.formula.digests import marks
from perflour.kitchen.catalogue import built_in
from perflour.kitchen.house import House, Kitchen
from perflour.system import git
from perflour.system.blobs import read_blobs
from perflour.system.paths import FORMULA_FILE
from perflour.tuples import NamedTuple


class MergePreview(NamedTuple):
    """One formula that both sides changed since they parted.

    ``conflicts`` are a line each; without one ``revision`` is the digest of what the merge leaves, and
    ``is_nobodys`` says that it is the revision of neither side. ``is_gone`` where one side deleted it.
    """

    path: str
    conflicts: tuple[str, ...]
    revision: str = ""
    is_nobodys: bool = False
    is_gone: bool = False


def merges_ahead(
    repository: git.Repository,
    commits: tuple[str, str, str],
    limits: Sequence[str],
    kitchens: Mapping[str, Kitchen],
) -> Iterator[MergePreview]:
    """The formulas changed on both sides of ``commits``: where they parted, the base's tip, the branch's."""
    start, tip, end = commits
    if tip == start:
        return
    ours, theirs = ({c.old_path: c for c in git.changed_files(repository, start, side, limits) if _is_formula(c)} for side in (tip, end))  # fmt: skip
    both = [path for path in sorted(ours.keys() & theirs.keys()) if ours[path].new_blob != theirs[path].new_blob]  # fmt: skip
    wanted = (blob for path in both for blob in (ours[path].old_blob, ours[path].new_blob, theirs[path].new_blob) if blob)  # fmt: skip
    blobs = read_blobs(repository, wanted) if both else {}
    for path in both:
        names = (ours[path].old_blob, ours[path].new_blob, theirs[path].new_blob)
        kitchen = kitchens.get(theirs[path].new_path) or Kitchen(House(), built_in())
        yield _merged(theirs[path].new_path, [blobs[name] if name else None for name in names], kitchen)  # fmt: skip


def _is_formula(change: git.FileChange) -> bool:
    return PurePosixPath(change.new_path).name == FORMULA_FILE


def _merged(path: str, contents: Sequence[bytes | None], kitchen: Kitchen) -> MergePreview:
    from perflour.merge.merge import NotMerged, merge  # most branches meet no other change

    base, ours, theirs = contents
    if ours is None or theirs is None:
        who = "the base" if ours is None else "the branch"
        return MergePreview(path, (f"{who} deleted it, the other side changed it; decide which",), is_gone=True)  # fmt: skip
    try:
        merged = merge(base or b"", ours, theirs, kitchen.catalogue)
    except NotMerged as reason:
        return MergePreview(path, (f"merged as plain text only ({reason}); merge it and look",))
    if merged.conflicts:
        return MergePreview(path, merged.conflicts)
    called = [_marks(content, path, kitchen) for content in (ours, theirs, merged.content)]
    revision = called[2][0] if called[2] else ""
    return MergePreview(path, (), revision, bool(revision) and revision not in (*called[0], *called[1]))  # fmt: skip


def _marks(content: bytes, path: str, kitchen: Kitchen) -> tuple[str, ...]:
    weighed = weigh_or_tell(content, path, kitchen)
    return marks(weighed.formula) if isinstance(weighed, Balance) else ()
