"""Bytes to Document: YAML 1.2 core data with the line and column of every node.

libyaml's event stream is read directly: pyyaml's own loaders keep the last of two equal keys
silently, read ``3:30`` as 210 and ``no`` as False, and drop the positions.
"""

import operator
import re
from collections.abc import Callable, Iterator
from typing import Any, NamedTuple

import yaml
from yaml.cyaml import CParser  # type: ignore[attr-defined]  # its stubs do not export it
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)
from yaml.nodes import MappingNode, ScalarNode, SequenceNode

from perflour.plain import control
from perflour.result import FileProblem, Place

MAX_BYTES = 1 << 20
MAX_DEPTH = 40
MAX_NUMBER_LENGTH = 30
TOO_DEEP = f"nested deeper than {MAX_DEPTH}; flatten it"

Path = tuple[str | int, ...]

# Plain words with a meaning of their own (YAML 1.2.2, 10.3, core schema).
_WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("", "~", "null", "Null", "NULL")),
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
}
#: What a plain scalar that is no text starts with; the empty one with nothing.
_FIRST_OF_NO_TEXT = frozenset(("", *"0123456789+-.~nNtTfF"))
# Made into patterns when a file has such a number; whole numbers are the usual ones.
_INT = r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+"
_FLOAT = r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"
_NOT_FINITE = r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)"

_ASCII_IN_PRINT = bytes((*range(0x20, 0x7F), 0x0A))


#: What libyaml's composer made of a mapping, list or scalar. Its marks count from 0.
Node = Any


class Document(NamedTuple):
    """The data of one YAML file and where each node stands.

    ``root`` has the shape of the data; places are made of it when they are asked for.
    """

    path: str
    data: Any
    root: Node

    def place(self, *path: str | int) -> Place:
        """The place of the node at ``path``, or of its nearest ancestor that exists."""
        node = self.root
        for key in path:
            inner = child(node, key)
            if inner is None:
                break
            node = inner
        return place_of(self.path, node)

    def value(self, *path: str | int) -> Any:
        """The value of the node at ``path``. Raises KeyError or IndexError where there is none."""
        node = self.data
        for key in path:
            node = node[key]
        return node

    def key_place(self, *path: str | int) -> Place:
        """The place of the key of the entry at ``path``; of its value where it has no key."""
        node = self.root
        for key in path[:-1]:
            node = child(node, key)
        at = key_node(node, path[-1]) if path else None
        return place_of(self.path, at) if at else self.place(*path)

    def paths(self) -> Iterator[Path]:
        """The path of every node, the root's first."""
        trail: list[tuple[Path, Node]] = [((), self.root)]
        while trail:
            path, node = trail.pop()
            yield path
            if node.__class__ is MappingNode:
                inner = [((*path, key.value), value) for key, value in node.value]
            else:
                inner = [((*path, at), item) for at, item in enumerate(items_of(node))]
            trail += reversed(inner)


def place_of(path: str, node: Node) -> Place:
    """The place of a node in the file at ``path``."""
    mark = node.start_mark
    return Place(path, mark.line + 1, mark.column + 1)


def child(node: Node, key: str | int) -> Node | None:
    """The node of an entry of a mapping or of an item of a list; None where it has none."""
    if node.__class__ is MappingNode:
        for name, value in node.value:
            if name.value == key:
                return value
    elif isinstance(key, int) and key < len(items_of(node)):
        return node.value[key]
    return None


def key_node(node: Node, key: str | int) -> Node | None:
    """The node of a key of a mapping; None where it has none."""
    if node.__class__ is not MappingNode:
        return None
    return next((name for name, _ in node.value if name.value == key), None)


def items_of(node: Node | None) -> list[Node]:
    """The nodes of a list's items; none of what is no list."""
    return node.value if node.__class__ is SequenceNode else []


def read_document(content: bytes, path: str) -> Document:
    """Read YAML 1.2 core from ``content``; ``path`` is only named in places.

    Raises FileProblem for anything that is not one plain document: over 1 MiB, not UTF-8, empty,
    broken, more than one document, nested deeper than 40, duplicate keys, aliases, tags.
    """
    text = _decode(content, path)
    document = _composed(text, path) or _read_events(text, path)
    if "\\" in text:
        _refuse_unseen(document.root, path)
    return document


