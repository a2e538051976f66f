"""Files written so that the old one or the new one is there, never half.

What is being written stands in the repository's git folder, which git never shows, or beside where there is no
repository, and holds a lock. A killed run leaves it without one: the next run that writes there takes it away.
"""

from __future__ import annotations

import errno
import os
from collections.abc import Callable, Mapping
from contextlib import suppress
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


def write_new_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write a folder that is not there yet with all its files, by their paths in it; whole or not at all.

    Raises FileExistsError where something of that name is there, and OSError.
    """
    refuse_folder_outside(str(folder))
    if os.path.lexists(folder):
        raise FileExistsError(errno.EEXIST, os.strerror(errno.EEXIST), str(folder))
    *apart, beside = _work_folders(folder.parent)
    for work in apart:
        try:
            work.mkdir(parents=True, exist_ok=True)
            _write_folder_in(work, folder, files)
        except OSError as error:
            if error.errno not in _NOT_FROM_HERE:
                raise
        else:
            return
    _write_folder_in(beside, folder, files)


def _write_folder_in(work: Path, folder: Path, files: Mapping[str, bytes]) -> None:
    """A temporary folder on the disk, placed by one rename; gone at the end if it is still there."""
    import shutil
    import tempfile  # only where something is written: docs/performance.md

    _clear(work)
    temporary = Path(tempfile.mkdtemp(dir=work, prefix=f".{folder.name}.", suffix=UNFINISHED))
    handle = _held(temporary)
    try:
        for name, content in files.items():
            path = temporary / name
            path.parent.mkdir(parents=True, exist_ok=True)
            with path.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            path.chmod(USUAL_MODE)
        temporary.chmod(0o755)
        temporary.rename(folder)  # never over a folder that holds something
    finally:
        if handle is not None:
            os.close(handle)
        shutil.rmtree(temporary, ignore_errors=True)


def _held(folder: Path) -> int | None:
    """The folder, locked; None on a system that opens no folders (Windows) and has no such locks."""
    if not _has_locks():
        return None
    handle = os.open(folder, os.O_RDONLY)
    _lock(handle, wait=True)
    return handle


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
            if _has_locks():  # held until it is in its place, so that nobody takes it away
                place(Path(temporary))
        if not _has_locks():  # Windows moves no file that is open
            place(Path(temporary))
    finally:
        Path(temporary).unlink(missing_ok=True)


def _locked(folder: Path, name: str) -> tuple[int, str]:
    """A new file that this process holds; another may have taken it away before it was locked."""
    while True:
        handle, temporary = _made(folder, name)
        _lock(handle, wait=True)
        if os.fstat(handle).st_nlink:
            return handle, temporary
        os.close(handle)


def _made(folder: Path, name: str) -> tuple[int, str]:
    """A file that was not there, for this user alone: as tempfile makes one, which takes long to load."""
    flags = os.O_RDWR | os.O_CREAT | os.O_EXCL
    for system in ("O_NOFOLLOW", "O_BINARY"):  # what only some systems have
        flags |= getattr(os, system, 0)
    while True:
        temporary = os.path.abspath(folder / f".{name}.{os.urandom(8).hex()}{UNFINISHED}")
        with suppress(FileExistsError):
            return os.open(temporary, flags, 0o600), temporary


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
            handle = os.open(folder / name, os.O_RDONLY)
            try:
                if _lock(handle):
                    _remove(folder / name)
            finally:
                os.close(handle)
        except OSError:
            continue


def _remove(path: Path) -> None:
    """Take away a file, or a folder with all in it."""
    if path.is_dir() and not path.is_symlink():
        import shutil  # hardly ever met

        shutil.rmtree(path)
    else:
        path.unlink(missing_ok=True)


def _has_locks() -> bool:
    try:
        import fcntl  # noqa: F401  # not everywhere
    except ImportError:
        return False
    return True


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
