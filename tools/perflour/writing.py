"""Files written so that the old one or the new one is there, never half."""

from __future__ import annotations

import os
import tempfile
from pathlib import Path


def write_file(path: Path, content: bytes) -> None:
    """Write beside and rename, so that the old file or the new one is there, never half."""
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            Path(temporary).chmod(path.stat().st_mode & 0o777)
        else:
            Path(temporary).chmod(0o644)
        Path(temporary).replace(path)
    except BaseException:
        Path(temporary).unlink(missing_ok=True)
        raise


def write_new(path: Path, content: bytes) -> None:
    """Write a file that is not there yet, whole or not at all. Raises FileExistsError."""
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).chmod(0o644)
        _link_or_create(temporary, path, content)
    finally:
        Path(temporary).unlink(missing_ok=True)


def _link_or_create(temporary: str, path: Path, content: bytes) -> None:
    """Unlike a rename, a link never takes the place of another file."""
    try:
        os.link(temporary, path)
    except FileExistsError:
        raise
    except OSError:  # a file system without hard links
        with path.open("xb") as file:
            file.write(content)