def data_of(content: bytes | None) -> Any:
    """What a file holds; {} for one that is not there or cannot be read, which lint tells of."""
    try:
        return {} if content is None else read_document(content, "").data
    except FileProblem:
        return {}


def _refuse_unseen(node: Node, path: str) -> None:
    """Raises FileProblem for a sign that nobody sees, written as an escape."""
    if isinstance(node, ScalarNode):
        if bad := control(node.value):
            raise FileProblem("broken-yaml", place_of(path, node), _unseen(bad[0]))
        return
    for held in node.value:
        for inner in held if isinstance(held, tuple) else (held,):
            _refuse_unseen(inner, path)


def _unseen(sign: str) -> str:
    return f"control character U+{ord(sign):04X}; delete it"


def _read_events(text: str, path: str) -> Document:
    """The document of a text, event by event. Raises FileProblem."""
    parser = CParser(text)
    try:
        return _Builder(path, parser.get_event).build()
    except yaml.YAMLError as error:
        from perflour.documents.advice import problem_in_plain_words  # only on the way to an error

        raise problem_in_plain_words(error, text, path, TOO_DEEP) from None
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
    # Of most files only some signs beyond ASCII are left, so that nothing is searched: docs/performance.md.
    if content.translate(None, _ASCII_IN_PRINT).decode("utf-8", "replace").isprintable():
        return text
    bad = control(text)
    if bad:
        before_text = text[: bad.start()]
        place = Place(path, before_text.count("\n") + 1, bad.start() - before_text.rfind("\n"))
        raise FileProblem("broken-yaml", place, _unseen(bad[0]))
    return text


class _Builder:
    """Builds data and spots from events; a class because the events nest and the state does not."""

    def __init__(self, path: str, next_event: Callable[[], Any]) -> None:
        self.path = path
        self.next_event = next_event

    def build(self) -> Document:
        """The one document of the stream. Raises FileProblem and what the parser raises."""
        found: tuple[Any, Node] | None = None
        while (event := self.next_event()) is not None:
            if event.__class__ is DocumentStartEvent:
                if found:
                    raise self._problem(
                        "broken-yaml",
                        event,
                        "a second document starts here; keep one document per file",
                    )
                found = self._node(self.next_event(), 0)
        if found is None or found[0] is None:
            raise FileProblem(
                "empty-file",
                Place(self.path),
                "the file holds no data; fill it in or remove it",
            )
        return Document(self.path, *found)

    def _problem(self, rule: str, event: Any, message: str) -> FileProblem:
        mark = event.start_mark
        return FileProblem(rule, Place(self.path, mark.line + 1, mark.column + 1), message)

    def _node(self, event: Any, depth: int) -> tuple[Any, Node]:
        """The value that starts with an event, and where it stands."""
        kind = event.__class__
        if kind is ScalarEvent:
            return self._scalar(event), _scalar_node(event)
        if kind is AliasEvent or event.anchor is not None or event.tag is not None:
            raise self._refused(event)
        if depth > MAX_DEPTH:
            raise self._problem("over-limit", event, TOO_DEEP)
        if kind is SequenceStartEvent:
            return self._sequence(event, depth)
        return self._mapping(event, depth)

    def _refused(self, event: Any) -> FileProblem:
        """What is wrong with an alias, an anchor or a tag."""
        if event.__class__ is AliasEvent:
            message = f"alias *{event.anchor}; write the value out, aliases are not read"
        elif event.anchor is not None:
            message = f"anchor &{event.anchor}; remove it, aliases are not read"
        else:
            message = f"tag {event.tag}; remove it, tags are not read"
        return self._problem("alias-or-tag", event, message)

    def _sequence(self, start: Any, depth: int) -> tuple[list[Any], Node]:
        items: list[Any] = []
        nodes: list[Node] = []
        next_event, node = self.next_event, self._node
        while (event := next_event()).__class__ is not SequenceEndEvent:
            item, at = node(event, depth + 1)
            items.append(item)
            nodes.append(at)
        return items, SequenceNode("", nodes, start.start_mark, event.end_mark)  # type: ignore[arg-type]

    def _mapping(self, start: Any, depth: int) -> tuple[dict[str, Any], Node]:
        entries: dict[str, Any] = {}
        nodes: dict[str, tuple[Node, Node]] = {}
        next_event, node = self.next_event, self._node
        while (event := next_event()).__class__ is not MappingEndEvent:
            if event.__class__ is not ScalarEvent or event.anchor or event.tag:
                raise self._refused_key(event)
            key = event.value
            if key in nodes:
                first = nodes[key][0].start_mark.line + 1
                message = f"'{key}' stands twice, first on line {first}; keep one"
                raise self._problem("duplicate-key", event, message)
            entries[key], value = node(next_event(), depth + 1)
            nodes[key] = (_scalar_node(event), value)
        return entries, MappingNode("", list(nodes.values()), start.start_mark, event.end_mark)  # type: ignore[arg-type]

    def _refused_key(self, event: Any) -> FileProblem:
        """What is wrong with a key that is no plain text."""
        if event.__class__ is AliasEvent or event.anchor is not None:
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
        if event.anchor is not None or event.tag is not None:
            raise self._refused(event)
        if not event.implicit[0]:
            return event.value
        try:
            return _plain(event.value)
        except _NoUsableNumber as problem:
            raise self._problem("over-limit", event, str(problem)) from None


