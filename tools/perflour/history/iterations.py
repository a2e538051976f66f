"""The revisions of one formula to iterations: text-only commits folded, each against its true parents."""

import os
from collections.abc import Callable, Sequence

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_file
from perflour.diff.change import Change
from perflour.diff.difference import Comparing
from perflour.formula.digests import Digests, earlier_digest
from perflour.formula.file import read_formula
from perflour.history.lineage import Snapshot
from perflour.history.trials import BakedAs, TrialTold
from perflour.kitchen.house import Kitchen
from perflour.records.bake import Bake
from perflour.result import FileProblem
from perflour.system.git import Commit
from perflour.tuples import NamedTuple


class Move(NamedTuple):
    """What changed against one earlier iteration; ``basis`` names what a formula states as 100 %."""

    against: int
    basis: tuple[str, ...]
    changes: tuple[Change, ...]


class Iteration(NamedTuple):
    """A revision whose balance or method changed.

    ``number`` counts from 1; ``moves`` are against the true parents: none for the first version, two
    and more for a merge, the first parent's first; ``parents`` are the numbers of the iterations it
    came from; ``back_to`` is the number of an earlier iteration with the same digest (a revert, or a
    merge that took one side whole); ``unreadable`` says why the revision could not be weighed.
    ``commit`` is None for the work tree. ``percents`` are the ingredients of the total formula in
    percent of the basis, to 0.01; ``not_weighed`` names those that are in it and of which that is not known, or too low. ``planned`` are the trials whose variants were made of it, ``came_of`` those that
    led to it, ``baked_as`` the bakes of variants that are exactly this revision.
    """

    number: int
    commit: Commit | None
    digest: str
    moves: tuple[Move, ...] = ()
    parents: tuple[int, ...] = ()
    bakes: tuple[Bake, ...] = ()
    back_to: int | None = None
    unreadable: str = ""
    percents: tuple[tuple[str, float], ...] = ()
    planned: tuple[TrialTold, ...] = ()
    came_of: tuple[TrialTold, ...] = ()
    baked_as: tuple[BakedAs, ...] = ()
    not_weighed: tuple[str, ...] = ()


class Event(NamedTuple):
    """What a commit said of a formula besides its balance: ``kind`` is status, title or folder.

    ``iteration`` is the number of the one that was there; ``commit`` is None for the work tree.
    """

    kind: str
    before: str
    after: str
    iteration: int
    commit: Commit | None


class Known(NamedTuple):
    """What is known of a file's content: its formula's digest, header, percents, or what is wrong.

    ``earlier_digest`` is empty until somebody asks for it: see ``Reader.reckoned_before``.
    """

    digest: str = ""
    id: str = ""
    title: str = ""
    status: str = ""
    unreadable: str = ""
    percents: tuple[tuple[str, float], ...] = ()
    earlier_digest: str = ""
    not_weighed: tuple[str, ...] = ()


Blobs = Callable[[str], bytes]
Moved = tuple[tuple[str, ...], tuple[Change, ...]]
# Balances kept while a lineage is walked: its newest revisions and the ends of its branches.
BALANCES_KEPT = 32


class Facts:
    """What was worked out of the contents of one formula, by blob.

    ``known`` and ``moved`` are what this run asked for; ``earlier`` what a run before it left, which
    depends on nothing but those contents, the kitchen and perflour itself.
    """

    def __init__(
        self,
        known: dict[str, Known] | None = None,
        moved: dict[tuple[str, str], Moved] | None = None,
        earlier: "Facts | None" = None,
    ) -> None:
        self.known = known or {}
        self.moved = moved or {}
        self.earlier = earlier

    def lacks(self, blob: str) -> bool:
        """Whether nothing is known of a blob yet."""
        return blob not in self.known and not (self.earlier and blob in self.earlier.known)


