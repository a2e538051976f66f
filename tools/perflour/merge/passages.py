"""A formula file taken apart into passages of whole lines, so that a merge can splice three texts.

A passage is a field, a part, an ingredient line, a step or a waiver with the comments over it. Whole lines
are moved, never made anew, so what nobody touched stays as it was typed. Where a text does not give
each passage lines of its own (all in braces, two on a line), that passage alone is written in the house format
first: there every passage has its own lines.
"""

import re
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from itertools import accumulate
from typing import Any, NamedTuple

import yaml

from perflour.documents.layout import write_commented
from perflour.documents.nodes import read_commented

Lines = tuple[str, ...]

_DASH = re.compile(r" *- +")
_KEY = re.compile(r"( *[^ :]+:)")
_EMPTY = re.compile(r"( *[^ :]+:) *\[ *\]")
_ENDS: Any = (yaml.SequenceEndEvent, yaml.MappingEndEvent)
# What may stand before the first entry of a file, and after its last, besides comments.
_MARKERS = ("---", "...", "%")


class NotApart(Exception):
    """A text whose passages cannot be told apart by lines."""


class Passage(NamedTuple):
    """One entry as whole lines; ``column`` is where its key or dash stands."""

    key: str
    column: int
    lead: Lines
    body: Lines

    @property
    def lines(self) -> Lines:
        return self.lead + self.body

    @property
    def text(self) -> str:
        """The body as a text of its own, at the left margin."""
        return "".join(f"{line}\n" for line in shifted(self.body, -self.column))


class Apart(NamedTuple):
    """A mapping or list as passages, between the lines that open it and the comments that end it."""

    opening: Lines
    passages: tuple[Passage, ...]
    below: Lines
    column: int


class _Node(NamedTuple):
    """A node by the offset of its end; a collection with its entries, each key and value."""

    end: int
    is_list: bool = False
    is_block: bool = False
    entries: "tuple[_Entry, ...]" = ()


class _Entry(NamedTuple):
    """An entry of a mapping by the offset of its key, of a list by that of its value."""

    key: str
    start: int
    node: _Node


def shifted(lines: Sequence[str], by: int) -> Lines:
    """Lines moved right, or left as far as their indent goes; blank ones stay."""
    if by >= 0:
        return tuple(f"{' ' * by}{line}" if line.strip() else line for line in lines)
    return tuple(line[min(-by, len(line) - len(line.lstrip(" "))) :] for line in lines)


def at_column(passage: Passage, column: int) -> Passage:
    """The passage with its key or dash at another column."""
    by = column - passage.column
    return passage._replace(
        column=column, lead=shifted(passage.lead, by), body=shifted(passage.body, by)
    )


def file_apart(text: str) -> Apart:
    """The fields of a file; what opens it are the comments over the first one."""
    try:
        return _file_apart(text)
    except NotApart:
        return _file_apart(write_commented(read_commented(text)))


def _file_apart(text: str) -> Apart:
    if not text.strip():
        return Apart((), (), (), 0)
    apart = _apart(_lines(text), _outline(text), 0, markers=True)
    first, *others = apart.passages
    return apart._replace(opening=first.lead, passages=(first._replace(lead=()), *others))


def list_apart(passage: Passage) -> Apart:
    """The items of a field that holds a list."""
    return _own_lines(passage, _list_apart)


def _list_apart(passage: Passage) -> Apart:
    """Items with their own dashes below the line of the key; none of an empty list."""
    text, lines = passage.text, _lines(passage.text)
    (field,) = _outline(text).entries
    opens = text.count("\n", 0, field.start) + 1
    if not field.node.is_list:
        raise NotApart
    if field.node.entries and field.node.is_block:
        return _placed(_apart(lines, field.node, opens), passage.column)
    opening, empty = _EMPTY.subn(r"\1", lines[opens - 1])
    if field.node.entries or not empty:
        raise NotApart
    below = _gap(lines[opens:], markers=False)
    return _placed(Apart((*lines[: opens - 1], opening), (), below, 2), passage.column)


def with_empty_list(opening: Lines) -> Lines:
    """The lines that open a list, as those of an empty one."""
    return (*opening[:-1], _KEY.sub(r"\1 []", opening[-1]))


def item_apart(passage: Passage) -> Apart:
    """The fields of an item of a list that is a mapping, the dash left out."""
    return _own_lines(passage, _item_apart)


def _item_apart(passage: Passage) -> Apart:
    lines = _lines(passage.text)
    opens = _first_key(lines)
    dash = _DASH.match(lines[opens])
    if not dash:
        raise NotApart
    lines[opens] = " " * dash.end() + lines[opens][dash.end() :]
    node = _outline("\n".join(lines))
    if node.is_list or not node.is_block:
        raise NotApart
    return _placed(_apart(lines, node, opens), passage.column)


