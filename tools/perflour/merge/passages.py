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

from perflour.documents.nodes_of import is_list, is_scalar, nodes_of
from perflour.documents.reader import Node
from perflour.tuples import NamedTuple

Lines = tuple[str, ...]

_DASH = re.compile(r" *- +")
_KEY = re.compile(r"( *[^ :]+:)")
_EMPTY = re.compile(r"( *[^ :]+:) *\[ *\]")
# What may stand before the first entry of a file, and after its last, besides comments.
_MARKERS = ("---", "...", "%")


class NotApart(Exception):
    """A text whose passages cannot be told apart by lines."""


class Field(NamedTuple):
    """Key and value of a field as they were read; ``at`` is where the first line of its body began."""

    key: Node
    value: Node
    at: int


class Passage(NamedTuple):
    """One entry as whole lines; ``column`` is where its key or dash stands.

    ``field`` is there where the body is the very text that was read: it need not be read again.
    """

    key: str
    column: int
    lead: Lines
    body: Lines
    field: Field | None = None

    @property
    def lines(self) -> Lines:
        return self.lead + self.body

    @property
    def text(self) -> str:
        """The body as a text of its own, at the left margin."""
        lines = shifted(self.body, -self.column)
        return "\n".join(lines) + "\n" if lines else ""


class Apart(NamedTuple):
    """A mapping or list as passages, between the lines that open it and the comments that end it."""

    opening: Lines
    passages: tuple[Passage, ...]
    below: Lines
    column: int


def shifted(lines: Sequence[str], by: int) -> Lines:
    """Lines moved right, or left as far as their indent goes; blank ones stay."""
    if not by:
        return tuple(lines)
    if by > 0:
        return tuple(f"{' ' * by}{line}" if line.strip() else line for line in lines)
    return tuple(line[min(-by, len(line) - len(line.lstrip(" "))) :] for line in lines)


def at_column(passage: Passage, column: int) -> Passage:
    """The passage with its key or dash at another column."""
    by = column - passage.column
    if not by:
        return passage
    return passage._replace(
        column=column,
        lead=shifted(passage.lead, by),
        body=shifted(passage.body, by),
        field=None,
    )


def file_apart(text: str, root: Node | None = None) -> Apart:
    """The fields of a file, of which ``root`` may be known; what opens it are the comments over the first one."""
    try:
        return _file_apart(text, root)
    except NotApart:
        return _file_apart(_in_house_format(text), None)


def _file_apart(text: str, root: Node | None) -> Apart:
    if not text.strip():
        return Apart((), (), (), 0)
    apart = _apart(_lines(text), root or nodes_of(text), 0, markers=True)
    first, *others = apart.passages
    return apart._replace(opening=first.lead, passages=(first._replace(lead=()), *others))


def list_apart(passage: Passage) -> Apart:
    """The items of a field that holds a list."""
    return _own_lines(passage, _list_apart)


def _list_apart(passage: Passage) -> Apart:
    """Items with their own dashes below the line of the key; none of an empty list."""
    text = passage.text
    lines = _lines(text)
    key, items, at = passage.field or (*nodes_of(text).value[0], 0)
    opens = text.count("\n", 0, key.start_mark.index - at) + 1
    if not is_list(items):
        raise NotApart
    if items.value and not items.flow_style:
        return _placed(_apart(lines, items, opens, at=at), passage.column)
    opening, empty = _EMPTY.subn(r"\1", lines[opens - 1])
    if items.value or not empty:
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
    node = nodes_of("\n".join(lines))
    if is_list(node) or node.flow_style:
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
        body = shifted(_lines(_in_house_format(passage.text)), passage.column)
        return take_apart(passage._replace(body=body, field=None))


def _in_house_format(text: str) -> str:
    from perflour.documents.layout import write_commented  # hardly ever met, and long to load
    from perflour.documents.nodes import read_commented

    return write_commented(read_commented(text))


def _placed(apart: Apart, by: int) -> Apart:
    """The same, further right."""
    passages = tuple(at_column(passage, passage.column + by) for passage in apart.passages)
    return Apart(shifted(apart.opening, by), passages, shifted(apart.below, by), apart.column + by)


def _lines(text: str) -> list[str]:
    return text.removesuffix("\n").split("\n")


def _apart(lines: list[str], node: Node, opening: int, markers: bool = False, at: int = 0) -> Apart:
    """A mapping or list by whole lines, of which the first ``opening`` ones open it; its nodes count from ``at``."""
    text = "\n".join(lines)
    starts = [0, *accumulate(len(line) + 1 for line in lines)]
    passages: list[Passage] = []
    done = opening
    lead: Lines = ()
    for key, value in _entries(node):
        start, end = (key or value).start_mark.index - at, _end(text, value, at)
        first = bisect_right(starts, start) - 1
        last = bisect_right(starts, max(end - 1, start)) - 1
        column = _column(lines[first][: start - starts[first]], is_list(node))
        if first < done or (passages and column != passages[0].column):
            raise NotApart
        lead = _gap(lines[done:first], markers and not passages)
        if passages:
            passages[-1], lead = _with_tail(passages[-1], lead)
        field = Field(key, value, starts[first] + at) if key and not column else None
        body = tuple(lines[first : last + 1])
        passages.append(Passage(key.value if key else "", column, lead, body, field))
        done = last + 1
    passages[-1], below = _with_tail(passages[-1], _gap(lines[done:], markers))
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


def _entries(node: Node) -> Iterator[tuple[Node | None, Node]]:
    """The keys, none in a list, and values of a mapping or list."""
    return ((None, item) for item in node.value) if is_list(node) else iter(node.value)


def _end(text: str, node: Node, at: int) -> int:
    """Where a node ends in a text that began at ``at``; one of a block with its last entry."""
    while not is_scalar(node):
        if node.flow_style:
            return int(node.end_mark.index) - at
        if not node.value:
            return int(node.start_mark.index) - at
        node = node.value[-1] if is_list(node) else node.value[-1][1]
    return _scalar_end(text, node, at)


def _scalar_end(text: str, scalar: Node, at: int) -> int:
    """Where a scalar ends; blank lines below a block of text are its own only if it keeps them."""
    start: int = scalar.start_mark.index - at
    end: int = scalar.end_mark.index - at
    if scalar.style not in ("|", ">"):
        return end
    head = text[start : text.find("\n", start)]
    block = text[start:end]
    return start + len(block if "+" in head.split("#")[0] else block.rstrip())
