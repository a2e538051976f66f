"""Records that we write ourselves (test bakes, sessions): data to YAML in the house's layout."""

from __future__ import annotations

import os
from pathlib import Path
from textwrap import wrap
from typing import Any

from perflour.documents.layout import WIDTH, as_scalar, write_commented
from perflour.documents.nodes import Collection, CommentedFile, Entry, Node, Scalar
from perflour.documents.reader import read_document
from perflour.documents.schema import Kind, check_schema, schema_file
from perflour.plain import one_line
from perflour.result import CannotRun

# Digits that are no number: a digest may look like one, a code always does.
_ALWAYS_QUOTED = frozenset(
    ("of", "code", "codes", "serve", "expect", "expect-order", "sha256", "led-to")
)
#: Longer text gets lines of its own.
_LONG = 70


def record_text(
    kind: Kind, data: dict[str, Any], path: Path, comments: tuple[str, ...] = ()
) -> str:
    """The text of a record that will stand at ``path``, its keys in the order of ``data``.

    ``comments`` are lines at its end, each with its ``#``.
    Raises CannotRun where the data break the schema, with its first complaint.
    """
    text = _checked(
        write_commented(CommentedFile(_head(kind, path), _mapping(data)._replace(below=comments)))
    )
    document = read_document(text.encode(), path.name)
    if results := check_schema(document, kind):
        raise CannotRun(results[0].message)
    assert document.data == data
    return text


def _checked(text: str) -> str:
    """Text that can be a file. Raises CannotRun for bytes that the command line could not read."""
    try:
        text.encode()
    except UnicodeEncodeError:
        raise CannotRun("an option or file name is not UTF-8; write it in letters") from None
    return text


def _head(kind: Kind, path: Path) -> tuple[str, ...]:
    """The line that tells editors the schema, where a folder above holds it."""
    for folder in path.absolute().parents:
        schema = folder / "schema" / schema_file(kind)
        if os.path.isfile(schema):
            relative = os.path.relpath(schema, path.absolute().parent).replace(os.sep, "/")
            return (editor_line(relative),)
    return ()


def editor_line(schema: str) -> str:
    """The comment that tells editors the schema of the file below it, by its path from there."""
    return f"# yaml-language-server: $schema={schema}"


def _mapping(data: dict[str, Any]) -> Collection:
    return Collection(False, tuple(Entry(_node(v, k), _key(k)) for k, v in data.items()))


def _key(name: str) -> str:
    return as_scalar(name).text or name


def _node(value: Any, key: str = "") -> Node:
    if isinstance(value, dict):
        return _mapping(value)
    if isinstance(value, list):
        return Collection(True, tuple(Entry(_node(item, key)) for item in value))
    if isinstance(value, str):
        return _text(value, key)
    return Scalar(str(value), repr(value), plain=True)


def _text(value: str, key: str) -> Scalar:
    if key in _ALWAYS_QUOTED:
        return Scalar(value, f'"{value}"')
    lines = wrap(value, WIDTH - 2, break_long_words=False, break_on_hyphens=False)
    if len(value) > _LONG and value.isprintable() and " ".join(lines) == value:
        return Scalar(value, ">-", lines=tuple(lines))
    return as_scalar(value)


def tidy(text: str) -> str:
    """Text as it is kept: one line, single spaces, signs that nobody sees spelt out."""
    return one_line(" ".join(text.split()))
