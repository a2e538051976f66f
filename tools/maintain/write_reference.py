"""Write docs/reference.md, every field of every kind of file, from schema/.

tests/whole/test_reference.py makes the page again and compares.

    python tools/maintain/write_reference.py
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from perflour.documents.schema import schema
from perflour.system.file_kinds import FILE_KINDS, FileKind

ROOT = Path(__file__).parents[2]
PAGE = ROOT / "docs" / "reference.md"
START = """\
# Every file and field

Written from the JSON Schemas in [schema/](../schema/) by `tools/maintain/write_reference.py`. What amounts and
portions mean stands in [files.md](files.md), percentages in [computing.md](computing.md). A path like
`parts[].ingredients[].item` is the `item` of each ingredient of each part; a word in capitals stands for a name of
yours. **Bold** fields must be there. Anything else in a file is refused.
"""
OUTPUTS = """\
## The schemas

Those of files, and those of what commands print with `--output json`: each of these has a `format`, a number that
rises with every change of a key or of what it means.

| schema | title | of |
| --- | --- | --- |
"""
#: How a key is called that is a name of the writer's own, by the field that holds it.
NAMES = {"classes": "CLASS", "windows": "RATIO", "rules": "RULE", "limits": "RULE"}


def page() -> str:
    """The whole page."""
    return "\n".join([START, *map(_section, FILE_KINDS), _outputs()])


def _outputs() -> str:
    """What commands print as JSON, by schema."""
    rows = []
    for path in sorted((ROOT / "schema").glob("*.json")):
        data = json.loads(path.read_text(encoding="utf-8"))
        rows.append(
            f"| [schema/{path.name}](../schema/{path.name}) | {data['title']} | {_cell(data['description'])} |\n"
        )
    return OUTPUTS + "".join(rows)


def _section(kind: FileKind) -> str:
    whole = schema(kind.name)
    head = f"## {whole['title']}: `{kind.stands}`\n\n{whole['description']}\n\n"
    table = "| field | what it is | written as | like |\n| --- | --- | --- | --- |\n"
    return head + table + "".join(f"| {' | '.join(row)} |\n" for row in _rows(whole, whole, ""))


def _rows(whole: dict[str, Any], node: dict[str, Any], path: str) -> Iterator[tuple[str, ...]]:
    """A row for every field below a node, in the order of the schema."""
    for name, entry in node.get("properties", {}).items():
        yield from _field(whole, entry, f"{path}{name}", name in node.get("required", ()))
    other = node.get("additionalProperties")
    if isinstance(other, dict):
        key = NAMES.get(path.rstrip(".").rsplit(".", 1)[-1], "NAME")
        yield from _field(whole, other, f"{path}{key}", required=False)


def _field(
    whole: dict[str, Any], entry: dict[str, Any], path: str, required: bool
) -> Iterator[tuple[str, ...]]:
    node = _resolved(whole, entry)
    shown = f"**`{path}`**" if required else f"`{path}`"
    yield shown, _cell(node.get("description", "")), _cell(_form(whole, node)), _example(node)
    if node.get("type") == "array":
        path, node = f"{path}[]", _resolved(whole, node.get("items", {}))
    yield from _rows(whole, node, f"{path}.")


def _resolved(whole: dict[str, Any], entry: dict[str, Any]) -> dict[str, Any]:
    """An entry with what it refers to; its own words win."""
    if "$ref" not in entry:
        return entry
    named = whole["$defs"][entry["$ref"].removeprefix("#/$defs/")]
    return {**named, **{key: value for key, value in entry.items() if key != "$ref"}}


def _form(whole: dict[str, Any], node: dict[str, Any]) -> str:
    """How a value is written, in a few words."""
    if "enum" in node:
        return "one of " + ", ".join(f"`{value}`" for value in node["enum"])
    if node.get("type") == "array":
        return f"list of {_form(whole, _resolved(whole, node.get('items', {})))}"
    words = {"object": "fields", "string": "text", "integer": "whole number", "boolean": "`true` or `false`"}  # fmt: skip
    kind = str(node.get("type", "any"))
    return words.get(kind, kind) + _limits(node)


def _limits(node: dict[str, Any]) -> str:
    signs = {"minimum": "from", "exclusiveMinimum": "above", "maximum": "to"}
    return "".join(f" {word} {node[key]:,}" for key, word in signs.items() if key in node)


def _example(node: dict[str, Any]) -> str:
    """The first example, where it fits into a cell."""
    found = node.get("examples", [])
    if not found:
        return ""
    text = found[0] if isinstance(found[0], str) else json.dumps(found[0], ensure_ascii=False)
    return f"`{_cell(text)}`" if len(text) <= 60 else ""


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
