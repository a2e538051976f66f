"""A report written to a file that somebody named, never over what it was made from."""

from __future__ import annotations

import os
from collections.abc import Collection
from pathlib import Path

from perflour.result import CannotRun
from perflour.writing import write_file


def write_report(name: str, content: bytes, sources: Collection[str]) -> None:
    """Write a report. Raises CannotRun for what is no plain file, is a source, or cannot be written."""
    path = os.path.realpath(name)
    if path in map(os.path.realpath, sources):
        raise CannotRun(f"{name}: the report is about this file; name another with --write")
    if os.path.lexists(path) and not os.path.isfile(path):
        raise CannotRun(f"{name}: is no plain file; name a file with --write")
    try:
        write_file(Path(path), content)
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise CannotRun(f"{name}: cannot be written ({reason}); check the folder") from None
