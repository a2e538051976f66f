"""A commit graph to the revisions of every formula: each with its true parents, renames followed.

Commits stand in an order that hangs on nothing but the graph: parents first, the first parent's line
before the others'. No date and no hash decides, so rebasing and amending keep it.
"""

from collections.abc import Iterator, Sequence

from perflour.system.git import Commit
from perflour.tuples import NamedTuple


class Snapshot(NamedTuple):
    """What one commit left of one formula.

    ``parents`` are places in the same list of revisions, the first parent's first: none for the
    first revision, more than one for a merge of lines that both went on. ``blob`` of such a merge
    may be that of a parent: it took one side whole.
    """

    commit: Commit
    path: str
    blob: str
    parents: tuple[int, ...]


class Lineage(NamedTuple):
    """All revisions of one formula, oldest first; ``head`` is the place of the one that is there now."""

    snapshots: tuple[Snapshot, ...]
    head: int


def in_order(commits: dict[str, Commit], head: str) -> list[Commit]:
    """The commits that a head reaches, parents first; without recursion, histories are long."""
    order: list[Commit] = []
    seen = {head}
    trail = [(commits[head], iter(commits[head].parents))] if head in commits else []
    while trail:
        commit, parents = trail[-1]
        for parent in parents:
            if parent not in seen and parent in commits:
                seen.add(parent)
                trail.append((commits[parent], iter(commits[parent].parents)))
                break
        else:
            order.append(commit)
            trail.pop()
    return order


def lineages(order: Sequence[Commit]) -> dict[str, Lineage]:
    """The lineage of every formula of the last commit, by its path there."""
    return _Walk(order).by_path() if order else {}


class _State(NamedTuple):
    """What a commit holds: by path, the revision of each formula there, and of those deleted. Both are filled."""

    there: dict[str, int]
    gone: dict[str, int]

    def copied(self) -> "_State":
        return _State(self.there.copy(), self.gone.copy())


class _Walk:
    """One pass over the commits; revisions of all formulas in one list, joined by lineage."""

    def __init__(self, order: Sequence[Commit]) -> None:
        self.snapshots: list[Snapshot] = []
        self.lineage: list[int] = []  # by revision; a lineage is named by its first revision
        self.joined: dict[int, int] = {}  # lineages that a merge found to be one formula
        here = {commit.sha for commit in order}
        self.children = dict.fromkeys(here, 0)
        for commit in order:
            for parent in commit.parents:
                if parent in here:
                    self.children[parent] += 1
        self.states: dict[str, _State] = {}
        for commit in order:
            self._pass(commit, [p for p in dict.fromkeys(commit.parents) if p in here])
        self.last = self.states[order[-1].sha]

    def by_path(self) -> dict[str, Lineage]:
        wanted: dict[int, list[int]] = {self._root(at): [] for at in self.last.there.values()}
        for at in range(len(self.snapshots)):
            if (root := self._root(at)) in wanted:
                wanted[root].append(at)
        return {
            path: self._apart(wanted[self._root(at)], at)
            for path, at in sorted(self.last.there.items())
        }

    def _apart(self, places: list[int], head: int) -> Lineage:
        """The revisions at some places, their parents counted among themselves."""
        new = {at: number for number, at in enumerate(places)}
        snapshots = (self.snapshots[at] for at in places)
        return Lineage(
            tuple([Snapshot(*r[:3], tuple([new[p] for p in r.parents])) for r in snapshots]),
            new[head],
        )

    def _root(self, at: int) -> int:
        root = self.lineage[at]
        while root in self.joined:
            root = self.joined[root]
        return root

    def _pass(self, commit: Commit, parents: list[str]) -> None:
        states = [self._state_of(parent) for parent in parents]
        state = states[0] if states else _State({}, {})
        others = states[1:]
        kept = dict(state.there) if others else {}
        before = {c.new_path: state.there.pop(c.old_path, None) for c in commit.changes}
        for change in commit.changes:
            own = before[change.new_path]
            if change.new_blob is None:
                if own is not None:
                    state.gone[change.new_path] = own
                continue
            if own is None:
                own = state.gone.pop(change.new_path, None)
            state.there[change.new_path] = self._snapshot(
                commit, change.new_path, change.new_blob, own, others
            )
        self.states[commit.sha] = state
        if not others:
            return
        changed = {c.old_path for c in commit.changes} | {c.new_path for c in commit.changes}
        for other in others:
            for path, theirs in self._theirs(kept, other):
                if path not in changed:
                    state.there[path] = self._merged(commit, path, state.there[path], theirs)

    def _state_of(self, parent: str) -> _State:
        """A parent's state: its own where no other child will ask for it any more."""
        self.children[parent] -= 1
        return self.states[parent].copied() if self.children[parent] else self.states.pop(parent)

    def _snapshot(
        self, commit: Commit, path: str, blob: str, own: int | None, others: list[_State]
    ) -> int:
        """The revision that a change leaves: a new one, or for a merge one that a parent has."""
        if not others:
            return self._add(commit, path, blob, [] if own is None else [own])
        parents = [own, *(self._counterpart(own, path, other) for other in others)]
        known = [at for at in dict.fromkeys(parents) if at is not None]
        for at in known:
            if self.snapshots[at].blob == blob and self._all_before(known, at):
                return at
        return self._add(commit, path, blob, known)

    def _merged(self, commit: Commit, path: str, ours: int, theirs: int) -> int:
        """What a merge leaves that kept our side of a file."""
        blob = self.snapshots[ours].blob
        if self.snapshots[theirs].blob == blob or self._all_before([theirs], ours):
            self._join(ours, theirs)
            return ours
        return self._add(commit, path, blob, [ours, theirs])

    def _theirs(self, kept: dict[str, int], other: _State) -> Iterator[tuple[str, int]]:
        """Formulas of the first parent that stand otherwise in another."""
        there = other.there
        otherwise = [(path, at) for path, at in kept.items() if there.get(path) != at]
        if not otherwise:
            return
        left = {self._root(at): at for path, at in there.items() if kept.get(path) != at}
        for path, at in otherwise:
            theirs = left.get(self._root(at), there.get(path))
            if theirs is not None and theirs != at:
                yield path, theirs

    def _counterpart(self, own: int | None, path: str, other: _State) -> int | None:
        """The same formula in another parent: of one lineage, else at the same path."""
        there = other.there.get(path)
        if own is None:
            return there
        root = self._root(own)
        if there is not None and self._root(there) == root:
            return there
        return next((at for at in other.there.values() if self._root(at) == root), there)

    def _add(self, commit: Commit, path: str, blob: str, parents: list[int]) -> int:
        at = len(self.snapshots)
        self.snapshots.append(Snapshot(commit, path, blob, tuple(parents)))
        self.lineage.append(self._root(parents[0]) if parents else at)
        for parent in parents[1:]:
            self._join(at, parent)
        return at

    def _join(self, one: int, other: int) -> None:
        first, second = sorted((self._root(one), self._root(other)))
        if first != second:
            self.joined[second] = first

    def _all_before(self, those: list[int], at: int) -> bool:
        """Whether a revision goes on from all of those, or is one of them."""
        wanted = set(those) - {at}
        waiting, seen = [at], {at}
        least = min(wanted, default=at)
        while waiting and wanted:
            for parent in self.snapshots[waiting.pop()].parents:
                if parent >= least and parent not in seen:
                    seen.add(parent)
                    wanted.discard(parent)
                    waiting.append(parent)
        return not wanted
