"""A report written to a file that somebody named, never over what it was made from, or printed."""

from __future__ import annotations

import os
import sys
from collections.abc import Collection
from pathlib import Path

from perflour.result import CannotRun, request_field
from perflour.system.terminal import bytes_for, put_out
from perflour.system.writing import write_file


def refuse_in_terminal(form: str, binary: Collection[str], name: str | None) -> None:
    """Raises CannotRun where a binary form would go to a terminal for want of a file's name."""
    if form in binary and not name and sys.stdout.isatty():
        raise CannotRun(
            f"a {form.upper()} is nothing for a terminal; name a file with {request_field('write')}"
        )


def write_report(name: str | None, content: bytes, sources: Collection[str]) -> None:
    """Write a report to the file, or without one to standard output.

    Raises CannotRun for what is no plain file, is a source, or cannot be written.
    """
    if not name:
        put_out(content)
        return
    path = os.path.abspath(name)  # a link is replaced by the file, never followed
    if os.path.realpath(path) in map(os.path.realpath, sources):
        raise CannotRun(
            f"{name}: the report is about this file; name another with {request_field('write')}"
        )
    if os.path.lexists(path) and not (os.path.isfile(path) or os.path.islink(path)):
        raise CannotRun(f"{name}: is no plain file; name a file with {request_field('write')}")
    try:
        write_file(Path(path), bytes_for(content, "file"))
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or error
        raise CannotRun(f"{name}: cannot be written ({reason}); check the folder") from None
