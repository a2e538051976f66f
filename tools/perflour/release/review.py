"""Two commits to a review: what a branch does to formulas and records, for those who decide on it.

A branch is judged against the commit it started from, as hosts show it: what came to the other branch
meanwhile is not its doing, but what merging into its tip will leave is told. Everything is read as the two
commits hold it: formulas, house files, test bakes, tastings, changelogs. What stands against a branch, and
how much, is policy.py.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain
from pathlib import Path, PurePosixPath

from perflour.balance.allergens import brought
from perflour.balance.balance import Balance
from perflour.diff.difference import Difference, added_or_removed
from perflour.formula.formula import APPROVED
from perflour.lint.baseline import results_not_in, results_of_one_side
from perflour.lint.judging import covers
from perflour.release.both_sides import worked_out
from perflour.release.branch import Branch, branch_of
from perflour.release.evidence import RecordChange, Sides, name_only, record_changes
from perflour.release.house_changes import HouseChange, house_changes
from perflour.release.policy import IDS, tightened, verdict_of
from perflour.release.preview import MergePreview, merges_ahead
from perflour.release.reviewed import Reviewed, merge_reasons, record_reasons, with_reasons
from perflour.release.sides import (
    Side,
    digests_in_history,
    folder_name,
    marks_in_history,
)
from perflour.release.statuses import UNREADABLE
from perflour.result import Result
from perflour.system import git
from perflour.system.file_kinds import BY_FILE, BY_FOLDER, KITCHEN_FILES
from perflour.system.paths import FORMULA_FILE, SESSIONS, TRIALS, under
from perflour.tuples import NamedTuple


class Review(NamedTuple):
    """What a branch changes; ``others`` are new results on files that are no formulas.

    ``weights`` is the policy: how much each reason weighs here.
    """

    base: str
    head: str
    start: str
    end: str
    formulas: tuple[Reviewed, ...]
    house: tuple[HouseChange, ...]
    others: tuple[Result, ...]
    records: tuple[RecordChange, ...] = ()
    merges: tuple[MergePreview, ...] = ()
    weights: Mapping[str, str] = tightened(())

    @property
    def reasons(self) -> tuple[str, ...]:
        """All that stands against the branch, of policy.REASONS."""
        held = {reason for formula in self.formulas for reason in formula.reasons}
        held |= {result.level for result in self.others}
        held |= {reason for record in self.records for reason in record_reasons(record)}
        held |= {reason for merge in self.merges for reason in merge_reasons(merge)}
        if self.house:
            held.add("house")
        return tuple(reason for reason in IDS if reason in held)

    @property
    def verdict(self) -> str:
        """Whether it may be merged, of policy.VERDICTS."""
        return verdict_of(self.reasons, self.weights)

    def weighing(self, weight: str) -> tuple[str, ...]:
        """The reasons that hold and weigh so much."""
        return tuple(reason for reason in self.reasons if self.weights[reason] == weight)


def review(span: str, paths: Sequence[str], stops: Iterable[str] = ()) -> Review:
    """What ``BASE..HEAD`` changes below the paths; an end left out is HEAD. ``stops`` are reasons that stop it too.

    Raises CannotRun for a revision that is not there, and where the two share no commit.
    """
    return review_of(branch_of(span, paths), stops)


def review_of(branch: Branch, stops: Iterable[str] = ()) -> Review:
    """The same, of a branch that git was asked for."""
    changes, limits, repository = branch.changes, branch.limits, branch.blobs.repository
    start, end = branch.start, branch.end
    whole = any(_concerns_all(c.new_path) or _concerns_all(c.old_path) for c in changes)
    came_from = {c.new_path: c.old_path for c in changes if c.old_path != c.new_path}
    old, new, differences = worked_out(branch, whole, came_from)
    records = tuple(_records(branch, old, new))
    is_new = any(
        c.old_blob is None and PurePosixPath(c.new_path).name == FORMULA_FILE for c in changes
    )
    copied = git.copied_files(repository, start, end, FORMULA_FILE) if is_new else {}
    formulas = tuple(
        with_reasons(told, "" if told.status_before else copied.get(told.path, ""))
        for told in _reviewed(old, new, came_from, differences, records)
    )
    return Review(
        branch.base,
        branch.head,
        start,
        end,
        formulas,
        tuple(house_changes(old.kitchen, new.kitchen)),
        _others(old, new),
        records,
        tuple(merges_ahead(repository, (start, branch.tip, end), limits, new.kitchens)),
        tightened(
            (k.house.review for k in chain(old.kitchens.values(), new.kitchens.values())), stops
        ),
    )


def read_any(found: Review, paths: Sequence[str]) -> bool:
    """Whether below the paths one of the two commits holds anything that a review judges."""
    if found.formulas or found.house or found.records or found.others:
        return True
    repository = git.find_repository(Path(paths[0]))
    limits = [repository.relative(path) for path in paths]
    files = chain(*(git.tree(repository, commit)[0] for commit in (found.start, found.end)))
    return any(_is_ours(path) for path in files if under(path, limits))


def _is_ours(path: str) -> bool:
    file = PurePosixPath(path)
    return file.name in BY_FILE or file.parent.name in BY_FOLDER


def _concerns_all(path: str) -> bool:
    """Whether a file may say something of any formula: the kitchen's own, a tasting, a trial with its variants."""
    *folders, name = path.split("/")
    return name in KITCHEN_FILES or folders[-1:] == [SESSIONS] or TRIALS in (*folders, name)


