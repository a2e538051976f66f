"""The commit graph and what was worked out of it, kept in the repository's git folder between runs."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path
from types import NoneType
from zlib import crc32

from perflour.history.iterations import Facts
from perflour.history.shapes import (
    changes_from,
    changes_row,
    figures_as_text,
    figures_from,
    known_from,
    names_from,
)
from perflour.result import CannotRun
from perflour.system import git
from perflour.system.cache import FOLDER, Rows, as_row, from_row, load, row_key, save
from perflour.system.consists_of import content_key
from perflour.system.git import Commit, FileChange, Repository
from perflour.system.moves import with_moves
from perflour.system.paths import FORMULA_FILE
from perflour.typed import Any

#: The row of the newest commit that was known; it stands before those of the commits.
HEAD = b"head"
#: Rows of a large kind stand in so many files.
SHELVES = 16


def shelf_of(kind: str, path: str) -> str:
    """The shelf that a formula's row of a large kind stands on."""
    return f"{kind}{crc32(row_key(path)) % SHELVES:02}"


class HistoryStore:
    """Files of earlier runs; without a folder that can be written, nothing is kept.

    ``tool`` is what ``tool_key`` says, where that is known already.
    """

    def __init__(self, repository: Repository, remember: bool = True, tool: str = "") -> None:
        self.repository = repository
        self._folder: Path | None = None
        self._tool = ""
        if remember and repository.git_folder:
            folder = repository.git_folder / FOLDER
            try:
                folder.mkdir(exist_ok=True)
            except OSError:
                return
            if os.access(folder, os.W_OK):
                self._folder, self._tool = folder, content_key(str(folder), tool)

    @property
    def keeps(self) -> bool:
        """Whether anything is kept at all."""
        return self._folder is not None

    def load(self, kind: str) -> Rows:
        """What an earlier run of this perflour left under a name without dashes."""
        return load(self._name(kind)) if self._folder else {}

    def save(self, kind: str, rows: Rows) -> None:
        if self._folder:
            save(self._name(kind), rows)

    def save_by_path(self, kind: str, kept: Rows, new: Rows, paths: Iterable[str]) -> None:
        """Save new rows over those that were kept, by the paths of formulas; others go."""
        there = frozenset(map(row_key, paths))
        self.save(kind, {path: row for path, row in {**kept, **new}.items() if path in there})

    def load_shelves(self, kind: str, paths: Iterable[str]) -> dict[str, Rows]:
        """By shelf what is kept of a kind that is large, as far as these formulas may be in it.

        A run that tells one of two hundred formulas reads and writes a sixteenth.
        """
        return {shelf: self.load(shelf) for shelf in {shelf_of(kind, path) for path in paths}}

    def _name(self, kind: str) -> str:
        assert self._folder
        return str(self._folder / f"{kind}-{self._tool}.rows")

    def commits(self, head: str) -> dict[str, Commit]:
        """Every commit that a head reaches; only what is new is asked of git."""
        kept = self.load("history")
        commits = self._from_known(kept, head) if kept else None
        if commits is None:
            kept = {}
            found, _ = git.graph(self.repository, head, FORMULA_FILE)
            commits = {c.sha: c for c in with_moves(self.repository, found)}
        if self.keeps and kept.get(HEAD) != as_row(head):
            shas = ((sha.encode(), commit) for sha, commit in commits.items())
            rows = {sha: kept.get(sha) or as_row(_commit_row(commit)) for sha, commit in shas}
            self.save("history", {HEAD: as_row(head), **rows})
        return commits

    def _from_known(self, kept: Rows, head: str) -> dict[str, Commit] | None:
        """The commits from those kept; None where these are no whole history."""
        try:
            known_head, *rows = from_row(b"[%s]" % b",".join(kept.values()))
            commits = {row[0]: _commit(row) for row in rows}
            if known_head != head:
                new, gone = git.graph(self.repository, head, FORMULA_FILE, known_head)
                commits = {sha: c for sha, c in commits.items() if sha not in gone}
                commits.update((c.sha, c) for c in with_moves(self.repository, new))
        except (CannotRun, KeyError, TypeError, ValueError):
            return None
        whole = all(p in commits for c in commits.values() for p in c.parents)
        return commits if whole and head in commits else None


def _commit_row(commit: Commit) -> list[Any]:
    changes = [[c.old_path, c.new_path, c.old_blob, c.new_blob] for c in commit.changes]
    return [commit.sha, commit.date, commit.author, commit.subject, changes, list(commit.parents)]


def _commit(row: list[Any]) -> Commit:
    sha, date, author, subject, changes, parents = row
    words = type(sha) is type(date) is type(author) is type(subject) is str
    if not (words and set(map(type, parents)) <= {str} and all(map(_is_change, changes))):
        raise ValueError(row)
    told = tuple([FileChange(*change) for change in changes])
    return Commit(sha, date, author, subject, told, tuple(parents))


def _is_change(row: list[Any]) -> bool:
    """Whether a row holds two paths and two blobs, one of which may be lacking."""
    old_path, new_path, old_blob, new_blob = map(type, row)
    kinds = (str, NoneType)
    return old_path is new_path is str and old_blob in kinds and new_blob in kinds


def facts_row(facts: Facts) -> bytes:
    """Facts as they are kept: in one piece, so that only those that are needed are read again."""
    figures: list[float] = []
    moved = [
        [*pair, basis, changes_row(changes, figures)]
        for pair, (basis, changes) in facts.moved.items()
    ]
    return as_row([facts.known, moved, figures_as_text(figures)])


def facts_from(row: bytes) -> Facts:
    """The facts in a row of ``facts_row``; none where it is empty or not whole."""
    try:
        known, moved, text = from_row(row or b'[{}, [], ""]')
        figures = figures_from(text)
        facts = Facts(
            {blob: known_from(row) for blob, row in known.items()},
            {
                (old, new): (names_from(basis), changes_from(changes, figures))
                for old, new, basis, changes in moved
            },
        )
        return facts if next(figures, None) is None else Facts()
    except (ValueError, TypeError, AttributeError):
        return Facts()


def slabs(items: Iterable[tuple[Any, int]], most: int) -> Iterable[list[Any]]:
    """Items in lists that hold up to ``most`` by the weights that come with them."""
    held: list[Any] = []
    weight = 0
    for item, more in items:
        if held and weight + more > most:
            yield held
            held, weight = [], 0
        held.append(item)
        weight += more
    if held:
        yield held
