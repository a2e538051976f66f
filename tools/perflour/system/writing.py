"""Files written so that the old one or the new one is there, never half."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from stat import S_ISREG

from perflour.system.opening import refuse_folder_outside

USUAL_MODE = 0o644


def write_file(path: Path, content: bytes) -> None:
    """Write beside and rename, so that the old file or the new one is there, never half.

    A link is replaced, not followed. Raises OSError; Refused for a folder behind a link outwards.
    """
    with _beside(path, content) as temporary:
        temporary.chmod(_mode_of(path))
        temporary.replace(path)


def _mode_of(path: Path) -> int:
    """The rights of the file that is there, the usual ones where there is none."""
    try:
        mode = path.lstat().st_mode
    except FileNotFoundError:
        return USUAL_MODE
    return mode & 0o777 if S_ISREG(mode) else USUAL_MODE


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileExistsError."""
    with _beside(path, content) as temporary:
        temporary.chmod(USUAL_MODE)
        _link_or_create(temporary, path, content)


@contextmanager
def _beside(path: Path, content: bytes) -> Iterator[Path]:
    """A file with the content in the same folder, on the disk; gone at the end if it is still there."""
    import tempfile  # only where something is written: docs/performance.md

    refuse_folder_outside(str(path))
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    temporary = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        yield temporary
    finally:
        temporary.unlink(missing_ok=True)


def _link_or_create(temporary: Path, path: Path, content: bytes) -> None:
    """Unlike a rename, a link never takes the place of another file."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        with path.open("xb") as file:
            file.write(content)
