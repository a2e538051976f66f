"""A run of lint over many files: on several cores, and from what an earlier run found."""

import os
from collections.abc import Iterable
from typing import TYPE_CHECKING

from perflour.result import Result
from perflour.system.files import Listed, misnamed, named_paths, not_read
from perflour.system.parallel import ENOUGH_ITEMS
from perflour.system.paths import display_path
from perflour.tuples import NamedTuple

if TYPE_CHECKING:
    from perflour.lint.places import Places


class Checked(NamedTuple):
    """How many files were read and what was found in them, in order of the files.

    ``places`` says where results end and rules have pages, for a report that tells it.
    """

    files: int
    results: tuple[Result, ...]
    places: "Places | None" = None


def check_names(names: Iterable[str], jobs: int = 0, remember: bool = True) -> Checked:
    """Check the files that names stand for; ``jobs`` 0 is as many as there are cores.

    With ``remember``, results of unchanged files come from the cache of the repository's git
    folder, in runs long enough for that to pay. Raises CannotRun.
    """
    listed: Listed = {}
    names = list(names)
    paths = list(named_paths(names, listed, variants=True))
    passed_by = tuple([_passed_by(path, right) for path, right in misnamed(listed)])
    if remember and len(paths) >= ENOUGH_ITEMS:
        from perflour.lint.cache import check_with_cache

        found = check_with_cache(paths, listed, jobs, list(map(os.path.abspath, names)))
    else:
        from perflour.lint.check import check_all

        found = check_all(paths, jobs)
    found = [*found, passed_by]
    return Checked(len(paths), tuple(dict.fromkeys(r for results in found for r in results)))


def _passed_by(path: str, right: str) -> Result:
    """What is told of a file whose name alone keeps it from being read: a gate is not passed by it."""
    return not_read(display_path(path), f"is not read under this name; rename it {right}")
