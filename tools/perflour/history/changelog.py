"""Git history and test bakes to changelogs: what changed in ratios, what was baked, what next."""

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from types import MappingProxyType

from perflour.history.iterations import Blobs, Event, Facts, Iteration, Known, Reader, Stand, Trail
from perflour.history.kept_lineages import Line, as_lines, lines_of
from perflour.history.lineage import Lineage, in_order, lineages
from perflour.history.store import HistoryStore, facts_from, facts_row, shelf_of, slabs
from perflour.history.trials import TrialFiles, TrialTold, read_trials, trials_beside
from perflour.kitchen.house import Kitchen, Kitchens
from perflour.records.bake import Bake, bakes_in
from perflour.records.tasting import Session, session_files, sessions_of
from perflour.result import CannotRun, Result
from perflour.system import git
from perflour.system.blobs import Blobs as BlobsOfRun
from perflour.system.cache import Rows, house_digests, row_key, tool_key
from perflour.system.files import Listed, named_paths, read_bytes
from perflour.system.hashing import sha1_hex, sha256_hex
from perflour.system.parallel import ENOUGH_ITEMS, spread_out
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, TRIALS, asked_for
from perflour.system.unchanged import Signs
from perflour.tuples import NamedTuple
from perflour.typed import TypeVar

# Contents read at once; what one run holds in memory does not grow with the history.
MOST_BLOBS_AT_ONCE = 2000
SHA1_DIGITS = 40
#: What is known of revisions and of pairs of them, a row a formula.
FACTS = "facts"

Outcome = TypeVar("Outcome")


class Changelog(NamedTuple):
    """The iterations of one formula, oldest first.

    ``text_only`` counts commits that changed no ingredient, step or yield; ``loose_bakes`` were
    baked from no revision that is in the history. ``reckoned_before`` gives the digest of a revision by the
    one that it had when digests were reckoned otherwise, where a record names such a one, or who asked
    wanted it. ``events`` are changes of status, title and folder,
    oldest first; ``sessions`` the tastings that had a revision of it; ``trials`` those planned of it, and
    ``trial_problems`` what is wrong with records of trials that may be.
    """

    path: Path
    id: str
    title: str
    status: str
    iterations: tuple[Iteration, ...]
    text_only: int = 0
    loose_bakes: tuple[Bake, ...] = ()
    problems: tuple[Result, ...] = ()
    reckoned_before: Mapping[str, str] = MappingProxyType({})
    events: tuple[Event, ...] = ()
    sessions: tuple[Session, ...] = ()
    trials: tuple[TrialTold, ...] = ()
    trial_problems: tuple[Result, ...] = ()

    @property
    def is_told_in_part(self) -> bool:
        """Whether a record of it cannot be read."""
        return bool(self.problems or self.trial_problems)

    @property
    def authors(self) -> tuple[str, ...]:
        """Everybody who made an iteration, in order of the first."""
        return tuple(dict.fromkeys(i.commit.author for i in self.iterations if i.commit))


class AskedFormula(NamedTuple):
    """One formula whose changelog is asked for: its file, and its lineage where it has a commit.

    ``sessions`` are the files of the tastings that speak of it, with their content, ``trials`` those of the
    trials that may be of it. ``reckoned`` asks for its digests of before.
    """

    path: str
    file: Path
    line: Line | None
    committed: bool
    sessions: tuple[tuple[str, bytes], ...] = ()
    trials: tuple[TrialFiles, ...] = ()
    reckoned: bool = False

    @property
    def lineage(self) -> Lineage | None:
        return self.line.lineage if self.line else None

    @property
    def names(self) -> tuple[str, ...]:
        """The formula as its folder is called and was called: a trial keeps the name of its day."""
        return _names(str(self.file), self.line)

    @property
    def blobs(self) -> list[str]:
        return [r.blob for r in self.lineage.snapshots] if self.lineage else []

    def blob_name(self, content: bytes) -> str:
        """What git calls a content."""
        long = self.lineage is not None and len(self.lineage.snapshots[0].blob) > SHA1_DIGITS
        header = b"blob %d\0" % len(content)
        return (sha256_hex if long else sha1_hex)(header + content)


