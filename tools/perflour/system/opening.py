"""The one module that opens, lists and makes what stands in a repository, which a stranger may have filled.

A commit can hold a link to anywhere. So only plain files are read, a link is followed only where it
stays inside the repository, and what is too large is not read at all. Pipes and devices are never
opened. What is refused is an OSError whose ``strerror`` says why, so that it is told like any other
file that cannot be read.
"""

import errno
import os
import sys
from collections.abc import Iterator
from stat import S_ISDIR, S_ISLNK, S_ISREG

from perflour.system.paths import NOWHERE_ON_DISK
from perflour.system.terminal import tell, wishes
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    from perflour.system.held import Held

#: The most that is read of a file or blob of text. Twice what any document may have, so that the
#: reader of documents says what is too long, and where.
MOST_BYTES = 2 << 20
#: The most that is read of a photo, a spreadsheet or a file of earlier work.
MOST_BYTES_OF_BINARY = 64 << 20

NOT_IN = "lies outside the repository"
OUTWARDS = "is a link, or lies behind one, that leads out of the repository"
NOWHERE = "is a link that leads nowhere"

_FLAGS = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_NOCTTY", 0) | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0)  # fmt: skip
_DESCRIPTORS = "/proc/self/fd/"
_KNOWS_DESCRIPTORS = os.path.isdir(_DESCRIPTORS)
#: What a run is told to use, beside what it reads: a name of `perflour.system.paths`.
_READ_AS = {"house.yaml": "house file", "ingredients.yaml": "ingredients of the house", "prices.yaml": "price list"}  # fmt: skip

#: The commits that are held in memory now, by folders below NOWHERE_ON_DISK. `held` fills it.
COMMITS: "dict[str, Held]" = {}

#: How standard input is called.
STANDARD_INPUT = "<stdin>"


class Refused(OSError):
    """What could be opened, but is not: a link out of the repository, a pipe, a device, too large."""

    def __init__(self, reason: str, path: str) -> None:
        super().__init__(errno.EPERM, reason, path)


def read(path: str, most: int = MOST_BYTES) -> bytes:
    """The bytes of a plain file of at most that many. Raises OSError; Refused where it is none."""
    if held := held_at(path):
        return _of_commit(held, path, most)
    # lstat first: opening a device can do something, opening a pipe can wait
    at, found = path, os.lstat(path)
    if S_ISLNK(found.st_mode):
        at = _target(path)
        found = os.lstat(at)
    if not S_ISREG(found.st_mode):
        raise Refused("is a folder" if os.path.isdir(at) else "is no plain file", path)
    handle = os.open(at, _FLAGS)
    try:
        size = os.fstat(handle).st_size
        if size > most:
            raise Refused(_too_large(most), path)
        if at == path:  # the folders above it may be links
            _refuse_outside(path, _real_path(handle, path))
        content = _all_of(handle, size, most, path)
    finally:
        os.close(handle)
    _tell_of(path)
    return content


def held_at(path: str) -> "Held | None":
    """The commit that a path lies in, None for one on a disk: nearly always, so it is seen soonest."""
    if not COMMITS or not path.startswith(NOWHERE_ON_DISK):
        return None
    inner = path[len(NOWHERE_ON_DISK) :].replace(os.sep, "/")
    return COMMITS.get(NOWHERE_ON_DISK + inner.partition("/")[0])


def _of_commit(held: "Held", path: str, most: int) -> bytes:
    if held.names(path) is not None:
        raise Refused("is a folder", path)
    content = held.file(path)
    if content is None:
        raise FileNotFoundError(errno.ENOENT, os.strerror(errno.ENOENT), path)
    if len(content) > most:
        raise Refused(_too_large(most), path)
    if wishes().verbose:
        tell(f"{_READ_AS.get(os.path.basename(path), 'read')}: {held.said}:{held.inner(path)}")  # fmt: skip
    return content


def is_there(path: str) -> bool:
    """Whether anything is at a path. Most is not, and this raises nothing inside."""
    held = held_at(path)
    if held:
        return held.file(path) is not None or held.names(path) is not None
    return os.access(path, os.F_OK)


def lies_there(path: str) -> bool:
    """The same, of a link that leads nowhere too."""
    return is_there(path) if held_at(path) else os.path.lexists(path)


def is_file(path: str) -> bool:
    """Whether a file is at a path."""
    held = held_at(path)
    return held.file(path) is not None if held else os.path.isfile(path)


def is_folder(path: str) -> bool:
    """Whether a folder is at a path."""
    held = held_at(path)
    return held.names(path) is not None if held else os.path.isdir(path)


