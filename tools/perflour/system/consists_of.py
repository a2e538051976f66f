"""What perflour consists of, by content: the same key wherever the same is installed, so that facts may be carried."""

from __future__ import annotations

import os
import re
import sys
from collections.abc import Iterator

from perflour import compiled
from perflour.system.cache import content_of, load, own_files, own_folder, save, tool_key
from perflour.system.hashing import sha256_hex

_KEY = re.compile(rb"[0-9a-f]{16}")
_ROW = b"content"


def content_key(folder: str, tool: str = "") -> str:
    """A digest of all files of perflour, of its schemas and of its catalogue, of what reads YAML for it, of Python, and of all that is installed.

    The files are read once for each installation: what they came to is kept in a folder of earlier work, by their
    sizes and times, which ``tool`` is the key of where that is known.
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
    import hashlib  # quicker over megabytes, once for each installation

    here = own_folder()
    found = sorted((os.path.relpath(entry.path, here), entry.path) for entry in own_files(here))
    digest = hashlib.sha256()
    for inner, path in found:
        content = content_of(path)
        digest.update(f"{inner.replace(os.sep, '/')}\0{len(content)}\0".encode() + content)
    return digest.hexdigest()[:16]


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
                if name.endswith(".dist-info") and not name.startswith("perflour-"):
                    yield name