class Asked(NamedTuple):
    """What the names of a command line ask for, by path, and where earlier work is kept.

    ``paths`` are those of every formula of the repository; ``order`` are its commits, none where only texts are asked
    for; ``signs`` are those of files as they stand, and tell what is in a folder.
    """

    repository: git.Repository
    store: HistoryStore
    formulas: list[AskedFormula]
    paths: frozenset[str]
    order: list[git.Commit]
    signs: Signs


class CommitIterations(NamedTuple):
    """A commit with the iterations it made, each with its formula's changelog; None: not committed."""

    commit: git.Commit | None
    iterations: tuple[tuple[Changelog, Iteration], ...]


class ByCommit(NamedTuple):
    """What the commits did, the newest first; ``unread``: formulas with records that cannot be read."""

    commits: tuple[CommitIterations, ...]
    unread: tuple[Changelog, ...] = ()


def changelogs(
    names: Sequence[str],
    committed: bool = False,
    jobs: int = 0,
    remember: bool = True,
    reckoned: bool = False,
) -> list[Changelog]:
    """The changelog of every formula under the named files and folders, by path.

    A test bake or CHANGELOG.md stands for its formula. ``committed`` leaves out what the work tree
    alone holds; it is what a CHANGELOG.md tells. ``reckoned`` asks for digests of before. Raises CannotRun outside a git repository, for a
    path that is not there and, with ``committed``, in a shallow clone.
    """
    found = asked(names, committed, remember)
    formulas = [one._replace(reckoned=reckoned) for one in found.formulas]
    return worked_out(found, formulas, lambda changelog: changelog, jobs)


def by_commit(
    names: Sequence[str], committed: bool = False, jobs: int = 0, remember: bool = True
) -> ByCommit:
    """What the commits did to the formulas under the named files and folders, the newest first.

    Raises CannotRun as ``changelogs``.
    """
    found = asked(names, committed, remember)
    made: dict[str, list[tuple[Changelog, Iteration]]] = {}
    told = worked_out(found, found.formulas, lambda changelog: changelog, jobs)
    for changelog in told:
        for iteration in changelog.iterations:
            sha = iteration.commit.sha if iteration.commit else ""
            made.setdefault(sha, []).append((changelog, iteration))
    commits = (
        *([None] if "" in made else []),
        *(c for c in reversed(found.order) if c.sha in made),
    )
    return ByCommit(
        tuple(CommitIterations(c, tuple(made[c.sha if c else ""])) for c in commits),
        tuple(changelog for changelog in told if changelog.is_told_in_part),
    )


def asked(
    names: Sequence[str], committed: bool, remember: bool = True, as_text: bool = False
) -> Asked:
    """The formulas under the named files and folders. Raises CannotRun as ``changelogs``.

    ``as_text``: only texts are made of them, which tell nothing of the other files of a commit.
    """
    paths = [Path(os.path.abspath(name)) for name in names]
    for name, named in zip(names, paths, strict=True):
        if not os.path.exists(named):
            raise CannotRun(f"{name}: no such file or folder; check the path")
    paths = [_of_formula(path) for path in paths]
    answer = git.ask_with_head(paths[0])
    tool = tool_key() if remember else ""  # while git looks
    repository, is_shallow, head = answer()
    if committed and is_shallow:
        raise CannotRun(
            "this clone holds only a part of the history; get all of it with `git fetch --unshallow`"
        )
    limits = [repository.relative(path) for path in paths]
    store = HistoryStore(repository, remember, tool)
    # the whole history: a folder may have been renamed into the limits
    order = in_order(store.commits(head), head) if head and not as_text else []
    known = lines_of(store, head) if as_text else as_lines(lineages(order))
    top = str(repository.top)
    there = {p for p in known if asked_for(p, limits) and os.path.isfile(os.path.join(top, p))}
    listed: Listed = {}
    found = sorted(there.union(_formula_files(repository, paths, listed)))
    around = {path: _folder_around(os.path.join(top, path)) for path in found}
    tasted = {at: session_files(at) for at in set(map(_sessions_beside, around.values()))}
    tried = {at: trials_beside(at, tasted.get(at)) for at in set(around.values())}
    formulas = [
        AskedFormula(
            path,
            repository.top / path,
            known.get(path),
            committed,
            tuple(_speaking_of(_folder_name(os.path.join(top, path)), tasted[_sessions_beside(folder)])),
            tuple([t for t in tried[folder] if t.speaks_of(_names(os.path.join(top, path), known.get(path)))]),
        )
        for path, folder in around.items()
    ]  # fmt: skip
    paths_known = frozenset(known).union(source.path for source in formulas)
    signs = Signs(listed, map(str, paths))
    return Asked(repository, store, formulas, paths_known, order, signs)


