"""A schema.org Recipe that a saved page holds in its markup, as the objects that JSON-LD would have.

Two ways are read: microdata, by the HTML Standard of the WHATWG (section 5, Microdata), and RDFa Lite 1.1,
a recommendation of the W3C, as far as pages use it. Which properties a recipe has is not known here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

from perflour.result import CannotRun
from perflour.system.extras import need

if TYPE_CHECKING:
    from lxml.etree import _Element

#: An object of the page: its types under "@type", and under each property one value or a list.
Node = dict[str, Any]
#: So many times its length and its elements is a page gone through: what refers to itself has no end.
MOST_TIMES = 10
#: Tags that end a line of text; of a list of short texts only the first ones do.
_ENDS_ITEM = frozenset(("br", "p", "li", "tr", "dt", "h1", "h2", "h3", "h4", "h5", "h6"))
_ENDS_LINE = _ENDS_ITEM | {"div", "section", "article", "ol", "ul", "dd", "table"}
#: Tags whose texts are words apart, be there a blank between them or not.
_APART = _ENDS_LINE | {"td", "th"}
#: Properties whose every line is a value of its own, and those that are an address.
_LISTED = frozenset(("recipeIngredient", "ingredients"))
_ADDRESSES = frozenset(("url", "isBasedOn", "image", "sameAs", "mainEntityOfPage"))
_SAID_IN = ("content", "datetime")
_LEADS_TO = ("href", "src", "data")


class _Syntax(NamedTuple):
    """The attributes of one of the two ways."""

    opens: str
    types: str
    names: str


_WAYS = (_Syntax("itemscope", "itemtype", "itemprop"), _Syntax("typeof", "typeof", "property"))


@dataclass
class Markup:
    """The outermost objects of a page; ``lines`` is where each text of them stands first."""

    nodes: list[Node] = field(default_factory=list)
    lines: dict[str, int] = field(default_factory=dict)


def markups(page: str, path: str) -> Iterator[Markup]:
    """What a page says in microdata, then in RDFa Lite, each if it says anything.

    Raises CannotRun for a page that goes deeper than the parser follows, or refers to itself too often.
    """
    ways = [way for way in _WAYS if way.opens in page and way.names in page]
    if not ways or (root := _parsed(page, path)) is None:
        return
    elements = sum(1 for _ in root.iter())
    for way in ways:
        reader = _Reader(way, path, MOST_TIMES * elements, MOST_TIMES * len(page))
        reader.read(root)
        if reader.found.nodes:
            yield reader.found


def _parsed(page: str, path: str) -> _Element | None:
    need("import", "lxml")
    from lxml import etree  # only for a page with markup of either kind: docs/performance.md

    parser = etree.HTMLParser(
        encoding="utf-8", no_network=True, remove_comments=True, remove_pis=True
    )
    try:
        root: _Element | None = etree.fromstring(page.encode("utf-8", "replace"), parser)
    except etree.XMLSyntaxError:  # nothing in it but what is left out
        return None
    if any(entry.type_name == "ERR_RESOURCE_LIMIT" for entry in parser.error_log):
        raise CannotRun(f"{path}: tags within tags, deeper than 255; paste the text of the recipe")
    return root


class _Reader:
    """Goes through a page with a stack of its own; a class because it keeps count of what it did."""

    def __init__(self, way: _Syntax, path: str, most_elements: int, most_text: int) -> None:
        self.way, self.path = way, path
        self.elements_left, self.text_left = most_elements, most_text
        self.found = Markup()
        self.by_id: dict[str, _Element] = {}

    def read(self, root: _Element) -> None:
        if self.way.opens == "itemscope":
            for element in root.iter():
                if name := element.get("id"):
                    self.by_id.setdefault(name, element)
        todo: list[tuple[_Element, Node | None]] = [(root, None)]
        while todo:
            element, holder = todo.pop()
            self._count(elements=1 + len(element))
            inner = self._element(element, holder)
            todo += [
                (self.by_id[name], inner)
                for name in reversed(self._referred(element))
                if name in self.by_id and inner is not holder
            ]
            todo += [(child, inner) for child in reversed(element)]

    def _referred(self, element: _Element) -> list[str]:
        return (element.get("itemref") or "").split() if self.by_id else []

    def _element(self, element: _Element, holder: Node | None) -> Node | None:
        """Put what an element says into the object that holds it; the object that holds what is inside."""
        names = [_local(name) for name in (element.get(self.way.names) or "").split()]
        if element.get(self.way.opens) is not None:
            node = self._opened(element)
            if holder is None or not names:
                self.found.nodes.append(node)
            else:
                _add(holder, names, node)
            return node
        if holder is not None and names:
            for name in names:
                _add(holder, [name], *self._values(element, name))
        return holder

    def _opened(self, element: _Element) -> Node:
        types = [_local(kind) for kind in (element.get(self.way.types) or "").split()]
        node: Node = {"@type": types}
        if not self._says_more(element):
            node["text"] = "\n".join(self._lines(element, _ENDS_LINE))
        return node

    def _says_more(self, element: _Element) -> bool:
        """Whether an object has properties; a step may be no more than its text."""
        for inner in element.iterdescendants():
            self._count(elements=1)
            if inner.get(self.way.names):
                return True
        return False

    def _values(self, element: _Element, name: str) -> list[str]:
        """What an element says of a property: an attribute made for it, an address, or its text."""
        for attribute in _SAID_IN:
            if (said := element.get(attribute)) is not None:
                return self._remembered([said], element)
        address = next(filter(None, map(element.get, _LEADS_TO)), "")
        if address and name in _ADDRESSES:
            return [address]
        if name in _LISTED:
            return self._remembered(self._lines(element, _ENDS_ITEM), element)
        lines = self._remembered(self._lines(element, _ENDS_LINE), element)
        return ["\n".join(lines) or address]

    def _remembered(self, lines: list[str], element: _Element) -> list[str]:
        for line in lines:
            self.found.lines.setdefault(line, element.sourceline or 1)
        return lines

    def _lines(self, element: _Element, ends: frozenset[str]) -> list[str]:
        """The text in an element as it is read: a line ends where a block does, white space is one blank."""
        pieces: list[str] = []
        todo: list[_Element | str] = [element]
        while todo:
            one = todo.pop()
            if isinstance(one, str):
                pieces.append(one)
                continue
            self._count(elements=1, text=len(one.text or ""))
            if one.tag in ("script", "style", "template"):
                continue
            end = "\0" if one.tag in ends else " " if one.tag in _APART else ""
            pieces += [end, one.text or ""]
            todo.append(end)
            for child in reversed(one):
                todo += [child.tail or "", child]
        lines = (" ".join(line.split()) for line in "".join(pieces).split("\0"))
        return [line for line in lines if line]

    def _count(self, elements: int = 0, text: int = 0) -> None:
        self.elements_left -= elements
        self.text_left -= text
        if self.elements_left < 0 or self.text_left < 0:
            raise CannotRun(
                f"{self.path}: properties within properties, too many to follow; paste the text of the recipe"
            )


def _add(holder: Node, names: list[str], *values: Any) -> None:
    for name in names:
        for value in values:
            if name not in holder:
                holder[name] = value
            elif isinstance(holder[name], list):
                holder[name].append(value)
            else:
                holder[name] = [holder[name], value]


def _local(name: str) -> str:
    """A name without its vocabulary: `schema:Recipe` and `https://schema.org/Recipe` are Recipe."""
    return name.replace(":", "/").replace("#", "/").rstrip("/").rsplit("/", 1)[-1]