class Reader:
    """Contents to facts: each blob weighed once, and each pair compared once."""

    def __init__(self, blobs: Blobs, kitchen: Kitchen, facts: Facts) -> None:
        self.blobs, self.kitchen, self.facts = blobs, kitchen, facts
        self._balances: dict[str, Balance] = {}
        self._comparing = Comparing(kitchen.house)
        self._digests = Digests()

    def known(self, blob: str, path: str) -> Known:
        """What is known of a blob; ``path`` is how its file is called where something is wrong."""
        facts = self.facts
        if blob not in facts.known:
            earlier = facts.earlier.known.get(blob) if facts.earlier else None
            facts.known[blob] = earlier or self._known(blob, path)
        return facts.known[blob]

    def _known(self, blob: str, path: str) -> Known:
        try:
            weighed = self._weighed(blob, path)
        except FileProblem as problem:
            return Known(unreadable=str(problem))
        formula, lines = weighed.formula, weighed.total
        percents = tuple([(t.name, round(t.percent, 2)) for t in lines if t.percent is not None])
        return Known(
            self._digests.of(formula),
            formula.id,
            formula.title,
            formula.status,
            percents=percents,
            not_weighed=_not_weighed(weighed),
        )

    def lacking_earlier_digests(self) -> list[str]:
        """The blobs that are known, but for the digest that they had when digests were reckoned otherwise."""
        known = self.facts.known.items()
        return [blob for blob, one in known if one.digest and not one.earlier_digest]

    def reckoned_before(self) -> dict[str, str]:
        """The digest of each known blob by the one that it had when digests were reckoned otherwise."""
        known, customs = self.facts.known, self.kitchen.catalogue.said.customs
        for blob in self.lacking_earlier_digests():
            before = earlier_digest(read_formula(self.blobs(blob), "", customs))
            known[blob] = known[blob]._replace(earlier_digest=before)
        return {one.earlier_digest: one.digest for one in known.values() if one.digest}

    def moved(self, old: str, new: str) -> Moved:
        """The stated basis and the changes from one readable blob to another."""
        facts, pair = self.facts, (old, new)
        if pair not in facts.moved:
            earlier = facts.earlier.moved.get(pair) if facts.earlier else None
            facts.moved[pair] = earlier or self._moved(old, new)
        return facts.moved[pair]

    def _moved(self, old: str, new: str) -> Moved:
        before, after = self._weighed(old), self._weighed(new)
        return after.formula.basis, self._comparing.changes(before, after)

    def _weighed(self, blob: str, path: str = "") -> Balance:
        if blob not in self._balances:
            while len(self._balances) >= BALANCES_KEPT:
                del self._balances[next(iter(self._balances))]
            self._balances[blob] = weigh_file(self.blobs(blob), path, self.kitchen)
        return self._balances[blob]


def _not_weighed(balance: Balance) -> tuple[str, ...]:
    """The ingredients of the base of which some, or all, have no mass; a part that has none hides all of its own."""
    if balance.basis_g and not balance.unweighed:
        return ()  # every line has a mass, and so its percentage
    known = {line.name for line in balance.total if line.percent is not None}
    named = [w.name for w in balance.unweighed_in_base if not w.line.is_part]
    lines = (w for p in balance.parts if p.in_base for w in p.lines if not w.line.is_part)
    return tuple(dict.fromkeys([*named, *(w.name for w in lines if w.name not in known)]))


class Stand(NamedTuple):
    """Where a revision stands: the place of its iteration, and the blob to compare with next.

    After an unreadable revision both are those of the readable one before it, in ``base``.
    """

    place: int
    base: tuple[int, str] | None


