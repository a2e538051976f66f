"""Nodes with comments to text, in the one layout of the house format.

An ingredient line, a step, a waiver, the yield and a list of names stand in braces or brackets on one
line where they fit and hold no comment; else each of their entries has a line of its own. A comment at
the very end stays at the end of the line in both forms.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from perflour.documents.nodes import Collection, CommentedFile, Entry, Node, Scalar
from perflour.documents.reader import read_document
from perflour.plain import yaml_quoted
from perflour.result import FileProblem

WIDTH = 100
#: Words, amounts and sentences without a sign that means anything to YAML; nothing of it is a number or a key.
_SURELY_PLAIN = re.compile(
    r"(?:[A-Za-z]|[0-9][A-Za-z0-9./%-]* )[A-Za-z0-9 ./()%'+;°-]*(?<! )", re.ASCII
)
#: What a text without quotes may end at inside braces.
_SIGNS_OF_FLOW = frozenset(",[]{}:?")
_NO_TEXT = frozenset(("null", "true", "false"))


def write_commented(page: CommentedFile) -> str:
    """The text of a page."""
    marker = ["---"] if page.marked else []
    return "\n".join([*page.head, *marker, *_block(page.root, 0)]).lstrip("\n") + "\n"


def as_scalar(value: str) -> Scalar:
    """Text as a value, plain where YAML reads it back as that text."""
    plain = _is_plain(value, value)
    return Scalar(value, value if plain else _quoted(value), plain)


def _block(node: Collection, indent: int) -> Iterator[str]:
    """The lines of a collection, each entry on its own."""
    for entry in node.entries:
        yield from _entry(_settled(entry), indent)
    yield from _comments(node.below, indent)


def _settled(entry: Entry) -> Entry:
    """A mapping in a list, its comments where they stand however it is written.

    One above its first key is above all of it; two at its end cannot stand on one line.
    """
    node = entry.node
    if entry.key or not isinstance(node, Collection) or node.is_list or not node.entries:
        return entry
    first, last = node.entries[0], node.entries[-1]
    if not first.above and not (entry.beside and last.beside):
        return entry
    entry = entry._replace(above=entry.above + first.above)
    if entry.beside and last.beside:
        entry = entry._replace(above=(*entry.above, entry.beside.strip()), beside="")
    entries = (first._replace(above=()), *node.entries[1:])
    return entry._replace(node=node._replace(entries=entries))


def _entry(entry: Entry, indent: int) -> Iterator[str]:
    yield from _comments(entry.above, indent)
    opening = " " * indent + (f"{entry.key}:" if entry.key else "-")
    node = entry.node
    if isinstance(node, Scalar):
        yield f"{opening} {_written(node)}{entry.beside}"
        yield from _comments(node.lines or (), indent + node.indent)
    elif line := _on_one_line(entry, opening):
        yield line
    elif entry.key:
        yield f"{opening}{entry.beside}"
        yield from _block(node, indent + 2)
    else:
        yield from _under_dash(entry, node, indent)


def _under_dash(entry: Entry, node: Collection, indent: int) -> Iterator[str]:
    """The lines of a collection in a list; the first stands beside the dash."""
    if entry.beside:
        last = node.entries[-1]._replace(beside=node.entries[-1].beside or entry.beside)
        node = node._replace(entries=(*node.entries[:-1], last))
    first, *others = _block(node, indent + 2)
    yield f"{' ' * indent}- {first.lstrip()}"
    yield from others


def _on_one_line(entry: Entry, opening: str) -> str | None:
    """The entry in braces or brackets, None where it has to stand on several lines."""
    if not isinstance(entry.node, Collection) or _holds_mapping(entry.node):
        return None
    entry = _with_last_comment(entry)
    node = entry.node
    if _needs_lines(node):
        return None
    line = f"{opening} {_flow(node)}"
    return f"{line}{entry.beside}" if len(line) <= WIDTH else None


def _with_last_comment(entry: Entry) -> Entry:
    """The entry with the comment at its very end beside it, where that is its only one."""
    node = entry.node
    if isinstance(node, Scalar) or not node.entries or entry.beside:
        return entry
    last = _with_last_comment(node.entries[-1])
    if not last.beside:
        return entry
    bare = node._replace(entries=(*node.entries[:-1], last._replace(beside="")))
    return entry if _needs_lines(bare) else entry._replace(node=bare, beside=last.beside)


def _needs_lines(node: Node) -> bool:
    """Whether anything in it takes a line of its own: a comment, a block scalar."""
    if isinstance(node, Scalar):
        return node.lines is not None
    for entry in node.entries:
        if entry.beside or any(entry.above) or _needs_lines(entry.node):
            return True
    return any(node.below)


def _holds_mapping(node: Collection) -> bool:
    for entry in node.entries:
        inner = entry.node
        if isinstance(inner, Collection) and (not inner.is_list or _holds_mapping(inner)):
            return True
    return False


def _flow(node: Node) -> str:
    if isinstance(node, Scalar):
        return _written(node, in_flow=True)
    texts = (f"{e.key}: {_flow(e.node)}" if e.key else _flow(e.node) for e in node.entries)
    return f"[{', '.join(texts)}]" if node.is_list else f"{{{', '.join(texts)}}}"


def _written(scalar: Scalar, in_flow: bool = False) -> str:
    """A value as it was written, quoted where it cannot stand so inside braces."""
    if scalar.text is None:
        return as_scalar(scalar.value).text or ""
    if in_flow and scalar.plain and not _SIGNS_OF_FLOW.isdisjoint(scalar.text):
        return scalar.text if _is_plain(scalar.text, scalar.value) else _quoted(scalar.value)
    return scalar.text


def _comments(lines: Iterable[str], indent: int) -> Iterator[str]:
    """Lines at an indent; blank ones without it."""
    return (f"{' ' * indent}{line}" if line else "" for line in lines)


def _is_plain(text: str, value: str) -> bool:
    """Whether text without quotes is read as that value, in braces as anywhere."""
    if text == value:  # as nearly every text of a recipe: not worth a reader of YAML each
        if "," in text or ": " in text:
            return False
        if _SURELY_PLAIN.fullmatch(text) and text.lower() not in _NO_TEXT:
            return True
    if not text.isprintable():
        return False
    try:
        in_block = read_document(
            f"key: {text}".encode(), ""
        ).data  # "-" alone is plain in braces only
        return bool(read_document(f"[{text}]".encode(), "").data == [value] == [in_block["key"]])
    except FileProblem:
        return False


def _quoted(value: str) -> str:
    if value.isprintable():
        return "'" + value.replace("'", "''") + "'"
    return yaml_quoted(value)
