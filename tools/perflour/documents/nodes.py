"""YAML text to nodes that hold their comments, for the house format to move and write again.

ruamel.yaml loses comments inside braces and brackets, and hangs those above an entry on the one
before it. Here a comment belongs to the entry it stands above or beside, so that both move together.
Only for text that `source` reads: one document without anchors, aliases and tags.
"""

import operator
import re
from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from typing import Any, TypeAlias

from perflour.documents.nodes_of import is_list, is_scalar, nodes_of
from perflour.documents.reader import Node as YamlNode
from perflour.documents.reader import Path
from perflour.tuples import NamedTuple

# What opens a block scalar: its style, then how it ends and its indent in either order.
_BLOCK_HEAD = re.compile(r"[|>](?:([1-9])[-+]?|[-+]([1-9])?)?")
_COMMENT = re.compile("#[^\n\x85\u2028\u2029]*")
_LINE_BREAK = re.compile("[\n\x85\u2028\u2029]")
# What is looked for above the root, where nothing but comments stand.
_MARK = re.compile("(?:^|[\r\n\x85\u2028\u2029])\ufeff?---")


class Scalar(NamedTuple):
    """One value: what it says, and how it is written.

    ``text`` None leaves the spelling to the writer. For a block scalar it is what opens it, and
    ``lines`` are the lines below without their indent of ``indent`` spaces.
    """

    value: str
    text: str | None = None
    plain: bool = False
    lines: tuple[str, ...] | None = None
    indent: int = 2


class Entry(NamedTuple):
    """An entry of a mapping, or of a list where ``key`` is empty.

    ``above`` are the comments over it, an empty text a blank line; ``beside`` is the comment at the
    end of its line, with the spaces before it.
    """

    node: "Node"
    key: str = ""
    above: tuple[str, ...] = ()
    beside: str = ""


class Collection(NamedTuple):
    """A mapping or a list; ``below`` are the comments after its last entry."""

    is_list: bool
    entries: tuple[Entry, ...]
    below: tuple[str, ...] = ()


Node: TypeAlias = Scalar | Collection


class CommentedFile(NamedTuple):
    """A whole file: ``head`` stays at its top, followed by `---` where it is ``marked``.

    ``comments`` are all of the text that was read, in order.
    """

    head: tuple[str, ...]
    root: Collection
    marked: bool = False
    comments: tuple[str, ...] = ()


def read_commented(text: str) -> CommentedFile:
    """The nodes of a text whose root is a mapping, with all its comments."""
    outline = _Outline(text)
    notes = tuple(outline.notes())
    root = _Placing(outline, notes).commented(outline.root, ())
    comments = tuple(note.text for note in notes if note.text)
    assert isinstance(root, Collection)
    if not root.entries:
        return CommentedFile((), root, outline.marked, comments)
    first, *others = root.entries
    entries = (first._replace(above=()), *others)
    return CommentedFile(first.above, root._replace(entries=entries), outline.marked, comments)


def all_comments_of(text: str) -> list[str]:
    """Every comment of a text, in order; ``comments`` finds those of an ordinary one sooner."""
    return [note.text for note in _Outline(text).notes() if note.text]


def changed(mapping: Collection, changes: Mapping[str, Callable[[Any], Node]]) -> Collection:
    """A mapping with the values of some keys changed."""
    entries = (
        _holding(entry, changes[entry.key](entry.node)) if entry.key in changes else entry
        for entry in mapping.entries
    )
    return with_entries(mapping, tuple(entries))


def each(items: Collection, change: Callable[[int, Any], Node]) -> Collection:
    """A list with every value changed, by its number."""
    entries = (
        _holding(entry, change(number, entry.node)) for number, entry in enumerate(items.entries)
    )
    return with_entries(items, tuple(entries))


def with_entries(node: Collection, entries: tuple[Entry, ...]) -> Collection:
    """A collection with other entries; itself where they are its own, as most are: docs/performance.md."""
    same = len(entries) == len(node.entries) and all(map(operator.is_, entries, node.entries))
    return node if same else node._replace(entries=entries)


def _holding(entry: Entry, node: Node) -> Entry:
    return entry if node is entry.node else entry._replace(node=node)


class _Ends(NamedTuple):
    """Where a node ends; where a comment beside it may follow, -1 for none; whether it is a scalar."""

    end: int
    anchor: int
    is_scalar: bool


class _Spot(NamedTuple):
    """Where an entry stands, with the column of its collection's entries."""

    path: Path
    start: int
    column: int
    ends: _Ends


class _Span(NamedTuple):
    """Where a collection stands."""

    path: Path
    start: int
    end: int
    column: int
    is_flow: bool


class _Note(NamedTuple):
    """A comment with the spaces before it, or a blank line; ``alone`` where it has its own line."""

    at: int
    column: int
    text: str
    gap: str
    alone: bool


