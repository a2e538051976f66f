"""Lineages kept from one run to the next: one more commit adds to the few that it changed (docs/performance.md).

A commit graph is walked anew unless all that is new are commits in a row on the head that was known, which change
formulas where they stand. What a row says of a lineage is held against its digest when it is read.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

from perflour.history.lineage import Lineage, Snapshot, in_order, lineages
from perflour.history.store import HEAD, HistoryStore
from perflour.result import CannotRun
from perflour.system import git
from perflour.system.cache import Rows, as_row, from_row, row_key
from perflour.system.git import Commit
from perflour.system.hashing import sha256_hex
from perflour.system.moves import with_moves
from perflour.system.paths import FORMULA_FILE
from perflour.typed import Any

KIND = "lineages"
#: The row of what is told of every formula; the lineage of each stands in one of its own.
TOLD = b"told"


class Line:
    """The lineage of a formula, read or walked when it is asked for.

    ``digest`` is one of all its revisions and which of them is there; ``paths`` are those that it ever had; ``first``
    names its first revision, which formulas of one lineage share.
    """

    def __init__(
        self, digest: str, first: str, paths: tuple[str, ...], walked: Callable[[], Lineage]
    ) -> None:
        self.digest, self.first, self.paths = digest, first, paths
        self._walked = walked
        self._lineage: Lineage | None = None

    @property
    def lineage(self) -> Lineage:
        if self._lineage is None:
            self._lineage = self._walked()
        return self._lineage


def lines_of(store: HistoryStore, head: str | None) -> dict[str, Line]:
    """The lineage of every formula of a commit, by its path there."""
    if head is None:
        return {}
    kept = store.load(KIND)
    walk = _Walk(store, head)
    lines = _known(store, kept, head, walk) if kept else None
    if lines is None:
        kept = {}
        lines = as_lines(walk.lineages())
    if store.keeps and kept.get(HEAD) != as_row(head):
        store.save(KIND, _rows(kept, head, lines))
    return lines


def as_lines(walked: Mapping[str, Lineage]) -> dict[str, Line]:
    """Lineages that were walked, by path."""
    return {path: _line(lineage) for path, lineage in walked.items()}


class _Walk:
    """The walk over the whole graph, once, if at all."""

    def __init__(self, store: HistoryStore, head: str) -> None:
        self.store, self.head = store, head
        self._found: dict[str, Lineage] | None = None

    def lineages(self) -> dict[str, Lineage]:
        if self._found is None:
            self._found = lineages(in_order(self.store.commits(self.head), self.head))
        return self._found


def _line(lineage: Lineage) -> Line:
    first = lineage.snapshots[0]
    paths = tuple(dict.fromkeys([s.path for s in lineage.snapshots]))
    return Line(_digest(lineage), f"{first.commit.sha} {first.path}", paths, lambda: lineage)


def _digest(lineage: Lineage) -> str:
    rows = [f"{r.commit.sha} {r.blob} {r.path} {r.parents}" for r in lineage.snapshots]
    return sha256_hex("\n".join((*rows, str(lineage.head))).encode("utf-8", "surrogateescape"))


def _known(store: HistoryStore, kept: Rows, head: str, walk: _Walk) -> dict[str, Line] | None:
    """The lines from those kept; None where these are not whole, or where the graph has to be walked."""
    try:
        known_head, told = from_row(kept[HEAD]), from_row(kept[TOLD])
        lines = {path: _kept_line(kept, path, row, walk) for path, row in told.items()}
        if known_head == head:
            return lines
        new = _in_a_row(store, known_head, head)
    except (CannotRun, AttributeError, KeyError, TypeError, ValueError):
        return None
    alike = Counter(line.first for line in lines.values())
    longer: dict[str, Lineage] = {}
    for commit in new or ():
        for change in commit.changes:
            path = change.new_path
            stays = change.old_path == path and change.old_blob and change.new_blob
            if not stays or path not in lines or alike[lines[path].first] > 1:
                return None
            lineage = longer.get(path) or _read(kept, path, lines[path].digest)
            if lineage is None:
                return None
            longer[path] = _with_one_more(lineage, commit, path, change.new_blob)
    return lines | as_lines(longer) if new is not None else None


def _kept_line(kept: Rows, path: str, row: list[str], walk: _Walk) -> Line:
    digest, first, *paths = row
    if not set(map(type, (digest, first, *paths))) <= {str}:
        raise ValueError(row)
    # what is not whole is walked anew
    return Line(
        digest,
        first,
        tuple(paths),
        lambda: _read(kept, path, digest) or walk.lineages()[path],
    )


def _read(kept: Rows, path: str, digest: str) -> Lineage | None:
    """The lineage in a row; None where it is not whole or has another digest."""
    try:
        lineage = _lineage_from(from_row(kept[row_key(path)]))
    except (KeyError, TypeError, ValueError):
        return None
    return lineage if _digest(lineage) == digest else None


def _in_a_row(store: HistoryStore, known_head: str, head: str) -> list[Commit] | None:
    """The commits from one head to another, oldest first, where each has the one before as its only parent."""
    found, gone = git.graph(store.repository, head, FORMULA_FILE, known_head)
    new = {commit.sha: commit for commit in with_moves(store.repository, found)}
    row: list[Commit] = []
    at = head
    while at in new:
        commit = new.pop(at)
        if len(commit.parents) != 1:
            return None
        row.append(commit)
        at = commit.parents[0]
    return row[::-1] if at == known_head and not new and not gone else None


def _with_one_more(lineage: Lineage, commit: Commit, path: str, blob: str | None) -> Lineage:
    """A lineage whose formula a commit changed where it stands."""
    assert blob
    one = Snapshot(commit, path, blob, (lineage.head,))
    return Lineage((*lineage.snapshots, one), len(lineage.snapshots))


def _rows(kept: Rows, head: str, lines: dict[str, Line]) -> Rows:
    told = {path: [line.digest, line.first, *line.paths] for path, line in lines.items()}
    before = from_row(kept[TOLD]) if kept else {}
    rows: Rows = {HEAD: as_row(head), TOLD: as_row(told)}
    for path, line in lines.items():
        key = row_key(path)
        is_kept = key in kept and path in before and before[path][0] == line.digest
        rows[key] = kept[key] if is_kept else as_row(_lineage_row(line.lineage))
    return rows


def _lineage_row(lineage: Lineage) -> list[Any]:
    return [
        lineage.head,
        [[*s.commit[:4], s.commit.parents, s.path, s.blob, s.parents] for s in lineage.snapshots],
    ]


def _lineage_from(row: Sequence[Any]) -> Lineage:
    """The lineage of a row, whose commits hold no changes: nobody asks a revision for those of others."""
    head, told = row
    if type(head) is not int or type(told) is not list or not 0 <= head < len(told):
        raise ValueError(row)
    return Lineage(tuple([_snapshot(*one) for one in told]), head)


def _snapshot(
    sha: str,
    date: str,
    author: str,
    subject: str,
    above: list[str],
    path: str,
    blob: str,
    parents: list[int],
) -> Snapshot:
    words, numbers = (
        {*map(type, (sha, date, author, subject, path, blob, *above))},
        map(type, parents),
    )
    if words != {str} or not set(numbers) <= {int} or any(at < 0 for at in parents):
        raise ValueError(sha)
    return Snapshot(
        Commit(sha, date, author, subject, (), tuple(above)), path, blob, tuple(parents)
    )