def _records(branch: Branch, old: Side, new: Side) -> Iterator[RecordChange]:
    """The records that differ, with who changed them, and whether an added one is dated back."""
    changes, blobs = [*branch.changes, *branch.known], branch.blobs
    contents = blobs.of(b for c in changes for b in (c.old_blob, c.new_blob) if b)
    files = [
        Sides(
            c.new_path if c.new_blob else c.old_path,
            contents[c.old_blob] if c.old_blob else None,
            contents[c.new_blob] if c.new_blob else None,
            c.old_path,
        )
        for c in changes
    ]
    # where all is called by its digest of today, nobody must know what it was called before
    is_old = not name_only(new.known, files)
    resting: dict[str, set[str]] = {}
    today: dict[str, str] = {}
    newest: dict[str, str] = {}
    for side in (old, new):
        for path, weighed in side.balances.items():
            if not isinstance(weighed, Balance):
                continue
            called = side.called[path]
            if is_old:
                today[called.first] = called.digest
            if weighed.formula.status == APPROVED:
                for name in {weighed.formula.id, folder_name(path)}:
                    resting.setdefault(name, set()).update(called if is_old else (called.digest,))
            if side is old:
                dates = [bake.date for bake in side.bakes.get(path, ())]
                newest[weighed.formula.id] = max(dates, default="")
    authors = branch.authors()
    found = list(record_changes(files, authors, resting, today, old.trials))
    if is_old and (
        renamed := {name for record in found if record.is_of_others for name in record.formulas}
    ):
        kitchens = {p: new.kitchens[p] for p, w in new.balances.items() if isinstance(w, Balance) and w.formula.id in renamed and p in new.kitchens}  # fmt: skip
        ever = digests_in_history(blobs, branch.end, kitchens)
        if not ever.items() <= today.items():
            found = list(record_changes(files, authors, resting, today | ever, old.trials))
    for record in found:
        before = max((newest.get(name, "") for name in record.formulas), default="")
        is_late = record.how == "added" and record.is_record and record.date < before
        nowhere = bool(record.led_to) and record.led_to not in _revisions(blobs.repository, branch.end, record, new)  # fmt: skip
        yield record._replace(is_backdated=is_late, leads_nowhere=nowhere)


def _revisions(repository: git.Repository, commit: str, trial: RecordChange, new: Side) -> set[str]:
    """All that revisions of a trial's formula are called: what it is on the branch, then those of its history."""
    folder = PurePosixPath(trial.path).parents[2]
    paths = {(folder / name / FORMULA_FILE).as_posix() for name in trial.formulas}
    here = {mark for path in paths for mark in new.called.get(path, ())}
    return here if trial.led_to in here else here | marks_in_history(repository, commit, paths)


def _reviewed(
    old: Side,
    new: Side,
    came_from: Mapping[str, str],
    differences: Mapping[str, Difference],
    records: Sequence[RecordChange],
) -> Iterator[Reviewed]:
    """Every formula with something to tell, by path."""
    of_formula: dict[str, list[RecordChange]] = {}
    for record in records:
        for name in record.formulas if record.is_record else ():
            of_formula.setdefault(name, []).append(record)
    left = set(old.balances)
    for path, weighed in new.balances.items():
        was = came_from.get(path, path)
        left.discard(was)
        told = _formula(old, was, new, path, weighed, differences.get(path))
        names = dict.fromkeys((told.id, folder_name(path), folder_name(was)))
        own = (record for name in names for record in of_formula.get(name, ()))
        told = told._replace(records=tuple(dict.fromkeys(own)))
        if (
            told.difference
            or told.new
            or told.gone
            or told.records
            or told.waivers
            or told.status != told.status_before
        ):
            yield told
    for path in sorted(left):
        weighed = old.balances[path]
        if path not in new.balances and isinstance(weighed, Balance):
            formula = weighed.formula
            yield Reviewed(
                path=path,
                id=formula.id,
                title=formula.title,
                status="",
                difference=added_or_removed(weighed, None, path),
                status_before=formula.status,
                revision_before=old.called[path].digest,
                bakes_before=old.of_revision(path),
                records=tuple(of_formula.get(formula.id, ())),
            )


