"""The files of a formula repository as one commit holds them, in a folder of their own for a while."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath

from perflour.result import Result
from perflour.system.file_kinds import BY_FILE
from perflour.system.git import Repository, read_blobs, tree
from perflour.system.paths import BAKES, CHANGELOG_FILE

KEPT_NAMES = (*BY_FILE, CHANGELOG_FILE)


@contextmanager
def checked_out(repository: Repository, commit: str) -> Iterator[Path]:
    """A folder with the formulas, house files, test bakes and changelogs of a commit.

    So that all that reads files beside a formula reads those of that commit. The repository and its
    work tree are left alone.
    """
    blobs = {path: blob for path, blob in tree(repository, commit).items() if _is_wanted(path)}
    contents = read_blobs(repository, blobs.values())
    with tempfile.TemporaryDirectory(prefix="perflour-") as name:
        top = Path(name).resolve()
        (top / ".git").mkdir()  # house files are looked for up to here
        for path, blob in blobs.items():
            file = top / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(contents[blob])
        yield top


def as_committed(results: Iterable[Result], top: Path) -> tuple[Result, ...]:
    """Results of files in such a folder, with their places as the repository names them."""
    return tuple(
        result._replace(place=result.place._replace(path=result.place.path.removeprefix(f"{top}/")))
        for result in results
    )


def _is_wanted(path: str) -> bool:
    parts = PurePosixPath(path).parts
    if any(part in ("..", ".git") for part in parts):  # no sane commit holds such a path
        return False
    is_bake = len(parts) > 1 and parts[-2] == BAKES and path.endswith(".yaml")
    return is_bake or parts[-1] in KEPT_NAMES
