"""What `diff` compares: two formulas, two revisions, or a revision and the work tree."""

import os
from collections.abc import Mapping, Sequence
from pathlib import Path, PurePosixPath

from perflour.balance.balance import Balance
from perflour.balance.files import weigh_or_tell
from perflour.diff.difference import Difference, added_or_removed, difference_between
from perflour.kitchen.house import kitchen_for
from perflour.result import CannotRun, Result
from perflour.system import git
from perflour.system.blobs import Blobs
from perflour.system.file_kinds import KITCHEN_FILES
from perflour.system.files import read_bytes
from perflour.system.moves import moved_files
from perflour.system.named import folder_of, formula_file, ids
from perflour.system.paths import FORMULA_FILE, asked_for, display_path
from perflour.tuples import NamedTuple

#: What can be compared without a history.
OR_TWO = ", or name two formulas to compare"


class _Asked(NamedTuple):
    """Two formula files, or up to two revisions and the places below which formulas are compared."""

    files: tuple[Path, ...]
    revisions: Sequence[str] = ()
    places: Sequence[Path] = ()


def differences(words: Sequence[str], paths: Sequence[str] | None) -> list[Difference]:
    """The differences that the words of `perflour diff` ask for, by path.

    ``words`` are two formulas, by file, folder or id, or up to two revisions (one may be written ``A..B``);
    ``paths`` limit which formulas are compared, None where no ``--`` was given. Raises CannotRun.
    """
    asked = _asked(words, paths)
    if asked.files:
        return differences_of_files(*asked.files)
    return differences_of_revisions(asked.revisions, asked.places)


def kitchen_files_that_differ(words: Sequence[str], paths: Sequence[str] | None) -> list[str]:
    """House and ingredients files that differ between the sides that words of `perflour diff` name.

    Both sides are weighed with the kitchen as it is now, so that no formula is told as changed for them.
    Raises CannotRun.
    """
    asked = _asked(words, paths)
    if asked.files:
        return []
    repository, old, new = _commits(asked.revisions, asked.places)
    changed = git.changed_files(repository, old, new, ["."])
    names = (change.new_path for change in changed)
    return sorted(name for name in names if PurePosixPath(name).name in KITCHEN_FILES)


def _asked(words: Sequence[str], paths: Sequence[str] | None) -> _Asked:
    """What words and paths mean. Raises CannotRun."""
    if len(words) > 2:
        raise CannotRun(
            f"diff takes two formulas or at most two revisions, not {len(words)}; put paths after `--`"
        )
    if paths is None and words:
        formulas = [_formula_named(word) for word in words]
        if len(words) == 2 and formulas[0]:
            return _Asked(tuple(formula_file(word) for word in words))
        if formulas[-1]:  # of HEAD or of the revision before it
            words, paths = words[:-1], [formulas[-1]]
    if len(words) == 1 and ".." in words[0]:
        words = [end or "HEAD" for end in words[0].replace("...", "..").split("..", 1)]
    return _Asked((), words, [Path(_formula_named(p, True) or p) for p in paths or ["."]])


def _formula_named(word: str, as_path: bool = False) -> str | None:
    """The path that a word names, by itself or by an id; None for a revision.

    Raises CannotRun for an id that is a revision as well.
    """
    if os.path.exists(word):
        return word
    folder = folder_of(word)
    if folder and not as_path and _is_revision(word):
        raise CannotRun(
            f"'{word}' is the id of {folder} and a revision of git; write {folder}, or {word}^0 for the revision"
        )
    return folder


def _is_revision(word: str) -> bool:
    try:
        return git.commit_or_none(git.find_repository(Path.cwd()), word) is not None
    except CannotRun:  # no repository, or no git
        return False


def differences_of_files(before: Path, after: Path) -> list[Difference]:
    """The difference of two formula files."""
    sides = [
        _Side(display_path(str(path)), read_bytes(str(path)), str(path)) for path in (before, after)
    ]
    difference = _difference_of_sides(sides[0], sides[1])
    return [] if difference.is_empty else [difference]