class Trail:
    """The iterations of one formula while its revisions are walked, oldest first."""

    def __init__(self, reader: Reader) -> None:
        self.reader = reader
        self.iterations: list[Iteration] = []
        self.text_only = 0
        self.events: list[Event] = []
        self._first: dict[str, int] = {}  # the number of the first iteration of a digest

    def walk(self, snapshots: Sequence[Snapshot]) -> list[Stand]:
        """Where each revision stands."""
        stands: list[Stand] = []
        for revision in snapshots:
            parents = [stands[at] for at in revision.parents]
            stands.append(self.step(revision.commit, revision.blob, revision.path, parents))
            if len(revision.parents) == 1:
                before = snapshots[revision.parents[0]]
                here = (revision.commit, revision.blob, revision.path)
                self.note(before, here, stands[-1].place + 1)
        return stands

    def note(self, before: Snapshot, here: tuple[Commit | None, str, str], number: int) -> None:
        """Keep what a commit changed besides the balance: status, title, folder."""
        commit, blob, path = here
        was, now = self.reader.known(before.blob, before.path), self.reader.known(blob, path)
        if (was.status, was.title, before.path) == (now.status, now.title, path):
            return  # as most
        folders = [os.path.basename(os.path.dirname(name)) for name in (before.path, path)]
        for kind, old, new in (("status", was.status, now.status), ("title", was.title, now.title), ("folder", *folders)):  # fmt: skip
            if old and new and old != new:
                self.events.append(Event(kind, old, new, number, commit))

    def step(self, commit: Commit | None, blob: str, path: str, parents: list[Stand]) -> Stand:
        """Add one revision; it makes no iteration where it only changed text."""
        known = self.reader.known(blob, path)
        if len(parents) == 1 and parents[0].base and not known.unreadable:  # as most
            return self._after(parents[0], parents[0].base, commit, blob, known)
        numbers = tuple(dict.fromkeys([parent.place + 1 for parent in parents]))
        bases = {base[0]: base[1] for parent in reversed(parents) if (base := parent.base)}
        bases = dict(reversed(bases.items()))  # the first parent's first, and its blob
        if known.unreadable:
            before = next(iter(bases.items()), None)
            return Stand(self._add(commit, known, (), numbers), before)
        same = next((at for at in bases if self.iterations[at].digest == known.digest), None)
        others = {
            at: base
            for at, base in bases.items()
            if self.iterations[at].digest != known.digest
            and (same is None or not self._before(at, same))
        }
        if same is not None and not others:
            return Stand(same, (same, blob))
        moves = tuple(
            [
                Move(at + 1, *self.reader.moved(base, blob))
                for at, base in others.items()
                if len(others) == 1 or not any(self._before(at, other) for other in others)
            ]
        )
        place = self._add(commit, known, moves, numbers)
        return Stand(place, (place, blob))

    def _after(
        self, parent: Stand, base: tuple[int, str], commit: Commit | None, blob: str, known: Known
    ) -> Stand:
        """Add a revision of one parent that is compared with an iteration."""
        at, before = base
        if self.iterations[at].digest == known.digest:
            self.text_only += commit is not None
            return Stand(at, (at, blob))
        move = Move(at + 1, *self.reader.moved(before, blob))
        place = self._add(commit, known, (move,), (parent.place + 1,))
        return Stand(place, (place, blob))

    def _add(
        self, commit: Commit | None, known: Known, moves: tuple[Move, ...], parents: tuple[int, ...]
    ) -> int:
        number = len(self.iterations) + 1
        back_to = self._first.setdefault(known.digest, number) if known.digest else number
        self.iterations.append(
            Iteration(
                number,
                commit,
                known.digest,
                moves,
                parents,
                back_to=back_to if back_to < number else None,
                unreadable=known.unreadable,
                percents=known.percents,
                not_weighed=known.not_weighed,
            )
        )
        return number - 1

    def _before(self, at: int, later: int) -> bool:
        """Whether an iteration (by place) goes on from another."""
        waiting, seen = [later], {later}
        while waiting:
            for parent in (number - 1 for number in self.iterations[waiting.pop()].parents):
                if parent == at:
                    return True
                if parent > at and parent not in seen:
                    seen.add(parent)
                    waiting.append(parent)
        return False