def _scalar_node(event: Any) -> Node:
    return ScalarNode("", event.value, event.start_mark, event.end_mark, event.style)


class _NoUsableNumber(ValueError):
    """A number beyond all use, in words."""


def is_text(plain: str) -> bool:
    """Whether a scalar without quotes stands for text, not for a number, a truth value or nothing."""
    try:
        return isinstance(_plain(plain), str)
    except _NoUsableNumber:
        return False


def _plain(text: str) -> Any:
    """What a plain scalar stands for. Raises _NoUsableNumber."""
    if text[:1] not in _FIRST_OF_NO_TEXT:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in "0123456789+-." or " " in text:  # `240 g` above all
        return text
    if text.isascii() and text.isdigit() and len(text) <= MAX_NUMBER_LENGTH:
        return int(text)
    if re.fullmatch(_NOT_FINITE, text):
        raise _NoUsableNumber(f"'{text}' is no usable number; write a finite one")
    if not re.fullmatch(_INT, text) and not re.fullmatch(_FLOAT, text):
        return text
    number = _number(text) if len(text) <= MAX_NUMBER_LENGTH else float("inf")
    if number in (float("inf"), float("-inf")):
        raise _NoUsableNumber("a number beyond all use; write a shorter one")
    return number


def _number(text: str) -> int | float:
    if text[:2] in ("0x", "0o"):
        return int(text, 0)
    return int(text) if re.fullmatch(_INT, text) else float(text)


class Composer(CParser):
    """libyaml's own composer without tags: its nodes are made in C: docs/performance.md."""

    descend_resolver = staticmethod(operator.is_)  # takes two and does nothing
    ascend_resolver = staticmethod(bool)  # takes none

    @staticmethod
    def resolve(kind: object, value: object, implicit: object) -> str:
        return ""


class _Unusual(Exception):
    """Something that is to be read event by event, and told about there."""


def _composed(text: str, path: str) -> Document | None:
    """An ordinary document; None for whatever may be wrong or takes more than plain nodes."""
    if "&" in text or "*" in text or "!" in text:  # anchors, aliases and tags, or just text
        return None
    parser = Composer(text)
    try:
        root = parser.get_single_node()
        if root.__class__ not in (MappingNode, SequenceNode):
            return None
        return Document(path, _data(root, 0), root)
    except (yaml.YAMLError, _Unusual, _NoUsableNumber):
        return None
    finally:
        parser.dispose()


def _data(node: Node, depth: int) -> Any:
    """The data of a mapping or list."""
    if depth >= MAX_DEPTH:
        raise _Unusual
    if node.__class__ is SequenceNode:
        return [_value(item, depth) for item in node.value]
    entries: dict[str, Any] = {}
    for name, value in node.value:
        if name.__class__ is not ScalarNode:
            raise _Unusual
        if value.__class__ is ScalarNode:  # as _value, without the call: docs/performance.md
            text = value.value
            if value.style or " " in text or text[:1] not in _FIRST_OF_NO_TEXT:
                entries[name.value] = text
            else:
                entries[name.value] = _plain(text)
        else:
            entries[name.value] = _data(value, depth + 1)
    if len(entries) != len(node.value):
        raise _Unusual
    return entries


def _value(node: Node, depth: int) -> Any:
    if node.__class__ is not ScalarNode:
        return _data(node, depth + 1)
    text = node.value
    return text if node.style or text[:1] not in _FIRST_OF_NO_TEXT else _plain(text)