def differences_of_revisions(revisions: Sequence[str], paths: Sequence[Path]) -> list[Difference]:
    """Formulas that differ between two revisions; with one or none, against the work tree."""
    repository, old, new = _commits(revisions, paths)
    inside = [repository.relative(path) for path in paths]
    for path, inner in zip(paths, inside, strict=True):
        if not os.path.exists(path) and not any(
            git.is_in(repository, c, inner) for c in (old, new) if c
        ):
            raise CannotRun(f"{path}: neither here nor in the revisions compared; check the path")
    changed = git.changed_files(repository, old, new, inside)
    formulas = [c for c in changed if _is_formula(c.new_path) and asked_for(c.new_path, inside)]
    read = Blobs(repository)
    changes = moved_files(read, formulas)
    blobs = read.of(b for c in changes for b in (c.old_blob, c.new_blob) if b)
    found = []
    for change in sorted(changes, key=lambda c: c.new_path):
        sides = _revision_sides(repository, change, blobs, new is None)
        if any(sides):
            found.append(_difference_of_sides(*sides))
    return [difference for difference in found if not difference.is_empty]


def _commits(
    revisions: Sequence[str], paths: Sequence[Path]
) -> tuple[git.Repository, str, str | None]:
    """The repository and the commits that are compared, None for the work tree. Raises CannotRun."""
    repository = git.find_repository(paths[0].absolute(), OR_TWO)
    named = [_commit(repository, revision) for revision in revisions or ["HEAD"]]
    return repository, named[0], named[1] if len(named) > 1 else None


def _commit(repository: git.Repository, revision: str) -> str:
    if sha := git.commit_or_none(repository, revision):
        return sha
    from perflour.system.branches import no_commit  # only on the way to an error

    raise no_commit(repository, revision, OR_TWO, ids)


def _is_formula(path: str) -> bool:
    return PurePosixPath(path).name == FORMULA_FILE


class _Side(NamedTuple):
    """One side of a comparison: how it is called, what it holds, whose kitchen it belongs to."""

    shown: str
    content: bytes
    kitchen_path: str


def _revision_sides(
    repository: git.Repository,
    change: git.FileChange,
    blobs: Mapping[str, bytes],
    to_work_tree: bool,
) -> tuple[_Side | None, _Side | None]:
    path = str(repository.top / change.new_path)
    old = _Side(change.old_path, blobs[change.old_blob], path) if change.old_blob else None
    if to_work_tree:
        new = _Side(display_path(path), read_bytes(path), path) if change.in_work_tree else None
    else:
        new = _Side(change.new_path, blobs[change.new_blob], path) if change.new_blob else None
    return old, new


def _difference_of_sides(old: _Side | None, new: _Side | None) -> Difference:
    weighed = [_weigh(side) for side in (old, new)]
    shown = (new or old).shown  # type: ignore[union-attr]
    problems = tuple(
        result
        for outcome in weighed
        if outcome is not None and not isinstance(outcome, Balance)
        for result in outcome
    )
    before, after = (outcome if isinstance(outcome, Balance) else None for outcome in weighed)
    if problems:
        known = after or before
        name = known.formula.id if known else PurePosixPath(shown).parent.name or shown
        return Difference(
            name, known.formula.title if known else name, shown, before, after, (), (), problems
        )
    if before and after:
        assert new is not None
        return difference_between(before, after, shown, kitchen_for(new.kitchen_path).house)
    return added_or_removed(before, after, shown)


def _weigh(side: _Side | None) -> Balance | tuple[Result, ...] | None:
    """A side weighed, None where it is not there, or what is wrong with it."""
    if side is None:
        return None
    return weigh_or_tell(side.content, side.shown, kitchen_for(side.kitchen_path))
