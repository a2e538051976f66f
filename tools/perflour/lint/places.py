"""Where results stand in full, for reports that hosts and editors read: base folder, extents, pages of rules."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from types import MappingProxyType
from typing import Any

from perflour.documents.reader import Document, read_document
from perflour.kitchen.house import kitchen_for
from perflour.result import FileProblem, Place, Result
from perflour.system.files import STDIN
from perflour.system.opening import STANDARD_INPUT, read
from perflour.system.paths import repository_top
from perflour.tuples import NamedTuple


class End(NamedTuple):
    """Where a result ends: its last line, and the column behind its last sign, from 1."""

    line: int
    column: int


class Places(NamedTuple):
    """``base`` is the folder that paths are told from, ``pages`` the address of the rules' pages or empty.

    ``ends`` has the end of what stands at a place.
    """

    base: str
    pages: str = ""
    ends: Mapping[Place, End] = MappingProxyType({})


def places_of(results: Sequence[Result], named: Sequence[str]) -> Places:
    """All of that for the results of a run over some names; the house of the first says where pages are.

    Files are read again: what was edited meanwhile, or cannot be read, ends with the line as it was.
    """
    return Places(repository_top(os.getcwd()), _pages(named), dict(_ends(results)))


def _pages(named: Sequence[str]) -> str:
    first = next((name for name in named if name != STDIN), ".")
    house = kitchen_for(os.path.join(first, "any") if os.path.isdir(first) else first).house
    return f"{house.rule_pages.rstrip('/')}/" if house.rule_pages else ""


def _ends(results: Iterable[Result]) -> Iterator[tuple[Place, End]]:
    for path, of_file in groupby(results, key=lambda result: result.place.path):
        content = _content(path)
        plain = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
        lines = plain.decode("utf-8-sig", "replace").split("\n") if plain else []
        nodes = _node_ends(content, path)
        for result in of_file:
            yield result.place, nodes.get(result.place) or _end_of_line(result, lines)


def _content(path: str) -> bytes:
    if path == STANDARD_INPUT:
        return b""
    try:
        return read(path)
    except (OSError, ValueError):
        return b""


def _end_of_line(result: Result, lines: Sequence[str]) -> End:
    """The end of the line, for what is no node: broken YAML, a file that is gone."""
    _, line, column = result.place
    text = lines[line - 1] if line <= len(lines) else result.line
    return End(line, max(column, len(text.rstrip()) + 1))


def _node_ends(content: bytes, path: str) -> dict[Place, End]:
    """Where each entry and each value of a document ends, by where it begins; none of what is no document."""
    try:
        return ends_of(read_document(content, path))
    except FileProblem:
        return {}


def ends_of(document: Document) -> dict[Place, End]:
    """Where each entry and each value of a document ends, by where it begins."""
    path = document.path
    found: dict[Place, End] = {}
    left: list[Any] = [document.root]
    while left:
        node = left.pop()
        if not isinstance(node.value, list):
            _keep(found, path, node, node)
            continue
        if node.flow_style:  # in braces or brackets; others begin with their first key
            _keep(found, path, node, node)
        for held in node.value:
            if isinstance(held, tuple):
                key, value = held
                _keep(found, path, key, value if _is_told_whole(key, value) else key)
                left.append(value)
            else:
                left.append(held)
    return found


def _is_told_whole(key: Any, value: Any) -> bool:
    """Whether an entry is told with its value: one that ends on the line of its key."""
    return bool(value.end_mark.line == key.start_mark.line)


def _keep(found: dict[Place, End], path: str, first: Any, last: Any) -> None:
    start, end = first.start_mark, last.end_mark
    found.setdefault(Place(path, start.line + 1, start.column + 1), End(end.line + 1, end.column + 1))  # fmt: skip
