"""docs/reference.md is the page that the schemas make, and holds every field of them."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from typing import Any

from perflour.documents.schema import schema
from perflour.system.file_kinds import FILE_KINDS
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))


def fields(node: Any) -> Iterator[str]:
    """The name of every property anywhere in a schema."""
    if isinstance(node, dict):
        if isinstance(properties := node.get("properties"), dict):
            yield from properties
        for key, inner in node.items():
            if key != "examples":
                yield from fields(inner)
    elif isinstance(node, list):
        for inner in node:
            yield from fields(inner)


def test_the_page_is_up_to_date() -> None:
    from write_reference import PAGE, page

    assert PAGE.read_text(encoding="utf-8") == page(), (
        "run: python tools/maintain/write_reference.py"
    )


def test_every_field_of_every_schema_is_there() -> None:
    from write_reference import page

    sections = page().split("\n## ")[1:-1]  # the last one lists the schemas
    for kind, section in zip(FILE_KINDS, sections, strict=True):
        shown = {cell.strip("*` ").replace("[]", "").rsplit(".", 1)[-1] for row in section.splitlines() if row.startswith("| ") for cell in [row.split(" | ")[0][2:]]}  # fmt: skip
        assert set(fields(schema(kind.name))) - {"$schema"} <= shown, kind.name