def _folder_name(file: str) -> str:
    return os.path.basename(os.path.dirname(file))


def _folder_around(file: str) -> str:
    """The folder that a formula's own lies in."""
    return os.path.dirname(os.path.dirname(file))


def _names(file: str, line: Line | None) -> tuple[str, ...]:
    return tuple(
        dict.fromkeys((_folder_name(file), *map(_folder_name, line.paths if line else ())))
    )


def _sessions_beside(folder: str) -> str:
    """The folder that holds the tastings of the formulas in a folder: the kitchen's, of a trial's variants too."""
    above = os.path.dirname(folder)
    return os.path.dirname(above) if os.path.basename(above) == TRIALS else folder


def _speaking_of(
    formula: str, sessions: Iterable[tuple[str, bytes]]
) -> Iterator[tuple[str, bytes]]:
    return ((path, content) for path, content in sessions if formula.encode() in content)


def _of_formula(path: Path) -> Path:
    """The formula of a test bake, of the bakes' folder or of a CHANGELOG.md; else the path itself."""
    if path.name in (CHANGELOG_FILE, BAKES):
        formula = path.parent / FORMULA_FILE
    elif path.parent.name == BAKES and path.name != FORMULA_FILE:
        formula = path.parent.parent / FORMULA_FILE
    else:
        return path
    return formula if os.path.isfile(formula) else path


def _formula_files(repository: git.Repository, paths: list[Path], listed: Listed) -> list[str]:
    """Formula files of the work tree, so that one not committed yet is there too."""
    found = named_paths(map(str, paths), listed)
    return [repository.relative(f) for f in found if os.path.basename(f) == FORMULA_FILE]


def worked_out(
    found: Asked,
    formulas: Sequence[AskedFormula],
    tell: Callable[[Changelog], Outcome],
    jobs: int = 0,
) -> list[Outcome]:
    """What ``tell`` makes of the changelog of each source, on several cores where that pays.

    Contents and pairs that an earlier run has seen are not worked out again.
    """
    shelves = found.store.load_shelves(FACTS, (source.path for source in formulas))
    # facts name no file, and may be carried to another clone
    house = house_digests(found.signs.names, str(found.repository.top))
    houses = {source.path: house(str(source.file.parent)).hex().encode() for source in formulas}
    outcomes: list[Outcome] = []
    new: dict[str, Rows] = {shelf: {} for shelf in shelves}
    for sources_together in slabs(((s, len(s.blobs)) for s in formulas), MOST_BLOBS_AT_ONCE):
        earlier = {
            s.path: _kept(shelves[shelf_of(FACTS, s.path)], s.path, houses[s.path])
            for s in sources_together
        }
        slab = _Slab(found, sources_together, earlier)
        for source, (outcome, facts) in zip(
            sources_together, slab.worked_out(tell, jobs), strict=True
        ):
            outcomes.append(outcome)
            row = b"%s %s" % (houses[source.path], facts)
            new[shelf_of(FACTS, source.path)][row_key(source.path)] = row
    for shelf, kept in shelves.items():
        if any(kept.get(path) != row for path, row in new[shelf].items()):
            found.store.save_by_path(shelf, kept, new[shelf], found.paths)
    return outcomes


def _kept(kept: Rows, path: str, house: bytes) -> bytes:
    """The facts that were kept of a formula; none where another kitchen weighed it."""
    weighed_by, _, facts = kept.get(row_key(path), b"").partition(b" ")
    return facts if weighed_by == house else b""


