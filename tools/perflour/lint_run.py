"""A run of lint over many files: on several cores, and from what an earlier run found."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from perflour.check import check_path
from perflour.files import named_paths
from perflour.parallel import ENOUGH_ITEMS, spread_out
from perflour.result import Result
from perflour.source import MAX_BYTES


class Checked(NamedTuple):
    """How many files were read and what was found in them, in order of the files."""

    files: int
    results: tuple[Result, ...]


def check_names(names: Iterable[str], jobs: int = 0, remember: bool = True) -> Checked:
    """Check the files that names stand for; ``jobs`` 0 is as many as there are cores.

    With ``remember``, results of unchanged files come from the cache of the repository's git
    folder, in runs long enough for that to pay. Raises CannotRun.
    """
    paths = list(named_paths(names))
    if remember and len(paths) >= ENOUGH_ITEMS:
        from perflour.lint_cache import check_with_cache

        found = check_with_cache(paths, jobs)
    else:
        found = spread_out(check_path, paths, jobs)
    return Checked(len(paths), tuple(dict.fromkeys(r for results in found for r in results)))


def excerpts(results: Iterable[Result]) -> dict[tuple[str, int], str]:
    """The lines that results are about, by path and line; none for what cannot be read again."""
    wanted: dict[str, set[int]] = {}
    for result in results:
        wanted.setdefault(result.place.path, set()).add(result.place.line)
    found: dict[tuple[str, int], str] = {}
    for path, numbers in wanted.items():
        try:
            with open(path, "rb", buffering=0) as file:
                content = file.read(MAX_BYTES) or b""
        except OSError:
            continue
        if b"\r" in content:
            content = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        lines = content.split(b"\n")
        for number in numbers:
            if number <= len(lines):
                found[path, number] = lines[number - 1].decode("utf-8", "replace")
    return found
