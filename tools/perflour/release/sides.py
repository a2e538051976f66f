"""One commit of a repository as a review needs it: formulas weighed, lint's results, records, house files."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from pathlib import PurePosixPath

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.formula.digests import Called, digest, marks
from perflour.formula.file import read_or_tell
from perflour.formula.formula import Formula
from perflour.history.trials import TrialTold, trials_in
from perflour.kitchen.house import Kitchen, Kitchens
from perflour.lint.check import check_all, check_balance, check_weighed
from perflour.records.bake import Bake, bakes_in
from perflour.result import Result
from perflour.system import git
from perflour.system.blobs import Blobs, read_blobs
from perflour.system.checkout import CheckedOut, as_committed
from perflour.system.file_kinds import KITCHEN_FILES
from perflour.system.files import InputFile, named_paths, read_or_refused, refusal
from perflour.system.opening import is_file, is_there
from perflour.system.parallel import TOGETHER
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, TRIALS, under
from perflour.tuples import NamedTuple

Found = Mapping[str, tuple[Result, ...]]


class Side(NamedTuple):
    """One commit: its formulas weighed, what lint says by path, and the folder's state beside them.

    ``bakes`` are all of a formula that can be read; ``unwaived`` is what rules say of formulas with waivers
    when these are left out, ``called`` what each that can be read is called. ``trials`` are all that lie beside the
    formulas, each with the path of its record in the repository. ``known`` are the digests of both sides.
    """

    balances: dict[str, Balance | tuple[Result, ...]]
    kitchens: dict[str, Kitchen]
    results: Found
    bakes: dict[str, tuple[Bake, ...]]
    changelogs: dict[str, str | None]
    kitchen: dict[str, bytes]
    unwaived: dict[str, tuple[Result, ...]]
    called: dict[str, Called]
    trials: tuple[TrialTold, ...] = ()
    known: frozenset[str] = frozenset()

    def of_revision(self, path: str) -> tuple[Bake, ...]:
        """The test bakes of exactly the revision that a formula has here."""
        if path not in self.called:
            return ()
        called = self.called[path]
        return tuple(b for b in self.bakes.get(path, ()) if b.of == called.digest or self._is_first(b.of, called))  # fmt: skip

    def _is_first(self, mark: str, called: Called) -> bool:
        """Whether a revision was called so first; what is known today is not asked, which spares to reckon that."""
        return mark not in self.known and mark == called.first

    def trials_of(self, path: str, names: Sequence[str]) -> tuple[TrialTold, ...]:
        """The trials beside a formula that are of it, by one of its names."""
        if not self.trials:
            return ()
        folder = PurePosixPath(path).parent.parent
        return tuple(t for t in self.trials if t.trial.formula in names and PurePosixPath(t.path).parents[2] == folder)  # fmt: skip


class Weighed(NamedTuple):
    """The formulas of a commit as far as it matters, weighed; what rules say of them is asked in parts, by ``asks``.

    ``files`` are all of its files, absolute, below ``top``; ``refused`` are results of links by path.
    """

    top: str
    limits: Sequence[str]
    files: Sequence[str]
    sources: Sequence[InputFile]
    balances: dict[str, Balance | tuple[Result, ...]]
    kitchens: Kitchens
    refused: dict[str, tuple[Result, ...]]

    def asks(self) -> Iterator[Callable[[], list[Judged]]]:
        """What is to be asked of the formulas that could be weighed, some at a time."""
        weighed = self._formulas()
        for at in range(0, len(weighed), TOGETHER):
            yield partial(_judged, weighed[at : at + TOGETHER], self.kitchens)

    def side(self, judged: Iterable[Judged]) -> Side:
        """The side of the commit, with the answers to what was asked, in that order."""
        told = dict(zip([source.path for source, _ in self._formulas()], judged, strict=True))
        others = [f for f in self.files if f not in told]
        # in this process: the records are read once, here, for lint and as bakes
        found = dict(zip(others, check_all(others, 1, self.kitchens), strict=True))
        found |= {path: one.results for path, one in told.items()}
        top, kitchens, balances = self.top, self.kitchens, self.balances
        beside = {path: f"{top}/{os.path.dirname(path)}" for path in balances}
        return Side(
            balances,
            {s.shown: kitchens.of(s.path) for s in self.sources},
            {_below(f, top): as_committed(found[f], top) for f in self.files} | self.refused,
            {path: bakes_in(folder)[0] for path, folder in beside.items()},
            {path: _text(f"{folder}/{CHANGELOG_FILE}") for path, folder in beside.items()},
            {
                _below(f, top): read_or_refused(f).content
                for f in self.files
                if os.path.basename(f) in KITCHEN_FILES
            },
            {s.shown: _unwaived(s.path, balances[s.shown], kitchens) for s in self.sources},
            {s.shown: Called(w.formula, told[s.path].digest) for s, w in self._formulas()},
            tuple(
                _trials(
                    top, {*map(os.path.dirname, beside.values()), *_above_trials(top, self.limits)}
                )
            ),
        )

    def _formulas(self) -> list[tuple[InputFile, Balance]]:
        every = ((source, self.balances[source.shown]) for source in self.sources)
        return [(source, weighed) for source, weighed in every if isinstance(weighed, Balance)]


class Judged(NamedTuple):
    """What rules say of a formula, told at the places where it was read, and its digest."""

    results: tuple[Result, ...]
    digest: str


def _judged(formulas: Sequence[tuple[InputFile, Balance]], kitchens: Kitchens) -> list[Judged]:
    rows = check_weighed(formulas, kitchens)
    return [Judged(told, digest(w.formula)) for (_, w), told in zip(formulas, rows, strict=True)]


def weighed_at(there: CheckedOut, limits: Sequence[str], changed: set[str] | None) -> Weighed:
    """A commit as far as it matters: the formulas beside changed files, all where ``changed`` is None."""
    top = there.top
    places = (top if limit == "." else f"{top}/{limit}" for limit in limits)
    files = list(named_paths([place for place in places if is_there(place)]))
    refused: dict[str, tuple[Result, ...]] = {
        r.place.path: (r,) for r in there.refused if under(r.place.path, limits)
    }
    if changed is not None:
        folders = {formula_folder(path) for path in changed}
        files = [f for f in files if formula_folder(_below(f, top)) in folders]
        refused = {p: told for p, told in refused.items() if formula_folder(p) in folders}
    formulas = [f for f in files if os.path.basename(f) == FORMULA_FILE]
    sources = [read_or_refused(f)._replace(shown=_below(f, top)) for f in formulas]
    kitchens = Kitchens(of_commit=True)
    balances: dict[str, Balance | tuple[Result, ...]] = {
        s.shown: _weighed(s, kitchens.of(s.path)) for s in sources
    }
    balances |= {p: told for p, told in refused.items() if p.endswith(f"/{FORMULA_FILE}")}
    return Weighed(top, limits, files, sources, balances, kitchens, refused)


def _above_trials(top: str, limits: Sequence[str]) -> Iterator[str]:
    """The folders of formulas beside whose trials, or inside of these, a limit lies: the trial is known there too."""
    for limit in limits:
        parts = PurePosixPath(limit).parts
        if TRIALS in parts:
            yield "/".join((top, *parts[: parts.index(TRIALS)]))


def _trials(top: str, folders: Iterable[str]) -> Iterator[TrialTold]:
    """The trials in some folders of formulas; what is wrong with their records is lint's to say."""
    for folder in sorted(folders, key=lambda path: path.split("/")):
        for told in trials_in(folder):
            yield told._replace(path=_below(told.path, top))