class _Slab:
    """Some sources with the contents that are needed of them, read by one git process."""

    def __init__(self, found: Asked, formulas: list[AskedFormula], kept: dict[str, bytes]) -> None:
        self.formulas, self.keeps = formulas, found.store.keeps
        self.facts = {s.path: Facts(earlier=facts_from(kept[s.path])) for s in formulas}
        self.contents = BlobsOfRun(found.repository)
        self.kitchens = Kitchens()
        self.first_read = len(self.contents.of(self._wanted()))

    def _wanted(self) -> Iterator[str]:
        """The blobs of which nothing is known yet, and those they will be compared with."""
        for source in self.formulas:
            lacks, blobs = self.facts[source.path].lacks, source.blobs
            for revision in source.lineage.snapshots if source.lineage else ():
                if lacks(revision.blob):
                    yield revision.blob
                    yield from (blobs[at] for at in revision.parents)

    def worked_out(
        self, tell: Callable[[Changelog], Outcome], jobs: int
    ) -> list[tuple[Outcome, bytes]]:
        """The outcome of each source and its facts, where these are kept."""

        def work(source: AskedFormula) -> tuple[Outcome, bytes]:
            facts = self.facts.pop(source.path)
            kitchen = self.kitchens.of(str(source.file))
            changelog = _changelog(source, kitchen, self._content, self.contents.of, facts)
            return tell(changelog), facts_row(facts) if self.keeps else b""

        enough = 2 if self.first_read >= ENOUGH_ITEMS else len(self.formulas) + 1
        return spread_out(work, self.formulas, jobs, enough)

    def _content(self, blob: str) -> bytes:
        """A blob; one of which all seemed known, and which is to be compared, is read by itself."""
        return self.contents.of([blob])[blob]


def _changelog(
    source: AskedFormula,
    kitchen: Kitchen,
    contents: Blobs,
    hold: Callable[[Iterable[str]], object],
    facts: Facts,
) -> Changelog:
    file, lineage = source.file, source.lineage
    here = read_bytes(str(file))
    blob = source.blob_name(here)
    reader = Reader(lambda name: here if name == blob else contents(name), kitchen, facts)
    trail = Trail(reader)
    end = trail.walk(lineage.snapshots)[lineage.head] if lineage else None
    now = trail.step(None, blob, source.path, [end] if end else [])
    bakes, problems = bakes_in(str(file.parent))
    trials, trial_problems = read_trials(source.trials, source.names)
    reckoned_before: dict[str, str] = {}
    if source.reckoned or not _named(bakes, trials) <= {k.digest for k in facts.known.values()}:
        hold(name for name in reader.lacking_earlier_digests() if name != blob)
        reckoned_before = reader.reckoned_before()
    of = {bake: reckoned_before.get(bake.of, bake.of) for bake in bakes}
    iterations = tuple(trail.iterations)
    if bakes or trials:
        iterations = tuple(
            _with_trials(i, trials, reckoned_before)._replace(
                bakes=tuple([b for b in bakes if i.digest and i.digest in (b.of, of[b])])
            )
            for i in iterations
        )
    known = {i.digest for i in iterations}
    if source.committed and iterations[-1].commit is None:
        # a title or status not committed yet is told all the same where it makes no iteration
        iterations, now = iterations[:-1], end or Stand(0, None)
    if lineage and not source.committed:
        trail.note(lineage.snapshots[lineage.head], (None, blob, source.path), now.place + 1)
    header = reader.known(now.base[1], source.path) if now.base else Known()
    return Changelog(
        path=file,
        id=header.id or file.parent.name,
        title=header.title or file.parent.name,
        status=header.status,
        iterations=iterations,
        text_only=trail.text_only,
        loose_bakes=tuple(bake for bake in bakes if known.isdisjoint((bake.of, of[bake]))),
        problems=problems,
        reckoned_before=reckoned_before,
        events=tuple(trail.events),
        sessions=sessions_of(file.parent.name, (path for path, _ in source.sessions)),
        trials=trials,
        trial_problems=trial_problems,
    )


def _named(bakes: Iterable[Bake], trials: Iterable[TrialTold]) -> set[str]:
    """The revisions that records name."""
    led = (mark for told in trials for mark in (told.trial.of, told.trial.led_to))
    return {*(bake.of for bake in bakes), *filter(None, led)}


def _with_trials(
    iteration: Iteration, trials: Sequence[TrialTold], today: Mapping[str, str]
) -> Iteration:
    """An iteration with the trials that were made of it, that led to it, and that baked it."""
    here = iteration.digest
    if not here or not trials:
        return iteration
    return iteration._replace(
        planned=tuple(t for t in trials if here in (t.trial.of, today.get(t.trial.of))),
        came_of=tuple(t for t in trials if here in (t.trial.led_to, today.get(t.trial.led_to))),
        baked_as=tuple(baked for trial in trials for baked in trial.baked_as((here,))),
    )
