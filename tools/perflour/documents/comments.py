"""The comments of a text, found by where its signs `#` stand among its nodes: few do, so little is looked at."""

import re
from bisect import bisect_right

from perflour.documents.nodes_of import is_list, is_scalar, nodes_of
from perflour.documents.reader import Node

_COMMENT = re.compile("#[^\n]*")
# Breaks of lines that end a comment for some readers and not for others.
_OTHER_BREAKS = re.compile("[\x85\u2028\u2029]")


def comments_of(text: str) -> list[str]:
    """Every comment of a text that ``read_document`` has read, in order."""
    if "#" not in text:
        return []
    found = None if _OTHER_BREAKS.search(text) else _outside_scalars(text)
    if found is None:
        from perflour.documents.nodes import all_comments_of  # takes long to load

        return all_comments_of(text)
    return found


def _outside_scalars(text: str) -> list[str] | None:
    """The comments; None where one may stand in a block of text, which ends where only its lines tell."""
    root = nodes_of(text)
    found = []
    at = text.find("#")
    while at >= 0:
        scalar = _scalar_around(root, at)
        if scalar is None:
            comment = _COMMENT.match(text, at)
            assert comment
            found.append(comment[0].rstrip())
            end = comment.end()
        elif scalar.style in ("|", ">"):
            return None
        else:
            end = scalar.end_mark.index
        at = text.find("#", end)
    return found


def _scalar_around(node: Node, at: int) -> Node | None:
    """The scalar that a place of the text is in, a key or a value."""
    while not is_scalar(node):
        number = bisect_right(node.value, at, key=_start) - 1
        if number < 0:
            return None
        entry = node.value[number]
        if is_list(node):
            node = entry
        else:
            key, value = entry
            node = key if at < key.end_mark.index else value
    return node if node.start_mark.index <= at < node.end_mark.index else None


def _start(entry: Node) -> int:
    first = entry[0] if isinstance(entry, tuple) else entry
    return int(first.start_mark.index)