def _tell_of(path: str) -> None:
    """Which file is read, and what it is to the run, where that was asked for."""
    if wishes().verbose:
        from perflour.system.paths import display_path

        tell(f"{_READ_AS.get(os.path.basename(path), 'read')}: {display_path(path)}")


def read_standard_input(most: int = MOST_BYTES) -> bytes:
    """What is handed in, of at most that many bytes: whoever writes it may never end. Raises Refused."""
    content = sys.stdin.buffer.read(most + 1)
    if len(content) > most:
        raise Refused(_too_large(most), STANDARD_INPUT)
    return content


def read_beside(beside: str, path: str, most: int = MOST_BYTES) -> bytes:
    """As read, of a file that another one names: not out of what that one lies in, be it by ``..``."""
    shown = os.path.abspath(path)
    if (top := _top_of(os.path.abspath(beside))) and not _is_in(shown, top):
        raise Refused(NOT_IN, path)
    return read(shown, most)


def names_in(folder: str) -> list[str]:
    """The names in a folder; none where it is not there. Raises OSError, Refused for a link outwards."""
    if held := held_at(folder):
        return list(held.names(folder) or ())
    try:
        found = os.lstat(folder)
    except FileNotFoundError:
        return []
    if not S_ISDIR(found.st_mode):
        if not S_ISLNK(found.st_mode):
            return []
        _target(folder)
    _refuse_outside(folder, os.path.realpath(folder))
    return os.listdir(folder)


def make_folder(path: str) -> None:
    """A folder with those above it. Raises OSError, Refused where a link would lead it elsewhere."""
    path = os.path.abspath(path)
    _refuse_outside(path, os.path.realpath(path))
    os.makedirs(path, exist_ok=True)


def refuse_folder_outside(path: str) -> None:
    """Raises Refused where the folder a file is to be written to lies behind a link out of the repository."""
    folder = os.path.dirname(os.path.abspath(path))
    _refuse_outside(folder, os.path.realpath(folder))


def _all_of(handle: int, size: int, most: int, path: str) -> bytes:
    """What is in an open file, read until its end: it may grow meanwhile."""
    content = os.read(handle, size + 1)
    if len(content) == size:
        return content
    pieces = [content]
    total = len(content)
    while piece := os.read(handle, 1 << 16):
        pieces.append(piece)
        total += len(piece)
        if total > most:
            raise Refused(_too_large(most), path)
    return b"".join(pieces)


def _too_large(most: int) -> str:
    return f"is larger than the {most >> 20} MiB that are read of a file"


def _target(path: str) -> str:
    """Where a link leads, if that lies inside. Raises Refused else, OSError for one that leads nowhere."""
    real = os.path.realpath(path)
    if not os.path.lexists(real) or os.path.islink(real):
        raise Refused(NOWHERE, path)
    _refuse_outside(path, real)
    return real


def _real_path(handle: int, path: str) -> str:
    if _KNOWS_DESCRIPTORS:
        return os.readlink(f"{_DESCRIPTORS}{handle}")
    return os.path.realpath(path)


def _refuse_outside(path: str, real: str) -> None:
    """Raises Refused where the real path of something lies outside of what its path lies in."""
    shown = path if path[:1] == os.sep and f"{os.sep}." not in path else os.path.abspath(path)
    if real == shown:
        return
    top = _top_of(shown)
    if top is None:
        return
    if not _is_in(real, os.path.realpath(top)):
        raise Refused(OUTWARDS, path)


def _top_of(path: str) -> str | None:
    """The folder that links below it may not leave: the repository, else the working folder.

    None for a path that lies in neither: somebody named it who may read it. Of repositories inside
    each other the innermost counts that no link leads to: a link may lead to another repository.
    """
    if held := held_at(path):
        return held.top
    tops = [folder for folder in _above(path) if os.path.lexists(os.path.join(folder, ".git"))]
    if not tops:
        here = os.getcwd()
        return here if path.startswith(here.rstrip(os.sep) + os.sep) else None
    top = tops.pop()
    for inner in reversed(tops):
        if not _is_in(os.path.realpath(inner), os.path.realpath(top)):
            break
        top = inner
    return top


def _is_in(path: str, folder: str) -> bool:
    return path == folder or path.startswith(folder.rstrip(os.sep) + os.sep)


def _above(path: str) -> Iterator[str]:
    folder = os.path.dirname(path)
    while True:
        yield folder
        above = os.path.dirname(folder)
        if above == folder:
            return
        folder = above