def as_item(opening: Lines, passages: Lines, column: int) -> Lines:
    """The lines of a mapping as an item of a list, a dash at ``column`` before its first key."""
    first = _first_key(passages)
    dashed = f"{passages[first][:column]}-{passages[first][column + 1 :]}"
    return (*opening, *passages[:first], dashed, *passages[first + 1 :])


def is_content(line: str) -> bool:
    """Whether a line is neither blank nor a comment."""
    return bool(line.strip()) and line.strip()[0] != "#"


def _first_key(lines: Sequence[str]) -> int:
    return next(at for at, line in enumerate(lines) if is_content(line))


def _own_lines(passage: Passage, take_apart: Callable[[Passage], Apart]) -> Apart:
    """Taken apart as it is, or else from its house format."""
    try:
        return take_apart(passage)
    except NotApart:
        body = shifted(_lines(write_commented(read_commented(passage.text))), passage.column)
        return take_apart(passage._replace(body=body))


def _placed(apart: Apart, by: int) -> Apart:
    """The same, further right."""
    passages = tuple(at_column(passage, passage.column + by) for passage in apart.passages)
    return Apart(shifted(apart.opening, by), passages, shifted(apart.below, by), apart.column + by)


def _lines(text: str) -> list[str]:
    return text.removesuffix("\n").split("\n")


def _apart(lines: list[str], node: _Node, opening: int, markers: bool = False) -> Apart:
    """A mapping or list by whole lines, of which the first ``opening`` ones open it."""
    starts = [0, *accumulate(len(line) + 1 for line in lines)]
    passages: list[Passage] = []
    at = opening
    lead: Lines = ()
    for entry in node.entries:
        first = bisect_right(starts, entry.start) - 1
        last = bisect_right(starts, max(entry.node.end - 1, entry.start)) - 1
        column = _column(lines[first][: entry.start - starts[first]], node.is_list)
        if first < at or (passages and column != passages[0].column):
            raise NotApart
        lead = _gap(lines[at:first], markers and not passages)
        if passages:
            passages[-1], lead = _with_tail(passages[-1], lead)
        passages.append(Passage(entry.key, column, lead, tuple(lines[first : last + 1])))
        at = last + 1
    passages[-1], below = _with_tail(passages[-1], _gap(lines[at:], markers))
    return Apart(tuple(lines[:opening]), tuple(passages), below, passages[0].column)


def _column(before: str, is_list: bool) -> int:
    """The column of an entry by what stands before it on its line."""
    if is_list and _DASH.fullmatch(before):
        return before.index("-")
    if is_list or before.strip(" "):
        raise NotApart
    return len(before)


def _gap(lines: list[str], markers: bool) -> Lines:
    """Lines between entries: comments and blank ones."""
    for line in lines:
        word = line.strip()
        if word and word[0] != "#" and not (markers and word.startswith(_MARKERS)):
            raise NotApart
    return tuple(lines)


def _with_tail(passage: Passage, gap: Lines) -> tuple[Passage, Lines]:
    """A passage with the comments below it that stand further right than it; the rest of the gap."""
    inner = [at for at, line in enumerate(gap) if _indent(line) > passage.column and line.strip()]
    end = inner[-1] + 1 if inner else 0
    return passage._replace(body=passage.body + gap[:end]), gap[end:]


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def _outline(text: str) -> _Node:
    """The nodes of a text by their offsets."""
    events: Iterator[Any] = iter(yaml.parse(text, Loader=yaml.CSafeLoader))
    for event in events:
        if event.__class__ is yaml.DocumentStartEvent:
            return _node(text, next(events), events)
    raise NotApart


def _node(text: str, event: Any, events: Iterator[Any]) -> _Node:
    if event.__class__ is yaml.ScalarEvent:
        return _Node(_scalar_end(text, event))
    is_list = event.__class__ is yaml.SequenceStartEvent
    end = event.start_mark.index
    entries: list[_Entry] = []
    for inner in events:
        if isinstance(inner, _ENDS):
            end = inner.end_mark.index if event.flow_style else end
            break
        value = inner if is_list else next(events)
        node = _node(text, value, events)
        end = node.end
        entries.append(_Entry("" if is_list else inner.value, inner.start_mark.index, node))
    return _Node(end, is_list, not event.flow_style, tuple(entries))


def _scalar_end(text: str, event: Any) -> int:
    """Where a scalar ends; blank lines below a block of text are its own only if it keeps them."""
    start: int = event.start_mark.index
    end: int = event.end_mark.index
    if event.style not in ("|", ">"):
        return end
    head = text[start : text.find("\n", start)]
    block = text[start:end]
    return start + len(block if "+" in head.split("#")[0] else block.rstrip())
