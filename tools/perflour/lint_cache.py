"""Results of earlier runs, by content, in the repository's git folder.

The folder may be deleted at any time and runs may overlap: every file in it is written beside and
renamed, and the last one wins. A result depends on the file, the test bakes and the changelog beside
it, the house's files and perflour itself; all of them are in the key.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from perflour.check import check_path, check_source
from perflour.files import Source, read_source
from perflour.house import FOLDERS_KEPT, HOUSE_FILE, INGREDIENTS_FILE
from perflour.parallel import spread_out
from perflour.result import Level, Place, Result
from perflour.rules.changelog_behind import CHANGELOG_FILE

FOLDER = "perflour"
KEY_DIGITS = 24
KEPT_GENERATIONS = 4

Results = tuple[Result, ...]


def check_with_cache(paths: Sequence[str], jobs: int) -> list[Results]:
    """The results of every path, in order; only changed files are checked again."""
    folder = _cache_folder(paths)
    if folder is None:
        return spread_out(check_path, paths, jobs)
    name = os.path.join(folder, f"lint-{_tool_key()}.json")
    known = _load(name)
    keys = _Keys()

    def look(path: str) -> tuple[str, list[Any] | None]:
        """The key of a file, and its results where they are not known yet."""
        source = read_source(path)
        key = keys.key(source)
        return key, None if key in known else [_as_row(r) for r in check_source(source)]

    looked = spread_out(look, paths, jobs)
    new = {key: rows for key, rows in looked if rows is not None}
    known.update(new)
    if new:
        _save(name, {key: known[key] for key, _ in looked})
    return [tuple(map(_as_result, known[key])) for key, _ in looked]


class _Keys:
    """Keys of files; the house files of a folder are hashed once."""

    def __init__(self) -> None:
        self.house = lru_cache(maxsize=FOLDERS_KEPT)(self._house)

    def key(self, source: Source) -> str:
        digest = hashlib.sha256(self.house(os.path.dirname(source.path)))
        digest.update(f"{source.shown}\0".encode())
        digest.update(source.content)
        for beside in _beside(source):
            digest.update(b"\0" + beside)
        return digest.hexdigest()[:KEY_DIGITS]

    def _house(self, folder: str) -> bytes:
        """A digest of every house and ingredients file from a folder upwards."""
        above = os.path.dirname(folder)
        digest = self.house(above) if above != folder else b""
        for name in (HOUSE_FILE, INGREDIENTS_FILE):
            path = os.path.join(folder, name)
            if os.path.exists(path):
                digest = hashlib.sha256(digest + name.encode() + _content(path)).digest()
        return digest


def _beside(source: Source) -> list[bytes]:
    """What rules look at beside a formula: its changelog and its test bakes."""
    folder, name = os.path.split(source.path)
    if name != "formula.yaml":
        return []
    bakes = os.path.join(folder, "bakes")
    names = sorted(os.listdir(bakes)) if os.path.isdir(bakes) else []
    paths = [os.path.join(folder, CHANGELOG_FILE), *(os.path.join(bakes, n) for n in names)]
    return [_content(path) for path in paths]


def _content(path: str) -> bytes:
    if not os.path.exists(path):  # less than the exception costs
        return b"\0none"
    try:
        with open(path, "rb") as file:
            return file.read()
    except OSError:
        return b"\0none"


def _cache_folder(paths: Sequence[str]) -> str | None:
    """FOLDER in the git folder of the first path's repository.

    None outside a repository, and in a linked work tree, whose `.git` is a file: the folder above it
    may be another repository's.
    """
    at = os.path.dirname(paths[0])
    while not os.path.exists(os.path.join(at, ".git")):
        at, below = os.path.dirname(at), at
        if at == below:
            return None
    folder = os.path.join(at, ".git", FOLDER)
    try:
        os.makedirs(folder, exist_ok=True)
    except OSError:
        return None
    return folder if os.access(folder, os.W_OK) else None


def _tool_key() -> str:
    """A digest of perflour itself, by the size and time of its files."""
    here = os.path.dirname(__file__)
    files = (os.path.join(at, name) for at, _, names in os.walk(here) for name in names)
    stats = ((path, os.stat(path)) for path in sorted(files) if not path.endswith(".pyc"))
    text = "\n".join(f"{path} {stat.st_size} {stat.st_mtime_ns}" for path, stat in stats)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def _load(name: str) -> dict[str, list[Any]]:
    """What an earlier run left; nothing where it is not there or not whole."""
    try:
        with open(name, encoding="utf-8") as file:
            data = json.load(file)
    except (OSError, ValueError):
        return {}
    return data if isinstance(data, dict) else {}


def _save(name: str, known: dict[str, list[Any]]) -> None:
    """Write beside and rename; the oldest generations go. A full disk is no reason to fail."""
    beside = f"{name}.{os.getpid()}"
    try:
        with open(beside, "w", encoding="utf-8") as file:
            json.dump(known, file, ensure_ascii=False, separators=(",", ":"))
        os.replace(beside, name)
        folder = os.path.dirname(name)
        generations = sorted(
            (os.path.join(folder, n) for n in os.listdir(folder)), key=os.path.getmtime
        )
        for old in generations[:-KEPT_GENERATIONS]:
            os.unlink(old)
    except OSError:
        return


def _as_row(result: Result) -> list[Any]:
    place = result.place
    return [
        result.rule,
        result.level,
        result.message,
        result.subject,
        place.path,
        place.line,
        place.column,
    ]


def _as_result(row: list[Any]) -> Result:
    rule, level, message, subject, path, line, column = row
    known_level: Level = level
    return Result(rule, known_level, message, Place(path, line, column), subject)