def _formula(
    old: Side,
    was: str,
    new: Side,
    path: str,
    weighed: Balance | tuple[Result, ...],
    difference: Difference | None,
) -> Reviewed:
    before = old.balances.get(was)
    known = _renamed(old.results.get(was, ()), was, path)
    now = _own(new.results[path], path)
    gone, fresh = results_of_one_side(known, now)
    name = weighed.formula.id if isinstance(weighed, Balance) else folder_name(path)
    told = Reviewed(
        path=path,
        id=name,
        title=weighed.formula.title if isinstance(weighed, Balance) else name,
        status=weighed.formula.status if isinstance(weighed, Balance) else UNREADABLE,
        bakes=new.of_revision(path),
        new=fresh,
        gone=gone,
        kept=len(now) - len(fresh),
        was=was if was != path else "",
    )
    if isinstance(before, Balance):
        told = told._replace(
            status_before=before.formula.status,
            revision_before=old.called[was].digest,
            bakes_before=old.of_revision(was),
        )
    if not isinstance(weighed, Balance):
        return told
    told = _with_waivers(told, old, was, before, weighed)
    called = new.called[path]
    names = dict.fromkeys((name, folder_name(path), folder_name(was)))
    trials = new.trials_of(path, tuple(names))
    told = told._replace(
        trials=tuple(t for t in trials if t.trial.led_to in called),
        baked_as=tuple(baked for t in trials for baked in t.baked_as(called)),
    )
    difference = difference or added_or_removed(None, weighed, path)
    return _with_balances(told, difference, before if isinstance(before, Balance) else None, weighed, new)  # fmt: skip


def _with_waivers(told: Reviewed, old: Side, was: str, before: object, after: Balance) -> Reviewed:
    """The waivers that are new, and those of them that waive what was not there before."""
    known = before.formula.waivers if isinstance(before, Balance) else ()
    had = {(waiver.rule, waiver.item, waiver.because) for waiver in known}
    new = tuple(w for w in after.formula.waivers if (w.rule, w.item, w.because) not in had)
    if not isinstance(before, Balance):
        return told._replace(waivers=new)
    said = (*old.results.get(was, ()), *old.unwaived.get(was, ()))
    caused = tuple(w for w in new if not any(covers(w, r.rule, r.subject) for r in said))
    return told._replace(waivers=new, caused=caused)


def _with_balances(
    told: Reviewed, difference: Difference, before: Balance | None, after: Balance, new: Side
) -> Reviewed:
    """What the balances of both sides add to a formula that can be read."""
    called = new.called[told.path]
    is_new = before is None or told.revision_before != called.digest
    had, has = _brought(before), _brought(after)
    changelog = new.changelogs[told.path]
    return told._replace(
        difference=None if difference.is_empty else difference,
        revision=called.digest,
        is_new_revision=is_new,
        changelog_behind=is_new
        and changelog is not None
        and not any(mark in changelog for mark in called),
        allergens=tuple((name, by) for name, by in has.items() if name not in had),
        allergens_gone=tuple(name for name in had if name not in has),
    )


def _brought(balance: Balance | None) -> dict[str, tuple[str, ...]]:
    """The allergens of both lists with what brings them."""
    if balance is None:
        return {}
    us, eu = brought(balance)
    return {one.allergen: one.by for one in (*eu, *us)}


def _own(results: Iterable[Result], path: str) -> tuple[Result, ...]:
    """What is said of a file itself; results of the house files come with every file of a run."""
    return tuple(result for result in results if result.place.path == path)


def _renamed(results: Iterable[Result], was: str, path: str) -> tuple[Result, ...]:
    return tuple(r._replace(place=r.place._replace(path=path)) for r in _own(results, was))


def _others(old: Side, new: Side) -> tuple[Result, ...]:
    """New results on test bakes and house files."""
    known, now = (
        tuple(
            dict.fromkeys(
                result
                for results in side.results.values()
                for result in results
                if result.place.path not in side.balances
            )
        )
        for side in (old, new)
    )
    return results_not_in(known, now)
