"""The merge driver: what git runs to merge two changes of a formula file.

Whatever goes wrong in here, git's own merge by lines of text is the result, as if there were no driver.
The file is written beside and renamed: a merge that is killed leaves it as it was.
"""

from collections.abc import Sequence
from pathlib import Path

from perflour.kitchen.house import kitchen_for
from perflour.merge.merge import MARKER_SIZE, NotMerged, merge
from perflour.plain import one_line
from perflour.system.opening import read
from perflour.system.writing import write_file
from perflour.tuples import NamedTuple


class Outcome(NamedTuple):
    """Whether there are conflicts to settle, and what to tell, a line each."""

    has_conflicts: bool
    told: tuple[str, ...]


def merge_files(files: Sequence[str], path: str, marker_size: int = MARKER_SIZE) -> Outcome:
    """Merge the files of base, ours and theirs into that of ours; ``path`` is the formula in the tree.

    Raises OSError where a file cannot be read or written.
    """
    base, ours, theirs = (read(name) for name in files)
    try:
        kitchen = kitchen_for(path)
        merged = merge(base, ours, theirs, kitchen.catalogue, marker_size)
    except NotMerged as reason:
        return _merged_as_text(files, path, marker_size, str(reason))
    except Exception as fault:
        why = f"a fault of our own, {type(fault).__name__}: {fault}"
        return _merged_as_text(files, path, marker_size, why)
    if merged.content != ours:
        write_file(Path(files[1]), merged.content)
    told = tuple(f"{path}: {one_line(about)}" for about in merged.conflicts)
    return Outcome(bool(told), told)


def _merged_as_text(files: Sequence[str], path: str, marker_size: int, why: str) -> Outcome:
    """What git itself makes of the three; ours stays as it is where git cannot merge it either."""
    from perflour.system import git

    content, clean = git.merge_texts(files, marker_size)
    if content is not None:
        write_file(Path(files[1]), content)
    return Outcome(not clean, (f"{path}: merged as plain text ({one_line(why)})",))
