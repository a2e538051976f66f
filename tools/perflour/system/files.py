"""Which files a command line names: files, folders, or ``-`` for standard input."""

import os
import sys
import time
from collections.abc import Iterable, Iterator
from stat import S_ISREG
from typing import NamedTuple

from perflour.result import CannotRun
from perflour.system.file_kinds import BY_FILE, BY_FOLDER
from perflour.system.opening import read
from perflour.system.paths import display_path

STDIN = "-"
DEFAULT_FOLDER = "formulas"

#: The names in folders, hidden ones left out.
Listed = dict[str, tuple[str, ...]]


#: Times, size and inode of a file, and its bytes where it is young.
FileState = tuple[int, int, int, int, bytes] | None
#: No file system tells times apart more coarsely than by two seconds.
YOUNG_NS = 2_000_000_000


class InputFile(NamedTuple):
    """A file to read: its path for places, its absolute path, its bytes."""

    shown: str
    path: str
    content: bytes


def input_files(names: Iterable[str]) -> Iterator[InputFile]:
    """The files that names stand for, read one by one as they are asked for.

    Raises CannotRun for a name that is not there or cannot be read.
    """
    return map(read_input, named_paths(names))


def named_paths(names: Iterable[str], listed: Listed | None = None) -> Iterator[str]:
    """Absolute paths of the files that names stand for, each once, by path within a folder.

    ``-`` stays as it is. ``listed`` is filled with what every folder on the way holds. Raises CannotRun
    for a name that is not there.
    """
    seen: set[str] = set()
    for name in names:
        for path in (STDIN,) if name == STDIN else _expanded(name, listed):
            if path not in seen:
                seen.add(path)
                yield path


def read_input(path: str) -> InputFile:
    """One file, or standard input for ``-``. Raises CannotRun where it cannot be read."""
    if path == STDIN:
        return InputFile("<stdin>", os.path.abspath("stdin.yaml"), sys.stdin.buffer.read())
    return InputFile(display_path(path), path, read_bytes(path))


def read_bytes(path: str) -> bytes:
    """The bytes of a file. Raises CannotRun with one line."""
    try:
        return read(path)
    except (OSError, ValueError) as error:
        raise CannotRun(
            f"{display_path(path)}: cannot be read ({getattr(error, 'strerror', None) or error}); check the path and its rights"
        ) from None


def state_of(path: str) -> FileState:
    """What tells one state of a file from the next: its times, size and inode; None where it is not there.

    What is written twice within one tick of the clock has one time: of a young file its bytes count too.
    """
    if not os.access(path, os.F_OK):  # most are not there, and this raises nothing
        return None
    try:
        stat = os.stat(path)
        if not S_ISREG(stat.st_mode):
            return None
        age_ns = time.time_ns() - max(stat.st_mtime_ns, stat.st_ctime_ns)
        content = read_bytes(path) if age_ns < YOUNG_NS else b""
    except (OSError, CannotRun):  # whoever reads it says what is wrong
        return 0, 0, 0, 0, b""
    return stat.st_mtime_ns, stat.st_ctime_ns, stat.st_size, stat.st_ino, content


def default_names() -> list[str]:
    """formulas/ where it is here, else this folder."""
    return [DEFAULT_FOLDER if os.path.isdir(DEFAULT_FOLDER) else "."]


def _expanded(name: str, listed: Listed | None) -> Iterator[str]:
    if "\0" in name or not os.path.exists(name):
        raise CannotRun(f"{name!r}: no such file or folder; check the path")
    path = os.path.abspath(name)
    if os.path.isdir(path):
        yield from _in_folder(path, listed)
    else:
        yield path


def _in_folder(folder: str, listed: Listed | None) -> Iterator[str]:
    """The files below a folder that are of one of our kinds."""
    folders: list[str] = []
    records = os.path.basename(folder) in BY_FOLDER
    entries = _entries(folder)
    if listed is not None:
        listed[folder] = tuple([sys.intern(entry.name) for entry in entries])
    for entry in entries:
        ours = entry.name.endswith(".yaml") if records else entry.name in BY_FILE
        if entry.is_dir(follow_symlinks=False):
            folders.append(entry.path)
        elif ours and _is_file(entry):
            yield entry.path
    for inner in folders:
        yield from _in_folder(inner, listed)


def _is_file(entry: os.DirEntry[str]) -> bool:
    """Whether it can be read as a file, or is a broken link, to be told about.

    A pipe or device would wait for ever.
    """
    try:
        return entry.is_file() or not os.path.exists(entry.path)
    except OSError:  # a loop of links
        return True


def _entries(folder: str) -> list[os.DirEntry[str]]:
    """What is in a folder, by name, hidden things left out; nothing where it cannot be listed."""
    try:
        with os.scandir(folder) as entries:
            return sorted([e for e in entries if e.name[0] != "."], key=lambda e: e.name)
    except OSError:
        return []
