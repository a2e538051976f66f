"""One passage merged field by field: what to write where both sides touched the same line or step.

Everything here is worked out for one side at a time: the merged passage, its own way where both changed one
thing. Done once for each side the two come out alike unless there is a conflict; and since both hold
whatever is clear, either can be chosen without losing an edit. It takes long to load, so only a merge with
such a passage does.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterator, Sequence
from typing import TypeAlias

from perflour.documents.layout import write_commented
from perflour.documents.nodes import Collection, CommentedFile, Entry, Node, Scalar, read_commented
from perflour.documents.reader import is_text
from perflour.merge.order import Item, Trio, arranged
from perflour.merge.sameness import merged_comments, named_use

Meaning: TypeAlias = tuple[str, Hashable]


def merged_text(base: str, mine: str, other: str) -> str:
    """The text of a passage with the changes of both sides, mine where they contradict each other.

    ``base`` is empty where both added the passage.
    """
    was = _passage(base) if base else None
    page, others = _passage(mine), _passage(other)
    entry = _merged_entry(
        was.root.entries[0] if was else None, page.root.entries[0], others.root.entries[0]
    )
    below = merged_comments(was.root.below if was else (), page.root.below, others.root.below)
    return write_commented(page._replace(root=page.root._replace(entries=(entry,), below=below)))


def means(text: str) -> Meaning:
    """What a passage says, without its comments and its form."""
    return _means(read_commented(text).root)


def says(text: str) -> Hashable:
    """What a passage says in words and comments, whatever its form."""
    return _all_said(_passage(text).root)


def _passage(text: str) -> CommentedFile:
    """The nodes of a passage. A comment at its top is of its entry: this is only a piece of a file."""
    page = read_commented(text)
    (entry,) = page.root.entries
    entry = entry._replace(above=page.head + entry.above)
    return CommentedFile((), page.root._replace(entries=(entry,)))


def _means(node: Node) -> Meaning:
    if isinstance(node, Scalar):
        return ("text" if not node.plain or is_text(node.value) else "other", node.value)
    if node.is_list:
        return ("list", tuple(_means(entry.node) for entry in node.entries))
    return ("mapping", frozenset((entry.key, _means(entry.node)) for entry in node.entries))


def _all_said(node: Node) -> Hashable:
    """What a node says with all comments in their places."""
    if isinstance(node, Scalar):
        return _means(node)
    entries = map(_entry_said, node.entries)
    listed = tuple(entries) if node.is_list else frozenset(entries)
    return (node.is_list, listed, _comments(node.below))


def _entry_said(entry: Entry) -> Hashable:
    return (entry.key, _comments(entry.above), entry.beside.strip(), _all_said(entry.node))


def _comments(lines: Sequence[str]) -> tuple[str, ...]:
    return tuple(line for line in lines if line)


def _merged_entry(base: Entry | None, mine: Entry, other: Entry) -> Entry:
    was = base or Entry(mine.node)
    above = merged_comments(was.above, mine.above, other.above)
    beside, extra = _merged_beside(was.beside, mine.beside, other.beside)
    node = _merged_node(base.node if base else None, mine.node, other.node)
    return Entry(node, mine.key, (*above, *extra), beside)


def _merged_beside(base: str, mine: str, other: str) -> tuple[str, tuple[str, ...]]:
    """The comment beside an entry, and one more to stand above it where both wrote one."""
    was, here, there = base.strip(), mine.strip(), other.strip()
    if here == was:
        return other, ()
    if there in (was, here, ""):
        return mine, ()
    return (mine, (there,)) if here else (other, ())


def _merged_node(base: Node | None, mine: Node, other: Node) -> Node:
    if (
        isinstance(mine, Collection)
        and isinstance(other, Collection)
        and mine.is_list == other.is_list
    ):
        was = base if isinstance(base, Collection) and base.is_list == mine.is_list else None
        return _merged_collection(was, mine, other)
    return other if base is not None and _means(base) == _means(mine) else mine


def _merged_collection(base: Collection | None, mine: Collection, other: Collection) -> Collection:
    was = base or Collection(mine.is_list, ())
    items = _items(was), _items(mine), _items(other)
    entries = tuple(_merged_entries(*items, mine.is_list))
    below = merged_comments(was.below, mine.below, other.below)
    return mine._replace(entries=entries, below=below)


def _items(node: Collection) -> list[Item[Entry]]:
    """The entries by key; the words of a list by what they name, whatever the portion."""
    return [
        Item(entry, entry.key or _named(entry.node), _entry_said(entry)) for entry in node.entries
    ]


def _named(node: Node) -> str:
    return named_use(node.value) if isinstance(node, Scalar) else ""


def _merged_entries(
    base: list[Item[Entry]], mine: list[Item[Entry]], other: list[Item[Entry]], is_list: bool
) -> Iterator[Entry]:
    """The entries of a mapping, or the words of a list."""
    found = arranged(base, mine, other)
    replaced = is_list and found.both_replaced
    for slot in found.slots:
        if slot.trio and (entry := _merged_trio(slot.trio)):
            yield entry
        added = [*slot.ours, *(() if replaced else slot.theirs)]
        if slot.theirs and slot.ours:  # which comes first must not depend on the side
            added.sort(key=lambda trio: str(trio.there.said))
        yield from (trio.there.value for trio in added)


def _merged_trio(trio: Trio[Entry]) -> Entry | None:
    """One entry; gone where one side removed it and the other left it, or where mine did."""
    if trio.ours and trio.theirs:
        return _merged_entry(trio.base and trio.base.value, trio.ours.value, trio.theirs.value)
    if trio.ours and trio.base and trio.ours.said != trio.base.said:
        return trio.ours.value  # the other side removed what was changed here
    return None
