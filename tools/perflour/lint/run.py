"""A run of lint over many files: on several cores, and from what an earlier run found."""

import os
from collections.abc import Iterable, Sequence

from perflour.result import Result
from perflour.system.files import Listed, misnamed, named_paths, not_read
from perflour.system.parallel import ENOUGH_ITEMS
from perflour.system.paths import display_path
from perflour.tuples import NamedTuple
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.lint.cache import Remembered, Results, Told
    from perflour.lint.places import Places


class Checked(NamedTuple):
    """How many files were read and what was found in them, in order of the files.

    ``places`` says where results end and rules have pages, for a report that tells it.
    """

    files: int
    results: tuple[Result, ...]
    places: "Places | None" = None


class Run:
    """A run over some files: what is to be told of them, worked out when it is asked for."""

    def __init__(
        self, paths: Sequence[str], passed_by: "Results", jobs: int, kept: "Remembered | None"
    ) -> None:
        self.paths, self.passed_by, self.jobs, self.kept = paths, passed_by, jobs, kept

    def checked(self) -> Checked:
        """How many files there are and what is found in them."""
        if self.kept:
            found = self.kept.results()
        else:
            from perflour.lint.check import check_all

            found = check_all(self.paths, self.jobs)
        found = [*found, self.passed_by]
        return Checked(len(self.paths), tuple(dict.fromkeys(r for one in found for r in one)))

    def told(self, form: str) -> "Told | None":
        """The report in a form that an earlier run over the same files made, all of them as they are now."""
        return self.kept.told(self._told_as(form)) if self.kept and form else None

    def keep_told(self, form: str, checked: Checked, report: bytes) -> None:
        """Keep the report of what was found for the next run."""
        if self.kept and form:
            from perflour.lint.cache import Told

            levels = tuple(sorted({result.level for result in checked.results}))
            self.kept.keep_told(self._told_as(form), Told(levels, report))

    def _told_as(self, form: str) -> str:
        return repr((form, self.passed_by))


def run_over(names: Iterable[str], jobs: int = 0, remember: bool = True) -> Run:
    """A run over the files that names stand for; ``jobs`` 0 is as many as there are cores.

    With ``remember``, results of unchanged files come from the cache of the repository's git
    folder, in runs long enough for that to pay. Raises CannotRun.
    """
    listed: Listed = {}
    names = list(names)
    paths = list(named_paths(names, listed, variants=True))
    passed_by = tuple([_passed_by(path, right) for path, right in misnamed(listed)])
    kept = None
    if remember and len(paths) >= ENOUGH_ITEMS:
        from perflour.lint.cache import Remembered, cache_folder

        if folder := cache_folder(paths):
            kept = Remembered(folder, paths, listed, jobs, list(map(os.path.abspath, names)))
    return Run(paths, passed_by, jobs, kept)


def check_names(names: Iterable[str], jobs: int = 0, remember: bool = True) -> Checked:
    """Check the files that names stand for, as ``run_over`` says. Raises CannotRun."""
    return run_over(names, jobs, remember).checked()


def _passed_by(path: str, right: str) -> Result:
    """What is told of a file whose name alone keeps it from being read: a gate is not passed by it."""
    return not_read(display_path(path), f"is not read under this name; rename it {right}")
