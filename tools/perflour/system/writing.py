"""Files written so that the old one or the new one is there, never half.

What is being written stands in the repository's git folder, which git never shows, or beside where there is no
repository, and holds a lock. A killed run leaves it without one: the next run that writes there takes it away.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path
from stat import S_ISREG

from perflour.system.opening import refuse_folder_outside

USUAL_MODE = 0o644
#: How the name of a file ends that is being written.
UNFINISHED = ".unfinished"
_FOLDER = "perflour"
# A file here cannot be put there, or none can be written here: it is written beside then.
_NOT_FROM_HERE = frozenset((errno.EXDEV, errno.EACCES, errno.EPERM, errno.EROFS))


def write_file(path: Path, content: bytes) -> None:
    """Write apart and rename, so that the old file or the new one is there, never half.

    A link is replaced, not followed. Raises OSError; Refused for a folder behind a link outwards.
    """

    def place(temporary: Path) -> None:
        temporary.chmod(_mode_of(path))
        temporary.replace(path)

    _write(path, content, place)


def _mode_of(path: Path) -> int:
    """The rights of the file that is there, the usual ones where there is none."""
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return USUAL_MODE
    return mode & 0o777 if S_ISREG(mode) else USUAL_MODE


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileExistsError."""

    def place(temporary: Path) -> None:
        temporary.chmod(USUAL_MODE)
        _link_or_create(temporary, path)

    _write(path, content, place)


def clear_unfinished(folder: Path) -> None:
    """Take away what killed runs left where files of a folder are written."""
    for at in _work_folders(folder):
        _clear(at)


def _write(path: Path, content: bytes, place: Callable[[Path], None]) -> None:
    """Write a temporary file and place it, from the git folder or else from beside."""
    refuse_folder_outside(str(path))
    *apart, beside = _work_folders(path.parent)
    for folder in apart:
        try:
            folder.mkdir(parents=True, exist_ok=True)
            _write_in(folder, path.name, content, place)
        except OSError as error:
            if error.errno not in _NOT_FROM_HERE:
                raise
        else:
            return
    _write_in(beside, path.name, content, place)


def _write_in(folder: Path, name: str, content: bytes, place: Callable[[Path], None]) -> None:
    """A temporary file on the disk, placed; gone at the end if it is still there."""
    _clear(folder)
    handle, temporary = _locked(folder, name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
            place(Path(temporary))
    finally:
        Path(temporary).unlink(missing_ok=True)


def _locked(folder: Path, name: str) -> tuple[int, str]:
    """A new file that this process holds; another may have taken it away before it was locked."""
    import tempfile  # only where something is written: docs/performance.md

    while True:
        handle, temporary = tempfile.mkstemp(dir=folder, prefix=f".{name}.", suffix=UNFINISHED)
        _lock(handle, wait=True)
        if os.fstat(handle).st_nlink:
            return handle, temporary
        os.close(handle)


def _work_folders(folder: Path) -> list[Path]:
    """Where files of a folder are written before they are placed, the best first, beside last."""
    for above in (folder.absolute(), *folder.absolute().parents):
        git = above / ".git"
        if os.path.isdir(git):
            return [git / _FOLDER, folder]
        if os.path.isfile(git):  # a linked work tree
            named = git.read_text(encoding="utf-8", errors="surrogateescape").partition("gitdir:")[
                2
            ]
            linked = above / named.strip()
            return (
                [linked / _FOLDER, folder] if named.strip() and os.path.isdir(linked) else [folder]
            )
    return [folder]


def _clear(folder: Path) -> None:
    """Take away the files that nobody writes any more. What cannot be taken away stays: it harms nothing."""
    try:
        names = [name for name in os.listdir(folder) if name.endswith(UNFINISHED)]
    except OSError:
        return
    for name in names:
        try:
            with (folder / name).open("rb") as left:
                if _lock(left.fileno()):
                    (folder / name).unlink(missing_ok=True)
        except OSError:
            continue


def _lock(handle: int, wait: bool = False) -> bool:
    """Lock a file as long as it is open; whether nobody else had. Killed processes hold no lock."""
    try:
        import fcntl  # not everywhere
    except ImportError:
        return False
    try:
        fcntl.flock(handle, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
    except OSError:
        return False
    return True


def _link_or_create(temporary: Path, path: Path) -> None:
    """Unlike a rename, a link never takes the place of another file."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError as error:  # a file system without hard links
        if error.errno == errno.EXDEV:
            raise
        with path.open("xb"):
            temporary.replace(path)
