"""Names of ingredients and parts, wherever a formula file mentions them, though it may not be a formula yet.

Read from the document alone: a file that breaks its schema has names too. What is no list or no text where one
should stand is passed by.
"""

from collections.abc import Iterator
from typing import Any, Literal, NamedTuple

from perflour.documents.reader import Node, child, items_of
from perflour.editor.page import Page
from perflour.editor.text import Span
from perflour.formula.portions import taken
from perflour.kitchen.names import fold

#: Where a name stands; the first two say what there is, the others speak of it.
Role = Literal["part", "item", "part used", "made", "used", "basis", "waived", "corrected"]
TELLS: tuple[Role, ...] = ("part", "item")


class Thing(NamedTuple):
    """What a name means: a part by its folded name, or an ingredient by its folded main name."""

    is_part: bool
    key: str


class Mention(NamedTuple):
    """A name in the file. ``value`` is the whole text that holds it, from ``at`` on.

    ``place`` is where the name itself stands, or the whole text where signs are escaped or lines broken.
    """

    name: str
    role: Role
    thing: Thing
    value: str
    at: int
    whole: Span
    place: Span

    @property
    def is_exact(self) -> bool:
        return self.place.end - self.place.start == len(self.name)


class _Found(NamedTuple):
    name: str
    role: Role
    node: Node
    at: int = 0


def mentions(page: Page) -> tuple[Mention, ...]:
    """Every mention of an ingredient or a part, in order of the file."""
    if page.document is None or page.kind != "formula":
        return ()
    found = list(_found(page.document.root, page))
    parts = {fold(one.name) for one in found if one.role == "part"}
    told = [_mention(page, one, parts) for one in found]
    return tuple(sorted(told, key=lambda mention: mention.whole))


def mention_at(page: Page, at: int) -> Mention | None:
    """The mention that a cursor touches: its name, or the portion before it."""
    touched = [mention for mention in mentions(page) if mention.whole.holds(at)]
    return min(touched, key=lambda one: not one.place.holds(at), default=None)


def _found(root: Node, page: Page) -> Iterator[_Found]:
    for part in items_of(child(root, "parts")):
        yield from _named(part, "part", "part")
        for line in items_of(child(part, "ingredients")):
            yield from _named(line, "item", "item")
            yield from _named(line, "part", "part used")
    listed = {fold(text) for text, _ in _listed(root)}
    for step in items_of(child(root, "method")):
        yield from _named(step, "makes", "made")
        for use in _texts(items_of(child(step, "uses"))):
            yield _use(use, listed, page)
    yield from (
        _Found(node.value, "basis", node) for node in _texts(items_of(child(root, "basis")))
    )
    for waiver in items_of(child(root, "waivers")):
        yield from _named(waiver, "item", "waived")
    for correction in items_of(child(root, "corrections")):
        yield from _named(correction, "item", "corrected")


def _listed(root: Node) -> Iterator[tuple[str, Node]]:
    for part in items_of(child(root, "parts")):
        for mapping, key in [(part, "part"), *((line, "item") for line in items_of(child(part, "ingredients")))]:  # fmt: skip
            yield from ((found.name, found.node) for found in _named(mapping, key, "item"))


def _named(mapping: Node, key: str, role: Role) -> Iterator[_Found]:
    node = child(mapping, key)
    if node is not None and isinstance(node.value, str) and node.value.strip():
        yield _Found(node.value, role, node)


def _texts(nodes: list[Node]) -> list[Any]:
    return [node for node in nodes if isinstance(node.value, str) and node.value.strip()]


def _use(node: Node, listed: set[str], page: Page) -> _Found:
    """A use without its portion; a listed name that looks like one is a name as a whole."""
    said: str = node.value
    if fold(said) in listed:
        return _Found(said, "used", node)
    name = taken(said, page.kitchen.catalogue.said.customs).name
    at = said.rfind(name)
    return _Found(name, "used", node, at) if at >= 0 else _Found(said, "used", node)


def _mention(page: Page, found: _Found, parts: set[str]) -> Mention:
    name = fold(found.name)
    is_part = found.role in ("part", "part used", "made") or (
        found.role != "item" and name in parts
    )
    key = name if is_part else page.kitchen.catalogue.main_name(found.name)
    whole = page.text.of_node(found.node)
    place = _place(page.text.content[whole.start : whole.end], found, whole)
    return Mention(found.name, found.role, Thing(is_part, key), found.node.value, found.at, whole, place)  # fmt: skip


def _place(written: str, found: _Found, whole: Span) -> Span:
    """Where the name stands in a scalar that is written as it reads, in quotes or without."""
    for quote in (0, 1):
        if written[quote : len(written) - quote] == found.node.value:
            start = whole.start + quote + found.at
            return Span(start, start + len(found.name))
    return whole
