"""The files of a formula repository as one commit holds them, in a folder of their own for a while."""

from __future__ import annotations

import os
import posixpath
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import PurePosixPath

from perflour.plain import control
from perflour.result import CannotRun, Result
from perflour.system.blobs import Blobs
from perflour.system.file_kinds import BY_FILE
from perflour.system.files import cannot_be_read, not_read
from perflour.system.git import Tree
from perflour.system.held import holding
from perflour.system.opening import NOWHERE, OUTWARDS, Refused
from perflour.system.paths import BAKES, CHANGELOG_FILE, FORMULA_FILE, SESSIONS
from perflour.tuples import NamedTuple

KEPT_NAMES = (*BY_FILE, CHANGELOG_FILE)
#: A link to a link to a link: more than this is a loop.
MOST_LINKS = 40
#: The most files that links of a commit may stand for.
MOST_LINKED = 10_000
#: What file systems take for one name, in bytes.
LONGEST_NAME = 255

_LINE = re.compile(r"[\r\n\t]")


class CheckedOut(NamedTuple):
    """The files of a commit below ``top``; ``refused`` are results of links that lead out of it or nowhere."""

    top: str
    files: Sequence[str]
    refused: tuple[Result, ...]


class Wanted(NamedTuple):
    """The formulas, house files, test bakes, tasting sessions and changelogs of a commit: the blob of each path.

    ``refused`` are results of links that lead out of the commit or nowhere.
    """

    commit: str
    blobs: Mapping[str, str]
    refused: tuple[Result, ...]


def wanted_of(blobs: Blobs, commit: str, tree: Tree) -> Wanted:
    """What we read of a commit's plain files and links. Raises CannotRun for a path that no file can have."""
    wanted = {path: blob for path, blob in tree.files.items() if _is_wanted(path)}
    texts = blobs.of(tree.links.values())
    targets = {path: os.fsdecode(texts[blob]) for path, blob in tree.links.items()}
    linked, refused = followed(tree.files, targets)
    wanted |= linked
    refuse_strange(wanted)
    return Wanted(commit, wanted, refused)


@contextmanager
def checked_out(blobs: Blobs, wanted: Wanted) -> Iterator[CheckedOut]:
    """The files of a commit in a folder, so that all that reads files beside a formula reads those of that commit.

    The folder stands nowhere: see held.
    """
    contents = blobs.of(wanted.blobs.values())
    files = {path: contents[blob] for path, blob in wanted.blobs.items()}
    with holding(wanted.commit, files) as held:
        yield CheckedOut(held.top, tuple(files), wanted.refused)


def refuse_strange(paths: Iterable[str]) -> None:
    """Raises CannotRun for a path of a commit that is no plain relative one, or that no file can have."""
    plain: set[str] = set()  # most parts are of many paths
    for path in paths:
        for part in path.split("/"):
            if part in plain:
                continue
            if part in ("", ".", "..") or part.lower() == ".git" or control(part) or _LINE.search(part):  # fmt: skip
                raise CannotRun(f"{path!r}: no path of a file in a commit; mend the commit with git")  # fmt: skip
            if len(os.fsencode(part)) > LONGEST_NAME:
                raise CannotRun(
                    f"{part[:40]!r}...: a name of more than {LONGEST_NAME} bytes; shorten it"
                )
            plain.add(part)


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


def as_committed(results: Iterable[Result], top: str) -> tuple[Result, ...]:
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
    parts = [part for part in path.split("/") if part not in ("", ".")]
    is_record = len(parts) > 1 and parts[-2] in (BAKES, SESSIONS) and path.endswith(".yaml")
    return is_record or (bool(parts) and parts[-1] in KEPT_NAMES)