class _Outline:
    """The nodes without comments, and where they stand; a class because the nodes nest."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.entries: dict[Path, _Spot] = {}
        self.spans: dict[Path, _Span] = {}
        self.scalars: list[tuple[int, int]] = []
        self.marked = False
        if (root := nodes_of(text)) is not None:
            self.marked = bool(_MARK.search(text, 0, root.start_mark.index))
            self.root, _ = self._node(root, (), 0)

    def _node(self, read: YamlNode, path: Path, column: int) -> tuple[Node, _Ends]:
        """A node as it was read, in a collection at ``column``."""
        if is_scalar(read):
            return self._scalar(read, column)
        column, is_flow = read.start_mark.column, bool(read.flow_style)
        span = _Span(path, read.start_mark.index, -1, column, is_flow)
        self.spans[path] = span  # now, so that outer ones stand before inner ones
        in_list = is_list(read)
        end = span.start
        entries: list[Entry] = []
        for number, held in enumerate(read.value):
            entry, end = self._entry(held, path, number if in_list else None, column)
            entries.append(entry)
        if is_flow:
            end = read.end_mark.index
        self.spans[path] = span._replace(end=end)
        return Collection(in_list, tuple(entries)), _Ends(end, end if is_flow else -1, False)

    def _entry(self, held: Any, path: Path, at: int | None, column: int) -> tuple[Entry, int]:
        """The entry of a value, or of a key and its value where ``at`` is None, and where it ends."""
        first, read = held if at is None else (held, held)
        start, key, key_end = first.start_mark.index, "", -1
        if at is None:
            key, key_end, column = first.value, first.end_mark.index, first.start_mark.column
            self.scalars.append((start, key_end))
        inner = (*path, key if at is None else at)
        spot = _Spot(inner, start, column, _Ends(-1, -1, False))
        self.entries[inner] = spot  # now, so that entries stand in order of their start
        node, ends = self._node(read, inner, column)
        if ends.anchor < 0:
            ends = ends._replace(anchor=key_end)
        self.entries[inner] = spot._replace(ends=ends)
        return Entry(node, key), ends.end

    def _scalar(self, read: YamlNode, column: int) -> tuple[Scalar, _Ends]:
        start, end = read.start_mark.index, read.end_mark.index
        if read.style in ("|", ">"):
            return self._block_scalar(read.value, start, end, column)
        self.scalars.append((start, end))
        written = self.text[start:end]
        text = None if _LINE_BREAK.search(written) else written
        return Scalar(read.value, text, plain=not read.style), _Ends(end, end, True)

    def _block_scalar(self, value: str, start: int, end: int, column: int) -> tuple[Scalar, _Ends]:
        opening = _BLOCK_HEAD.match(self.text, start)
        assert opening  # the node says so
        body = self.text.find("\n", start, end) + 1 or end
        lines = self.text[body:end].removesuffix("\n").split("\n")
        stated = opening[1] or opening[2]
        indent = column + int(stated) if stated else _indent(lines)
        inner = [line[indent:] for line in lines]
        if "+" not in opening[0]:  # blank lines at the end belong to what follows
            while inner and not inner[-1]:
                inner.pop()
        last = body + sum(len(line) + 1 for line in lines[: len(inner)]) - 1 if inner else body - 1
        self.scalars.append((body - 1, last))
        scalar = Scalar(value, opening[0], False, tuple(inner), int(stated or 2))
        return scalar, _Ends(last, opening.end(), True)

    def notes(self) -> Iterator[_Note]:
        """Every comment and blank line, in order: what stands between scalars."""
        ends = [0, *(end for _, end in self.scalars)]
        starts = [*(start for start, _ in self.scalars), len(self.text)]
        for start, end in zip(ends, starts, strict=True):
            yield from self._notes_between(start, end)

    def _notes_between(self, start: int, end: int) -> Iterator[_Note]:
        pieces = self.text[start:end].split("\n")
        at = start
        for number, piece in enumerate(pieces):
            starts_line = number > 0 or start == 0
            ends_line = number < len(pieces) - 1
            comment = _COMMENT.search(piece)
            if comment:
                before = piece[: comment.start()]
                gap = before[len(before.rstrip()) :]
                alone = starts_line and gap == before
                yield _Note(at + comment.start(), len(before), comment[0].rstrip(), gap, alone)
            elif starts_line and ends_line and not piece.strip():
                yield _Note(at, 0, "", "", True)
            at += len(piece) + 1


def _indent(lines: list[str]) -> int:
    """The indent of the first line that is not blank."""
    filled = (line for line in lines if line.strip(" "))
    return next((len(line) - len(line.lstrip(" ")) for line in filled), 0)


class _Placing:
    """Which comments belong to which entry, or to the end of which collection."""

    def __init__(self, outline: _Outline, notes: tuple[_Note, ...]) -> None:
        self.text = outline.text
        self.entries = list(outline.entries.values())
        self.starts = [spot.start for spot in self.entries]
        beside = (spot for spot in self.entries if spot.ends.anchor >= 0)
        self.beside_of = sorted(beside, key=lambda spot: spot.ends.anchor)
        self.flows: list[tuple[_Span, int]] = []  # with the end of the outermost one around it
        self.blocks: dict[int, list[_Span]] = defaultdict(list)  # by their end, inner ones last
        for span in outline.spans.values():
            if span.is_flow:
                inside = self.flows and span.start < self.flows[-1][1]
                self.flows.append((span, self.flows[-1][1] if inside else span.end))
            else:
                self.blocks[span.end].append(span)
        self.block_ends = sorted(self.blocks)
        self.above: dict[Path, list[str]] = defaultdict(list)
        self.beside: dict[Path, list[str]] = defaultdict(list)
        self.below: dict[Path, list[str]] = defaultdict(list)
        self._place(notes)

    def commented(self, node: Node, path: Path) -> Node:
        """A node with the comments of everything in it."""
        if isinstance(node, Scalar):
            return node
        entries = (
            self._commented_entry(entry, (*path, at if node.is_list else entry.key))
            for at, entry in enumerate(node.entries)
        )
        return Collection(node.is_list, tuple(entries), tuple(self.below[path]))

    def _commented_entry(self, entry: Entry, path: Path) -> Entry:
        node = self.commented(entry.node, path)
        *others, last = self.beside[path] or [""]
        above = [*self.above[path], *map(str.strip, others)]
        if isinstance(node, Collection) and not node.entries:  # `[]` has no room for comments
            above += node.below
            node = node._replace(below=())
        return Entry(node, entry.key, tuple(above), last)

    def _place(self, notes: tuple[_Note, ...]) -> None:
        blanks: list[int] = []
        for note in notes:
            following = self._following(blanks[0]) if blanks else None
            if following and following.start < note.at:
                self.above[following.path] += [""] * len(blanks)
                blanks.clear()
            if not note.text:
                if not self._flow_around(note.at) and not self._scalar_after(note.at):
                    blanks.append(note.at)
            elif not note.alone and (owner := self._owner(note.at)):
                gap = note.gap if note.gap.strip(" ") == "" and note.gap else "  "
                self.beside[owner.path].append(gap + note.text)
            else:
                self._target(note).extend([*[""] * len(blanks), note.text])
                blanks.clear()
        if blanks and (following := self._following(blanks[0])):
            self.above[following.path] += [""] * len(blanks)

    def _owner(self, at: int) -> _Spot | None:
        """The entry that ends before a comment on its line."""
        number = bisect_right(self.beside_of, at, key=lambda spot: spot.ends.anchor)
        spot = self.beside_of[number - 1] if number else None
        return spot if spot and "\n" not in self.text[spot.ends.anchor : at] else None

    def _target(self, note: _Note) -> list[str]:
        """Where a comment with a line of its own belongs."""
        following = self._following(note.at)
        if around := self._flow_around(note.at):
            inside = following and following.start < around.end
            return self.above[following.path] if following and inside else self.below[around.path]
        if spot := self._scalar_after(note.at):
            return self.above[spot.path]
        if following and note.column <= following.column:
            return self.above[following.path]
        ended = [span for span in self._ended_before(note.at) if span.column <= note.column]
        if ended:  # the innermost that stands no further right
            return self.below[max(ended, key=lambda span: span.column).path]
        return self.above[following.path] if following else self.below[()]

    def _following(self, at: int) -> _Spot | None:
        """The next entry, the outermost of those that start together."""
        number = bisect_left(self.starts, at)
        return self.entries[number] if number < len(self.entries) else None

    def _flow_around(self, at: int) -> _Span | None:
        """The innermost braces or brackets around a place."""
        number = bisect_left(self.flows, at, key=lambda flow: flow[0].start)
        for span, outer_end in reversed(self.flows[:number]):
            if at >= outer_end:
                return None
            if at < span.end:
                return span
        return None

    def _scalar_after(self, at: int) -> _Spot | None:
        """The entry whose key stands before a place, and whose plain value stands after it."""
        number = bisect_left(self.starts, at)
        spot = self.entries[number - 1] if number else None
        return spot if spot and spot.ends.is_scalar and at < spot.ends.end else None

    def _ended_before(self, at: int) -> list[_Span]:
        """The block collections that end with the last thing before a place, inner ones last."""
        number = bisect_right(self.block_ends, at)
        end = self.block_ends[number - 1] if number else -1
        following = self._following(end)
        if end < 0 or (following and following.start < at):
            return []
        return self.blocks[end]
