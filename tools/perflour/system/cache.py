"""Files of earlier work in the repository's git folder, and what their keys are made of.

The folder may be deleted at any time and runs may overlap: every file in it is written beside and
renamed, and the last one wins. What is not there or not whole is worked out again.
"""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from json.encoder import encode_basestring_ascii
from types import MappingProxyType
from zlib import crc32

from perflour import compiled
from perflour.system.file_kinds import KITCHEN_FILES
from perflour.system.hashing import sha256_hex
from perflour.system.opening import read
from perflour.system.paths import FOLDERS_KEPT
from perflour.system.terminal import tell
from perflour.typed import Any

#: What a file keeps, a line each: by key a value as JSON, which is read only when it is needed.
Rows = dict[bytes, bytes]

FOLDER = "perflour"
KEPT_GENERATIONS = 4
#: Far more than the rows of 100,000 formulas.
MOST_BYTES_OF_CACHE = 1 << 30
#: One for all rows. What was just made holds no circles, and to look for some takes a fifth as long again.
_ENCODER = json.JSONEncoder(ensure_ascii=False, separators=(",", ":"), check_circular=False)
#: Stands for the content of a file that is not there.
NONE = b"\0none"


def load(name: str) -> Rows:
    """What an earlier run left; nothing where it is not there or not whole."""
    try:
        content = read(name, MOST_BYTES_OF_CACHE)
        at = content.index(b"\n")
        # megabytes are not copied only to be summed
        if content[:at] != _head(memoryview(content)[at + 1 :]):
            return {}
        lines = iter(content.split(b"\n")[1:-1])
        rows = dict(zip(lines, lines, strict=True))
    except (OSError, ValueError):
        return {}
    tell(f"earlier work: {len(rows)} in {os.path.basename(name)}")
    return rows


def save(name: str, rows: Rows) -> None:
    """Write beside and rename; the oldest files of its kind go. A full disk is no reason to fail.

    The kind is the file's name up to the first dash.
    """
    beside = f"{name}.{os.getpid()}"
    folder, kind = os.path.dirname(name), os.path.basename(name).partition("-")[0]
    try:
        with open(beside, "wb") as file:
            body = b"\n".join([*(line for row in rows.items() for line in row), b""])
            file.write(_head(body) + b"\n")
            file.write(body)
        os.replace(beside, name)
        generations = sorted(
            (os.path.join(folder, n) for n in os.listdir(folder) if n.startswith(f"{kind}-")),
            key=os.path.getmtime,
        )
        for old in generations[:-KEPT_GENERATIONS]:
            os.unlink(old)
    except OSError:
        return


def _head(body: bytes | memoryview) -> bytes:
    """The first line of a file: the length and checksum of the rest."""
    return b"%d bytes %08x" % (len(body), crc32(body))


def row_key(text: str) -> bytes:
    """A text as the key of a row: no line ends in it."""
    return encode_basestring_ascii(text).encode()


def as_row(value: Any) -> bytes:
    """A value of JSON as what a row holds."""
    return _ENCODER.encode(value).encode("utf-8", "surrogatepass")


def from_row(row: bytes) -> Any:
    """The value in a row. Raises ValueError where it is not whole."""
    return json.loads(row.decode("utf-8", "surrogatepass"))


def tool_key() -> str:
    """A digest of perflour itself, by the size and time of its files, of its compiled reader, and of the Python it runs on."""
    files = [(entry.path, entry.stat()) for entry in own_files(own_folder())]
    if compiled.IS_USED:
        files.append((compiled.MODULE.__file__, os.stat(compiled.MODULE.__file__)))
    as_they_stand = [f"{path} {stat.st_size} {stat.st_mtime_ns}" for path, stat in files]
    return sha256_hex("\n".join((sys.version, *sorted(as_they_stand))).encode())[:16]


def own_folder() -> str:
    """The folder of perflour's own files."""
    return os.path.dirname(os.path.dirname(__file__))


def own_files(folder: str) -> Iterator[os.DirEntry[str]]:
    """Every file of perflour in its folder or one below but for compiled ones."""
    with os.scandir(folder) as entries:
        for entry in entries:
            if entry.is_dir():
                if entry.name != "__pycache__":
                    yield from own_files(entry.path)
            elif not entry.name.endswith(".pyc"):
                yield entry


Names = Callable[[str], tuple[str, ...]]


def folder_names(listed: Mapping[str, tuple[str, ...]] = MappingProxyType({})) -> Names:
    """A function from a folder to the names in it, none where it cannot be listed.

    One listing costs less than to ask for each file that may be there; ``listed`` holds those made
    already.
    """

    def of(folder: str) -> tuple[str, ...]:
        if folder in listed:
            return listed[folder]
        try:
            return tuple(os.listdir(folder))
        except OSError:
            return ()

    return of


def house_digests(names: Names | None = None, top: str = "") -> Callable[[str], bytes]:
    """A function from a folder to a digest of every house and ingredients file from it upwards.

    Each folder is hashed once. Files count by their paths, which results name; below ``top`` by those from there, so
    that clones at two places have one digest.
    """
    names = names or folder_names()

    # Owner: the run that asked for this function. Bound: FOLDERS_KEPT. Pays: the folders above are of all.
    @lru_cache(maxsize=FOLDERS_KEPT)
    def of(folder: str) -> bytes:
        above = os.path.dirname(folder)
        digest = of(above) if above != folder else b""
        there = names(folder)
        for name in KITCHEN_FILES:
            if name in there:
                path = os.path.join(folder, name)
                content = content_of(path)
                at = os.fsencode(os.path.relpath(path, top) if top else path)
                digest = bytes.fromhex(sha256_hex(b"\0".join((digest, at, content))))
        return digest

    return of


def content_of(path: str) -> bytes:
    """The bytes of a file; a sign of its own where it is not there or cannot be read."""
    try:
        return read(path)
    except (OSError, ValueError):
        return NONE
