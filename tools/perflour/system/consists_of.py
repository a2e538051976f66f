"""What perflour consists of, by content: the same key wherever the same is installed, so that facts may be carried."""

from __future__ import annotations

import os
import re
import sys
from binascii import a2b_base64
from collections.abc import Callable, Iterator

from perflour import compiled
from perflour.system.cache import content_of, load, own_files, own_folder, save, tool_key
from perflour.system.hashing import sha256_hex

_KEY = re.compile(rb"[0-9a-f]{16}")
_ROW = b"content"
# What perflour is called where it is installed: its folder, and the one that lists its files.
OWN, _DISTRIBUTION = "perflour", ".dist-info"
_OF_ADDRESSES = str.maketrans("-_", "+/")


def content_key(folder: str, tool: str = "") -> str:
    """A digest of all files of perflour, of its schemas and of its catalogue, of what reads YAML for it, of Python, and of all that is installed.

    The files are looked at once for each installation, and read where no list of it says what is in them: what they
    came to is kept in a folder of earlier work, by their sizes and times, which ``tool`` is the key of where that is known.
    """
    kept = os.path.join(folder, f"tool-{tool or tool_key()}.rows")
    files = load(kept).get(_ROW, b"")
    if not _KEY.fullmatch(files):
        files = _of_files().encode()
        save(kept, {_ROW: files})
    reader = "compiled reader" if compiled.IS_USED else "pyyaml"
    said = "\n".join((files.decode(), reader, sys.version, *sorted(_installed())))
    return sha256_hex(said.encode())[:16]


def _of_files() -> str:
    here = own_folder()
    recorded = _recorded(os.path.dirname(here))
    found = sorted((os.path.relpath(entry.path, here), entry) for entry in own_files(here))
    told = []
    for inner, entry in found:
        name = inner.replace(os.sep, "/")
        told.append(f"{name}\0{recorded(name, entry.stat()) or _sha256(content_of(entry.path))}\n")
    return sha256_hex("".join(told).encode())[:16]


def _sha256(content: bytes) -> str:
    import hashlib  # quicker over megabytes, once for each installation

    return hashlib.sha256(content).hexdigest()


def _recorded(beside: str) -> Callable[[str, os.stat_result], str]:
    """The checksum of a file of perflour in the list that its installation ends with (RECORD, PEP 376).

    Empty where there is no such list, where the file is of another size, or where it came there after the list.
    """
    lists = [name for name in os.listdir(beside) if _is_ours(name)]
    if len(lists) != 1:
        return lambda name, state: ""
    path = os.path.join(beside, *lists, "RECORD")
    try:
        listed_ns = os.stat(path).st_mtime_ns
        rows = [line.rsplit(",", 2) for line in content_of(path).decode().splitlines()]
        found = {row[0]: (_hex(row[1]), int(row[2] or -1)) for row in rows}
    except (OSError, ValueError, IndexError):
        return lambda name, state: ""

    def told(name: str, state: os.stat_result) -> str:
        checksum, size = found.get(f"{OWN}/{name}", ("", -1))
        is_listed = state.st_size == size and max(state.st_mtime_ns, state.st_ctime_ns) <= listed_ns
        return checksum if is_listed else ""

    return told


def _hex(checksum: str) -> str:
    """A checksum as a RECORD has it, ``sha256=`` and base64 for addresses without its end, in hex; empty for another."""
    kind, _, text = checksum.partition("=")
    content = a2b_base64(text.translate(_OF_ADDRESSES) + "=") if kind == "sha256" else b""
    return content.hex()


def _installed() -> Iterator[str]:
    """Every installed distribution by name and version, as pip calls its folder: readers and matchers are libraries."""
    for folder in dict.fromkeys(sys.path):
        if os.path.basename(folder) in ("site-packages", "dist-packages"):
            try:
                names = os.listdir(folder)
            except OSError:
                continue
            for name in names:
                # perflour itself is known by its files
                if name.endswith(_DISTRIBUTION) and not _is_ours(name):
                    yield name


def _is_ours(name: str) -> bool:
    """Whether a folder is what pip writes of perflour, beside it."""
    return name.startswith(f"{OWN}-") and name.endswith(_DISTRIBUTION)
