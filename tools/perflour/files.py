"""Which files a command line names: files, folders, or ``-`` for standard input."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from perflour.house import display_path
from perflour.result import CannotRun

STDIN = "-"
DEFAULT_FOLDER = "formulas"


class Source(NamedTuple):
    """A file to read: its path for places, its absolute path, its bytes."""

    shown: str
    path: str
    content: bytes


def sources(names: Iterable[str]) -> Iterator[Source]:
    """The files that names stand for, read one by one as they are asked for.

    Raises CannotRun for a name that is not there or cannot be read.
    """
    return map(read_source, named_paths(names))


def named_paths(names: Iterable[str]) -> Iterator[str]:
    """Absolute paths of the files that names stand for, each once, by path within a folder.

    ``-`` stays as it is. Raises CannotRun for a name that is not there.
    """
    seen: set[str] = set()
    for name in names:
        for path in (STDIN,) if name == STDIN else _expanded(name):
            if path not in seen:
                seen.add(path)
                yield path


def read_source(path: str) -> Source:
    """One file, or standard input for ``-``. Raises CannotRun where it cannot be read."""
    if path == STDIN:
        return Source("<stdin>", os.path.abspath("stdin.yaml"), sys.stdin.buffer.read())
    return Source(display_path(path), path, read_bytes(path))


def read_bytes(path: str) -> bytes:
    """The bytes of a file. Raises CannotRun with one line."""
    try:
        with open(path, "rb") as file:
            return file.read()
    except OSError as error:
        raise CannotRun(
            f"{display_path(path)}: cannot be read ({error.strerror}); check the path and its rights"
        ) from None


def default_names() -> list[str]:
    """formulas/ where it is here, else this folder."""
    return [DEFAULT_FOLDER if os.path.isdir(DEFAULT_FOLDER) else "."]


def _expanded(name: str) -> Iterator[str]:
    if "\0" in name or not os.path.exists(name):
        raise CannotRun(f"{name!r}: no such file or folder; check the path")
    path = os.path.abspath(name)
    if os.path.isdir(path):
        yield from _in_folder(path)
    else:
        yield path


def _in_folder(folder: str) -> Iterator[str]:
    """The repository files below a folder: formulas, bakes, house and ingredients files."""
    for here, folders, names in os.walk(folder):
        folders[:] = sorted(f for f in folders if not f.startswith("."))
        for name in sorted(names):
            path = os.path.join(here, name)
            # a pipe or device would wait for ever; a broken link is kept, to be told about
            if _is_ours(here, name) and (os.path.isfile(path) or not os.path.exists(path)):
                yield path


def _is_ours(folder: str, name: str) -> bool:
    if os.path.basename(folder) == "bakes":
        return name.endswith(".yaml")
    return name in ("formula.yaml", "house.yaml", "ingredients.yaml")
