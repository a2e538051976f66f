"""Text to Document by pyyaml, which has libyaml in it: ordinary documents by its composer, others event by event.

pyyaml's own loaders keep the last of two equal keys silently, read ``3:30`` as 210 and ``no`` as False,
and drop the positions.
"""

import operator
from collections.abc import Callable
from typing import Any

from perflour.documents.late_patterns import patterns_when_used
from perflour.documents.reader import (
    FIRST_OF_NO_TEXT,
    MAX_DEPTH,
    TOO_DEEP,
    Document,
    Node,
    NoUsableNumber,
    place_of,
    plain_value,
    unseen,
)
from perflour.plain import control
from perflour.result import FileProblem, Place

with patterns_when_used():  # its own reader in Python has costly ones, which we never use
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


def document_of(text: str, path: str) -> Document:
    """The document of a text without control characters. Raises FileProblem."""
    document = _composed(text, path) or _read_events(text, path)
    if "\\" in text:
        _refuse_unseen(document.root, path)
    return document


def _refuse_unseen(node: Node, path: str) -> None:
    """Raises FileProblem for a sign that nobody sees, written as an escape."""
    if isinstance(node, ScalarNode):
        if bad := control(node.value):
            raise FileProblem("broken-yaml", place_of(path, node), unseen(bad[0]))
        return
    for held in node.value:
        for inner in held if isinstance(held, tuple) else (held,):
            _refuse_unseen(inner, path)


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
        return items, SequenceNode("", nodes, start.start_mark, event.end_mark, start.flow_style)  # type: ignore[arg-type]

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
        held, end = list(nodes.values()), event.end_mark
        return entries, MappingNode("", held, start.start_mark, end, start.flow_style)  # type: ignore[arg-type]

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
            return plain_value(event.value)
        except NoUsableNumber as problem:
            raise self._problem("over-limit", event, str(problem)) from None


def _scalar_node(event: Any) -> Node:
    return ScalarNode("", event.value, event.start_mark, event.end_mark, event.style)


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
    except (yaml.YAMLError, _Unusual, NoUsableNumber):
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
            if value.style or " " in text or text[:1] not in FIRST_OF_NO_TEXT:
                entries[name.value] = text
            else:
                entries[name.value] = plain_value(text)
        else:
            entries[name.value] = _data(value, depth + 1)
    if len(entries) != len(node.value):
        raise _Unusual
    return entries


def _value(node: Node, depth: int) -> Any:
    if node.__class__ is not ScalarNode:
        return _data(node, depth + 1)
    text = node.value
    return text if node.style or text[:1] not in FIRST_OF_NO_TEXT else plain_value(text)