def folder_name(path: str) -> str:
    """How the folder of a file is called."""
    return os.path.basename(os.path.dirname(path))


def formula_folder(path: str) -> str:
    """The folder that a formula shares with its test bakes and its changelog."""
    folder = os.path.dirname(path)
    return os.path.dirname(folder) if os.path.basename(folder) == BAKES else folder


def _below(file: str, top: str) -> str:
    return file.removeprefix(f"{top}/")


def _weighed(source: InputFile, kitchen: Kitchen) -> Balance | tuple[Result, ...]:
    """A formula weighed once: lint is given what the comparison is made of."""
    if source.refused:
        return (refusal(source),)
    return weigh_or_tell(source.content, source.shown, kitchen)


def _unwaived(
    file: str, weighed: Balance | tuple[Result, ...], kitchens: Kitchens
) -> tuple[Result, ...]:
    """What rules say of a formula that has waivers, as if it had none."""
    if not isinstance(weighed, Balance) or not weighed.formula.waivers:
        return ()
    bare = weighed._replace(formula=weighed.formula._replace(waivers=()))
    return check_balance(bare, file, kitchens.of(file))


def _text(path: str) -> str | None:
    """The text of a file that is there; what cannot be read is told as a result of its own."""
    if not is_file(path):
        return None
    return read_or_refused(path).content.decode("utf-8", "replace")


def digests_in_history(
    of_run: Blobs, commit: str, formulas: Mapping[str, Kitchen]
) -> dict[str, str]:
    """The digest of today by the one reckoned first, of each revision that a commit's history has of some formulas.

    ``formulas`` are the kitchens by path.
    """
    commits, _ = git.graph(of_run.repository, commit, FORMULA_FILE)
    blobs = {
        change.new_blob: change.new_path
        for one in commits
        for change in one.changes
        if change.new_blob and change.new_path in formulas
    }
    contents = of_run.of(blobs)
    weighed = (weigh_or_tell(contents[blob], path, formulas[path]) for blob, path in blobs.items())
    called = (marks(one.formula) for one in weighed if isinstance(one, Balance))
    return {first: today for today, first in called}


def marks_in_history(repository: git.Repository, commit: str, paths: set[str]) -> set[str]:
    """All that the revisions of some formulas are called in a commit's history, those under former names too.

    ``paths`` are those of today, or of any day.
    """
    from perflour.history.lineage import in_order, lineages  # few branches have a trial that led
    from perflour.history.store import HistoryStore

    # a gate believes nothing that was kept: docs/team.md
    commits = HistoryStore(repository, remember=False).commits(commit)
    snapshots = [
        snapshot
        for line in lineages(in_order(commits, commit)).values()
        if any(snapshot.path in paths for snapshot in line.snapshots)
        for snapshot in line.snapshots
    ]
    contents = read_blobs(repository, {snapshot.blob for snapshot in snapshots})
    read = (read_or_tell(contents[one.blob], one.path) for one in snapshots)
    return {mark for formula in read if isinstance(formula, Formula) for mark in marks(formula)}
