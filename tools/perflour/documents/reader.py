"""Bytes to Document: YAML 1.2 core data with the line and column of every node.

Two read a text in the same way: the compiled reader, where it could be made when perflour was installed
(tools/compiled/), what is ordinary; `by_pyyaml` all the rest, and all there is without it.
"""

import re
from codecs import BOM_UTF8
from collections.abc import Iterator

from perflour import compiled
from perflour.plain import control
from perflour.result import FileProblem, Place
from perflour.tuples import NamedTuple
from perflour.typed import Any

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
FIRST_OF_NO_TEXT = frozenset(("", *"0123456789+-.~nNtTfF"))
# Made into patterns when a file has such a number; whole numbers are the usual ones.
_INT = r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+"
_FLOAT = r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?"
_NOT_FINITE = r"[-+]?\.(inf|Inf|INF)|\.(nan|NaN|NAN)"

_ASCII_IN_PRINT = bytes((*range(0x20, 0x7F), 0x0A))

#: What a mapping, list or scalar is in the text, as pyyaml has it: `id` says which, `value` what is in it. Its
#: marks count from 0. The compiled reader's own say the same, and find an entry without making all others.
Node = Any

_CompiledNode = compiled.MODULE.Node if compiled.MODULE else None
#: None where all is read by pyyaml.
_read = compiled.MODULE.read if compiled.IS_USED else None


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
            if node.id == "mapping":
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
    if node.__class__ is _CompiledNode:
        return node.child(key) if isinstance(key, str) else _item(node, key)
    if node.id == "mapping":
        for name, value in node.value:
            if name.value == key:
                return value
    return _item(node, key)


def _item(node: Node, at: str | int) -> Node | None:
    """The node of an item of a list; None where it has none."""
    items = items_of(node)
    return items[at] if isinstance(at, int) and at < len(items) else None


def key_node(node: Node, key: str | int) -> Node | None:
    """The node of a key of a mapping; None where it has none."""
    if node.__class__ is _CompiledNode:
        return node.key_node(key)
    if node.id != "mapping":
        return None
    return next((name for name, _ in node.value if name.value == key), None)


def items_of(node: Node | None) -> list[Node]:
    """The nodes of a list's items; none of what is no list."""
    if node is None:
        return []
    if node.__class__ is _CompiledNode:
        nodes: list[Node] = node.items()
        return nodes
    return node.value if node.id == "sequence" else []


def read_document(content: bytes, path: str) -> Document:
    """Read YAML 1.2 core from ``content``; ``path`` is only named in places.

    Raises FileProblem for anything that is not one plain document: over 1 MiB, not UTF-8, empty,
    broken, more than one document, nested deeper than 40, duplicate keys, aliases, tags.
    """
    text = _decode(content, path)
    # An escape may hide a sign that nobody sees, for which the other reader looks.
    if _read and "\\" not in text and (found := _read(content, plain_value)):
        return Document(path, *found)
    from perflour.documents.by_pyyaml import document_of  # which loads pyyaml

    return document_of(text, path)


def root_of_ordinary(text: str) -> Node | None:
    """The nodes of a text that the compiled reader takes, None of another, and where there is no such reader."""
    found = _read(text.encode(), plain_value) if _read and "\\" not in text else None
    return found[1] if found else None


def data_of(content: bytes | None) -> Any:
    """What a file holds; {} for one that is not there or cannot be read, which lint tells of."""
    try:
        return {} if content is None else read_document(content, "").data
    except FileProblem:
        return {}


def unseen(sign: str) -> str:
    return f"control character U+{ord(sign):04X}; delete it"


def _decode(content: bytes, path: str) -> str:
    if len(content) > MAX_BYTES:
        raise FileProblem(
            "over-limit",
            Place(path),
            f"the file has {len(content):,} bytes, more than {MAX_BYTES:,}; split it",
        )
    try:
        # the codec that takes the mark away is slow
        text = content.removeprefix(BOM_UTF8).decode()
    except UnicodeDecodeError as error:
        content = error.object
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
        raise FileProblem("broken-yaml", place, unseen(bad[0]))
    return text


class NoUsableNumber(ValueError):
    """A number beyond all use, in words."""


def is_text(plain: str) -> bool:
    """Whether a scalar without quotes stands for text, not for a number, a truth value or nothing."""
    try:
        return isinstance(plain_value(plain), str)
    except NoUsableNumber:
        return False


def plain_value(text: str) -> Any:
    """What a plain scalar stands for. Raises NoUsableNumber."""
    if text[:1] not in FIRST_OF_NO_TEXT:
        return text
    if text in _WORDS:
        return _WORDS[text]
    if text[0] not in "0123456789+-." or " " in text:  # `240 g` above all
        return text
    if text.isascii() and len(text) <= MAX_NUMBER_LENGTH:  # most numbers, without a pattern
        if text.isdigit():
            return int(text)
        whole, _, decimals = text.partition(".")
        if whole.isdigit() and decimals.isdigit():
            return float(text)
    if "-" in text[1:] and "e" not in text and "E" not in text:  # a date above all
        return text
    if re.fullmatch(_NOT_FINITE, text):
        raise NoUsableNumber(f"'{text}' is no usable number; write a finite one")
    if not re.fullmatch(_INT, text) and not re.fullmatch(_FLOAT, text):
        return text
    number = _number(text) if len(text) <= MAX_NUMBER_LENGTH else float("inf")
    if number in (float("inf"), float("-inf")):
        raise NoUsableNumber("a number beyond all use; write a shorter one")
    return number


def _number(text: str) -> int | float:
    if text[:2] in ("0x", "0o"):
        return int(text, 0)
    return int(text) if re.fullmatch(_INT, text) else float(text)
