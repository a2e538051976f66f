"""Bytes to Document: YAML 1.2 core data with the line and column of every node.

libyaml's event stream is read directly: pyyaml's own loaders keep the last of two equal keys
silently, read ``3:30`` as 210 and ``no`` as False, and drop the positions.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any, NamedTuple

import yaml
from yaml.cyaml import CParser  # type: ignore[attr-defined]  # its stubs do not export it

from perflour.result import FileProblem, Place

MAX_BYTES = 1 << 20
MAX_DEPTH = 40
MAX_NUMBER_LENGTH = 30
TOO_DEEP = f"nested deeper than {MAX_DEPTH}; flatten it"

Path = tuple[str | int, ...]
Spot = tuple[int, int]  # line and column, from 1

# Plain words with a meaning of their own (YAML 1.2.2, 10.3, core schema).
_WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
_INT = re.compile(r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?")
_NOT_FINITE = re.compile(r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)")

# What libyaml says, in the words of somebody who has to mend the file.
_ADVICE = (
    ("cannot start any token", "a character that YAML does not allow here; indent with spaces, not tabs, and quote text that starts with @, ` or %"),
    ("mapping values are not allowed", "a colon where none can stand; quote text that holds a colon, and check the indent"),
    ("could not find expected ':'", "a key without a colon; write `key: value`"),
    ("did not find expected key", "the indent or a quote does not match the lines above; check both"),
    ("did not find expected '-'", "the indent does not match the list above; line the dashes up"),
    ("did not find expected ',' or", "a bracket or brace is not closed, or a comma is missing; close it on its own line of items"),
    ("found unexpected end of stream", "a quote is not closed; close it"),
    ("did not find expected node content", "a value is missing; write it, or remove the comma before it"),
    ("control characters", "a control character; delete it"),
    ("found unknown escape", "an unknown backslash in double quotes; use single quotes"),
)  # fmt: skip


class Document(NamedTuple):
    """The data of one YAML file and where each node stands.

    ``spots`` maps the path of every value to its place, ``key_spots`` that of every mapping
    entry to the place of its key. A path is a tuple of keys and indexes from the root.
    """

    path: str
    data: Any
    spots: dict[Path, Spot]
    key_spots: dict[Path, Spot]

    def place(self, *path: str | int) -> Place:
        """The place of the node at ``path``, or of its nearest ancestor that exists."""
        while path and path not in self.spots:
            path = path[:-1]
        line, column = self.spots.get(path, (1, 1))
        return Place(self.path, line, column)

    def value(self, *path: str | int) -> Any:
        """The value of the node at ``path``. Raises KeyError or IndexError where there is none."""
        node = self.data
        for key in path:
            node = node[key]
        return node

    def key_place(self, *path: str | int) -> Place:
        """The place of the key of the entry at ``path``; of its value where it has no key."""
        spot = self.key_spots.get(path)
        return Place(self.path, *spot) if spot else self.place(*path)


def read_document(content: bytes, path: str) -> Document:
    """Read YAML 1.2 core from ``content``; ``path`` is only named in places.

    Raises FileProblem for anything that is not one plain document: over 1 MiB, not UTF-8, empty,
    broken, more than one document, nested deeper than 40, duplicate keys, aliases, tags.
    """
    text = _decode(content, path)
    parser = CParser(text)
    try:
        return _Builder(path).build(iter(parser.get_event, None))
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = Place(path, mark.line + 1, mark.column + 1) if mark else Place(path)
        if "nesting" in (error.problem or ""):  # libyaml's own limit, met while it looks ahead
            raise FileProblem("over-limit", place, TOO_DEEP) from None
        raise FileProblem("broken-yaml", place, _in_plain_words(error.problem or "")) from None
    except yaml.YAMLError as error:
        raise FileProblem("broken-yaml", Place(path), _in_plain_words(str(error))) from None
    finally:
        parser.dispose()


def _decode(content: bytes, path: str) -> str:
    if len(content) > MAX_BYTES:
        raise FileProblem(
            "over-limit",
            Place(path),
            f"the file has {len(content):,} bytes, more than {MAX_BYTES:,}; split it",
        )
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = content[: error.start]
        line_start = before.rfind(b"\n") + 1
        column = len(before[line_start:].decode("utf-8", "replace")) + 1
        place = Place(path, before.count(b"\n") + 1, column)
        raise FileProblem(
            "not-utf-8",
            place,
            f"byte 0x{content[error.start]:02x} is not UTF-8; save the file as UTF-8",
        ) from None
    bad = re.search("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x84\x86-\x9f\ud800-\udfff\ufffe\uffff]", text)
    if bad:
        before_text = text[: bad.start()]
        place = Place(path, before_text.count("\n") + 1, bad.start() - before_text.rfind("\n"))
        raise FileProblem(
            "broken-yaml", place, f"control character U+{ord(bad.group()):04X}; delete it"
        )
    return text


def _in_plain_words(problem: str) -> str:
    for said, meant in _ADVICE:
        if said in problem:
            return meant
    return f"YAML cannot be read here ({problem.splitlines()[0] if problem else 'no reason given'}); check indent, quotes and brackets"


class _Builder:
    """Builds data and spots from events; a class because the events nest and the state does not."""

    def __init__(self, path: str) -> None:
        self.path = path
        self.spots: dict[Path, Spot] = {}
        self.key_spots: dict[Path, Spot] = {}

    def build(self, events: Iterator[Any]) -> Document:
        documents = 0
        data: Any = None
        for event in events:
            if isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    raise self._problem(
                        "broken-yaml",
                        event,
                        "a second document starts here; keep one document per file",
                    )
                data = self._node(next(events), events, ())
        if documents == 0 or data is None:
            raise FileProblem(
                "empty-file",
                Place(self.path),
                "the file holds no data; fill it in or remove it",
            )
        return Document(self.path, data, self.spots, self.key_spots)

    def _problem(self, rule: str, event: Any, message: str) -> FileProblem:
        mark = event.start_mark
        return FileProblem(rule, Place(self.path, mark.line + 1, mark.column + 1), message)

    def _node(self, event: Any, events: Iterator[Any], path: Path) -> Any:
        """The value that starts with an event; its place is kept."""
        kind = event.__class__
        if kind is yaml.AliasEvent or event.anchor is not None or event.tag is not None:
            raise self._refused(event)
        if len(path) > MAX_DEPTH:
            raise self._problem("over-limit", event, TOO_DEEP)
        mark = event.start_mark
        self.spots[path] = (mark.line + 1, mark.column + 1)
        if kind is yaml.ScalarEvent:
            return self._scalar(event) if event.implicit[0] else event.value
        if kind is yaml.SequenceStartEvent:
            return self._sequence(events, path)
        return self._mapping(events, path)

    def _refused(self, event: Any) -> FileProblem:
        """What is wrong with an alias, an anchor or a tag."""
        if event.__class__ is yaml.AliasEvent:
            message = f"alias *{event.anchor}; write the value out, aliases are not read"
        elif event.anchor is not None:
            message = f"anchor &{event.anchor}; remove it, aliases are not read"
        else:
            message = f"tag {event.tag}; remove it, tags are not read"
        return self._problem("alias-or-tag", event, message)

    def _sequence(self, events: Iterator[Any], path: Path) -> list[Any]:
        items: list[Any] = []
        for event in events:
            if event.__class__ is yaml.SequenceEndEvent:
                break
            items.append(self._node(event, events, (*path, len(items))))
        return items

    def _mapping(self, events: Iterator[Any], path: Path) -> dict[str, Any]:
        entries: dict[str, Any] = {}
        for event in events:
            if event.__class__ is yaml.MappingEndEvent:
                break
            if (
                event.__class__ is not yaml.ScalarEvent
                or event.anchor is not None
                or event.tag is not None
            ):
                raise self._refused_key(event)
            key = event.value
            inner = (*path, key)
            if key in entries:
                first = self.key_spots[inner][0]
                raise self._problem(
                    "duplicate-key", event, f"'{key}' stands twice, first on line {first}; keep one"
                )
            mark: Any = event.start_mark
            self.key_spots[inner] = (mark.line + 1, mark.column + 1)
            entries[key] = self._node(next(events), events, inner)
        return entries

    def _refused_key(self, event: Any) -> FileProblem:
        """What is wrong with a key that is no plain text."""
        if event.__class__ is yaml.AliasEvent or event.anchor is not None:
            return self._problem(
                "alias-or-tag", event, "an anchor or alias as a key; write the key out"
            )
        if event.tag is not None:
            return self._refused(event)
        return self._problem(
            "broken-yaml",
            event,
            "a list or mapping stands where a key should; write a plain key",
        )

    def _scalar(self, event: Any) -> Any:
        text: str = event.value
        if text in _WORDS:
            return _WORDS[text]
        if text[0] not in "0123456789+-.":
            return text
        if _NOT_FINITE.fullmatch(text):
            raise self._problem(
                "over-limit", event, f"'{text}' is no usable number; write a finite one"
            )
        if not _INT.fullmatch(text) and not _FLOAT.fullmatch(text):
            return text
        number = self._number(text) if len(text) <= MAX_NUMBER_LENGTH else float("inf")
        if number in (float("inf"), float("-inf")):
            raise self._problem("over-limit", event, "a number beyond all use; write a shorter one")
        return number

    @staticmethod
    def _number(text: str) -> int | float:
        if text[:2] in ("0x", "0o"):
            return int(text, 0)
        return int(text) if _INT.fullmatch(text) else float(text)
