"""The files of a formula repository as one commit holds them, in a folder of their own for a while."""

from __future__ import annotations

import os
import posixpath
import re
import tempfile
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from perflour.plain import control
from perflour.result import CannotRun, Result
from perflour.system.file_kinds import BY_FILE
from perflour.system.files import cannot_be_read, not_read
from perflour.system.git import Repository, read_blobs, tree
from perflour.system.opening import NOWHERE, OUTWARDS, Refused
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, SESSIONS

KEPT_NAMES = (*BY_FILE, CHANGELOG_FILE)
#: A link to a link to a link: more than this is a loop.
MOST_LINKS = 40
#: The most files that links of a commit may stand for.
MOST_LINKED = 10_000
#: What file systems take for one name, in bytes.
LONGEST_NAME = 255


@dataclass(frozen=True)
class CheckedOut:
    """A folder with files of a commit; ``refused`` are results of links that lead out of it or nowhere."""

    top: Path
    refused: tuple[Result, ...]


@contextmanager
def checked_out(repository: Repository, commit: str) -> Iterator[CheckedOut]:
    """A folder with the formulas, house files, test bakes, tasting sessions and changelogs of a commit.

    So that all that reads files beside a formula reads those of that commit. The repository and its
    work tree are left alone. Raises CannotRun for a commit with a path that no file can have.
    """
    files, links = tree(repository, commit)
    wanted = {path: blob for path, blob in files.items() if _is_wanted(path)}
    texts = read_blobs(repository, links.values())
    targets = {path: os.fsdecode(texts[blob]) for path, blob in links.items()}
    linked, refused = followed(files, targets)
    wanted |= linked
    contents = read_blobs(repository, wanted.values())
    with tempfile.TemporaryDirectory(prefix="perflour-") as name:
        top = Path(name).resolve()
        (top / ".git").mkdir()  # house files are looked for up to here
        for path, blob in wanted.items():
            lay_out(top, path, contents[blob])
        yield CheckedOut(top, refused)


def lay_out(top: Path, path: str, content: bytes) -> None:
    """Write a file of a commit below a folder that holds nothing but such files.

    Raises CannotRun for a path that is no plain relative one, or that another file is in the way of.
    """
    parts = path.split("/")
    for part in parts:
        if (
            part in ("", ".", "..")
            or part.lower() == ".git"
            or control(part)
            or re.search(r"[\r\n\t]", part)
        ):
            raise CannotRun(f"{path!r}: no path of a file in a commit; mend the commit with git")
        if len(os.fsencode(part)) > LONGEST_NAME:
            raise CannotRun(
                f"{part[:40]!r}...: a name of more than {LONGEST_NAME} bytes; shorten it"
            )
    file = top.joinpath(*parts)
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("xb") as opened:
            opened.write(content)
    except (OSError, ValueError) as error:
        raise CannotRun(
            f"{path!r} of the commit cannot be laid out ({getattr(error, 'strerror', None) or error}); rename it in the commit"
        ) from None


def followed(
    files: Mapping[str, str], targets: Mapping[str, str]
) -> tuple[dict[str, str], tuple[Result, ...]]:
    """The blobs that wanted links lead to, by the path of the link, and results of the others.

    ``files`` are the blobs of plain files, ``targets`` what links say; a link is followed as in a work
    tree: where it stays inside the commit. Raises CannotRun for links to more than MOST_LINKED files.
    """
    found: dict[str, str] = {}
    refused: list[Result] = []
    records: dict[str, list[str]] = defaultdict(list)
    for path in files if targets else ():
        if path.endswith(".yaml"):
            records[posixpath.dirname(path)].append(path)
    for path in targets:
        parts = PurePosixPath(path).parts
        is_folder = parts[-1:] in ((BAKES,), (SESSIONS,))
        if not is_folder and not _is_wanted(path):
            continue
        end, wrong = _end_of(path, targets)
        if not wrong and not is_folder and end not in files:
            wrong = NOWHERE
        if wrong:
            refused.append(not_read(path, cannot_be_read(Refused(wrong, path))))
        elif is_folder:
            found |= {f"{path}/{posixpath.basename(one)}": files[one] for one in records[end]}
        else:
            found[path] = files[end]
        if len(found) > MOST_LINKED:
            raise CannotRun(
                f"links of the commit lead to more than {MOST_LINKED} files; take them out"
            )
    return found, tuple(refused)


def _end_of(path: str, targets: Mapping[str, str]) -> tuple[str, str]:
    """The path that a link ends at, and what is wrong with it."""
    for _ in range(MOST_LINKS):
        parts = path.split("/")
        link = next(
            (at for n in range(1, len(parts) + 1) if (at := "/".join(parts[:n])) in targets), None
        )
        if link is None:
            return path, ""
        rest = parts[link.count("/") + 1 :]
        if targets[link].startswith("/"):
            return path, OUTWARDS
        path = posixpath.normpath(posixpath.join(posixpath.dirname(link), targets[link], *rest))
        if path.startswith("../") or path in ("..", "."):
            return path, OUTWARDS
    return path, NOWHERE


def as_committed(results: Iterable[Result], top: Path) -> tuple[Result, ...]:
    """Results of files in such a folder, with their places as the repository names them."""
    return tuple(
        result._replace(place=result.place._replace(path=result.place.path.removeprefix(f"{top}/")))
        for result in results
    )


def formula_beside(path: str) -> str:
    """The formula file of the folder that a formula shares with its records and changelog."""
    folder = posixpath.dirname(path)
    if posixpath.basename(folder) in (BAKES, SESSIONS):
        folder = posixpath.dirname(folder)
    return posixpath.join(folder, FORMULA_FILE)


def _is_wanted(path: str) -> bool:
    parts = PurePosixPath(path).parts
    is_record = len(parts) > 1 and parts[-2] in (BAKES, SESSIONS) and path.endswith(".yaml")
    return is_record or (bool(parts) and parts[-1] in KEPT_NAMES)
