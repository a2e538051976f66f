"""What a save did: what lint finds now, the formula weighed, its ratios against before and against the last commit."""

from __future__ import annotations

import os
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from perflour.asking.watching import Saved, Watch, touched
from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.diff.difference import Difference, difference_between
from perflour.kitchen.house import Kitchen, Kitchens, kitchen_for
from perflour.lint.check import check_all
from perflour.result import CannotRun, Result
from perflour.system import git
from perflour.system.blobs import file_at
from perflour.system.file_kinds import KITCHEN_FILES, kind_of
from perflour.system.files import Listed, named_paths
from perflour.system.parallel import ENOUGH_ITEMS
from perflour.system.paths import display_path


@dataclass(frozen=True)
class FormulaSaved:
    """A formula that a save made another: weighed, against what it was before it and in the last commit.

    ``since_save`` and ``since_commit`` are None where there is nothing to hold it against; ``why_not`` says what is
    lacking in the commit. ``balance`` is None where the file cannot be read now, ``kitchen`` what it is judged with.
    """

    shown: str
    balance: Balance | None
    kitchen: Kitchen
    since_save: Difference | None
    since_commit: Difference | None
    why_not: str = ""


@dataclass(frozen=True)
class Save:
    """One moment at which files were saved.

    ``files`` are those saved, as shown, with `saved`, `new` or `gone`. ``results`` is what lint finds in ``checked``
    files, ``new`` those of them that were not there before; ``gone`` is not found any more. ``of_kitchen``: a house
    file was saved.
    """

    files: tuple[tuple[str, str], ...]
    checked: int
    results: tuple[Result, ...]
    new: frozenset[Result]
    gone: tuple[Result, ...]
    formulas: tuple[FormulaSaved, ...]
    of_kitchen: bool


@dataclass
class Bench:
    """What is known of the files between two saves."""

    watch: Watch
    results: dict[str, tuple[Result, ...]] = field(default_factory=dict)
    kitchens: dict[str, Kitchen] = field(default_factory=dict)

    @property
    def formulas(self) -> list[str]:
        """The formula files, variants of trials too."""
        return [path for path in self.watch.paths if kind_of(path) == "formula"]


def bench(names: Sequence[str]) -> Bench:
    """Everything as it is now. Raises CannotRun for a name that is not there."""
    made = Bench(Watch(names))
    paths = made.watch.paths
    made.results = dict(zip(paths, _linted(paths), strict=True))
    made.kitchens = _kitchens(made.formulas)
    return made


def _linted(paths: Sequence[str]) -> list[tuple[Result, ...]]:
    """As lint finds them, from its cache where that pays."""
    if len(paths) < ENOUGH_ITEMS:
        return check_all(paths)
    from perflour.lint.cache import check_with_cache

    listed: Listed = {}
    for folder in {os.path.dirname(path) for path in paths}:
        list(named_paths([folder], listed, variants=True))
    return check_with_cache(paths, listed, 0)


def _kitchens(formulas: Iterable[str]) -> dict[str, Kitchen]:
    kitchens = Kitchens()
    return {path: kitchens.of(path) for path in formulas}


def saved(known: Bench, saves: Sequence[Saved]) -> Save:
    """What these saves did; the bench knows it from then on."""
    paths = known.watch.paths
    of_kitchen = any(os.path.basename(one.path) in KITCHEN_FILES for one in saves)
    check = touched(saves, paths)
    before = {path: known.results.get(path, ()) for path in check}
    gone_files = [one.path for one in saves if one.path not in paths]
    before |= {path: known.results.pop(path, ()) for path in gone_files}
    after = dict(zip(check, _linted(check), strict=True))
    known.results |= after
    was = {_key(result) for results in before.values() for result in results}
    now = {_key(result) for results in after.values() for result in results}
    results = tuple(dict.fromkeys(r for found in after.values() for r in found))
    gone = dict.fromkeys(r for found in before.values() for r in found if _key(r) not in now)
    return Save(
        tuple((display_path(one.path), _what(one)) for one in saves),
        len(check),
        results,
        frozenset(r for r in results if _key(r) not in was),
        tuple(gone),
        tuple(_formulas(known, saves, of_kitchen)),
        of_kitchen,
    )


def _key(result: Result) -> tuple[str, str, str, str]:
    """What makes a result the same after lines above it moved, and the revision has another digest."""
    message = re.sub(r"\b[0-9a-f]{12}\b", "", result.message)
    return result.rule, message, result.subject, result.place.path


def _what(one: Saved) -> str:
    if one.why_not:
        return one.why_not
    if one.after is None:
        return "gone"
    return "new" if one.before is None else "saved"


def _formulas(known: Bench, saves: Sequence[Saved], of_kitchen: bool) -> list[FormulaSaved]:
    """The formulas saved; with the house all that weigh otherwise now."""
    formulas = known.formulas
    old, known.kitchens = known.kitchens, _kitchens(formulas)
    contents = {one.path: one.before for one in saves}
    wanted = formulas if of_kitchen else [path for path in formulas if path in contents]
    made = [
        _formula(path, contents.get(path, known.watch.contents.get(path)), old.get(path), known)
        for path in wanted
    ]
    return [f for f in made if not of_kitchen or (f.since_save and f.since_save.changes)]


def _formula(path: str, before: bytes | None, was: Kitchen | None, known: Bench) -> FormulaSaved:
    shown, kitchen = display_path(path), kitchen_for(path)
    content = known.watch.contents.get(path)
    now = _weighed(content, shown, kitchen)
    if now is None:
        return FormulaSaved(shown, None, kitchen, None, None)
    then = _weighed(before, shown, was or kitchen)
    committed, why_not = _committed(path)
    commit = _weighed(committed, shown, kitchen)
    if committed is not None and commit is None:
        why_not = "the last commit's cannot be read"
    house = kitchen.house
    return FormulaSaved(
        shown,
        now,
        kitchen,
        difference_between(then, now, shown, house) if then else None,
        difference_between(commit, now, shown, house) if commit else None,
        why_not,
    )


def _weighed(content: bytes | None, shown: str, kitchen: Kitchen) -> Balance | None:
    if content is None:
        return None
    weighed = weigh_or_tell(content, shown, kitchen)
    return weighed if isinstance(weighed, Balance) else None


def _committed(path: str) -> tuple[bytes | None, str]:
    """A file as the last commit has it, or why there is none."""
    try:
        repository = git.find_repository(Path(path))
        commit = git.commit_or_none(repository, "HEAD")
        content = file_at(repository, commit, repository.relative(path)) if commit else None
    except CannotRun as problem:
        return None, str(problem)
    return (content, "") if content is not None else (None, "not in the last commit")
