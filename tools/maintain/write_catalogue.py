"""Compile tools/perflour/data/catalogue/*.yaml to data/catalogue.jsonl.

The first line is the index of every name and alias, with the words that may stand around one; each
further line is one ingredient.
tests/kitchen/test_catalogue.py compiles it again and compares.

    python tools/maintain/write_catalogue.py
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from perflour.documents.reader import read_document
from perflour.documents.schema import check_schema
from perflour.kitchen.catalogue import COMPILED
from perflour.kitchen.name_words import words_around
from perflour.kitchen.names import normal_name

FOLDER = Path(COMPILED).parent / "catalogue"


def entries() -> list[dict[str, Any]]:
    """Every ingredient of every file, in order of file and place. Raises ValueError on a bad file."""
    found: list[dict[str, Any]] = []
    for path in sorted(FOLDER.glob("*.yaml")):
        document = read_document(path.read_bytes(), str(path.name))
        if results := check_schema(document, "catalogue"):
            raise ValueError(f"{results[0].place}: {results[0].message}")
        found += document.data["ingredients"]
    return found


def as_text() -> str:
    """The content of catalogue.jsonl. Raises ValueError when two ingredients share a name."""
    index: dict[str, int] = {}
    rows: list[str] = []
    for at, entry in enumerate(entries()):
        for name in (entry["name"], *entry.get("aliases", ())):
            if index.setdefault(normal_name(name), at) != at:
                raise ValueError(f"'{name}' names two ingredients")
        rows.append(json.dumps(entry, ensure_ascii=False, separators=(",", ":")))
    first = {"names": index, "around": words_around()}
    return "\n".join([json.dumps(first, ensure_ascii=False, separators=(",", ":")), *rows]) + "\n"


if __name__ == "__main__":
    Path(COMPILED).write_text(as_text(), encoding="utf-8")
