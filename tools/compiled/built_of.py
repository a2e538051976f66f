"""What a wheel is built of, as one digest: by it an installed perflour is known (perflour.system.made_by)."""

from __future__ import annotations

import hashlib
from pathlib import Path

#: Where it stands in a wheel.
PLACE = "perflour/data/built-of"
#: Of the project all that goes into one; the compiled reader is made on the way.
PARTS = ("tools/perflour", "schema", "docs/ci")


def built_of(root: Path, made: Path | None) -> str:
    """A digest of all files of a wheel by name and content, ``made`` being the compiled reader."""
    found = {path.relative_to(root).as_posix(): path for part in PARTS for path in (root / part).rglob("*")}  # fmt: skip
    files = {name: path for name, path in sorted(found.items()) if path.is_file() and path.suffix != ".pyc"}  # fmt: skip
    if made:
        files[made.name] = made
    digest = hashlib.sha256()
    for name, path in files.items():
        content = path.read_bytes()
        digest.update(f"{name}\0{len(content)}\0".encode() + content)
    return digest.hexdigest()
