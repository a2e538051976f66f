"""What the schema of a kind of file allows at a place: its keys, and its words to choose from."""

from collections.abc import Iterator
from typing import Any

from perflour.documents.reader import Path
from perflour.documents.schema import schema

Schema = dict[str, Any]


def keys_at(kind: str, path: Path) -> dict[str, Schema]:
    """The keys that a mapping at a path may have, each with its schema."""
    keys: dict[str, Schema] = {}
    for one in _at(kind, path):
        keys.update({key: _settled(kind, of) for key, of in one.get("properties", {}).items()})
        keys.update({key: {} for key in one.get("propertyNames", {}).get("enum", ())})
    return keys


def choices_at(kind: str, path: Path) -> list[str]:
    """The words of which a value at a path has to be one."""
    found: dict[str, None] = {}
    for one in _at(kind, path):
        words = ["true", "false"] if one.get("type") == "boolean" else one.get("enum", ())
        found.update(dict.fromkeys(word for word in words if isinstance(word, str)))
    return list(found)


def described(one: Schema) -> tuple[str, str]:
    """The title of a schema, and its description with an example."""
    example = next((e for e in one.get("examples", ()) if isinstance(e, str | int | float)), None)
    said = str(one.get("description", ""))
    return str(one.get("title", "")), said if example is None else f"{said} Example: {example}"


def _at(kind: str, path: Path) -> list[Schema]:
    """The schemas that hold at a path; none where it leads out of what is known."""
    there = [schema(kind)]
    for step in path:
        there = [inner for one in there for inner in _inside(kind, _settled(kind, one), step)]
    return [_settled(kind, one) for one in there]


def _inside(kind: str, one: Schema, step: str | int) -> Iterator[Schema]:
    for way in ("oneOf", "anyOf", "allOf"):
        for other in one.get(way, ()):
            yield from _inside(kind, _settled(kind, other), step)
    if isinstance(step, int):
        if isinstance(items := one.get("items"), dict):
            yield items
    elif step in one.get("properties", {}):
        yield one["properties"][step]
    elif isinstance(more := one.get("additionalProperties"), dict):
        yield more


def _settled(kind: str, one: Schema) -> Schema:
    """A schema with what it refers to put in its place."""
    while "$ref" in one:
        name = str(one["$ref"]).rpartition("/")[2]
        rest = {key: value for key, value in one.items() if key != "$ref"}
        one = {**schema(kind).get("$defs", {}).get(name, {}), **rest}
    return one
