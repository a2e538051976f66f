"""The outline of a formula: its parts with their ingredients, and its steps."""

from collections.abc import Iterator
from typing import Literal, NamedTuple

from perflour.documents.reader import Node, child, items_of
from perflour.editor.page import Page
from perflour.editor.text import Span
from perflour.plain import one_line

Kind = Literal["part", "ingredient", "method", "step"]


class Symbol(NamedTuple):
    """An entry of the outline: ``whole`` is all of it, ``name_at`` its name in it."""

    name: str
    kind: Kind
    detail: str
    whole: Span
    name_at: Span
    inner: tuple["Symbol", ...] = ()


def symbols(page: Page) -> tuple[Symbol, ...]:
    """The outline of a file that is YAML, though it may be no formula yet."""
    if page.document is None or page.kind != "formula":
        return ()
    return tuple(_symbols(page, page.document.root))


def _symbols(page: Page, root: Node) -> Iterator[Symbol]:
    for part in items_of(child(root, "parts")):
        lines = items_of(child(part, "ingredients"))
        inner = tuple(_each(page, lines, ("item", "part"), "ingredient", "amount"))
        yield from _each(page, [part], ("part",), "part", "kind", inner)
    if method := items_of(child(root, "method")):
        steps = tuple(_each(page, method, ("do",), "step", "until"))
        whole = Span(page.text.of_node(method[0]).start, page.text.of_node(method[-1]).end)
        yield Symbol("method", "method", "", whole, Span(whole.start, whole.start), steps)


def _each(
    page: Page,
    nodes: list[Node],
    keys: tuple[str, ...],
    kind: Kind,
    detail: str,
    inner: tuple[Symbol, ...] = (),
) -> Iterator[Symbol]:
    for node in nodes:
        name = next((found for key in keys if (found := child(node, key)) is not None), None)
        if name is None or not isinstance(name.value, str) or not name.value.strip():
            continue
        more = child(node, detail)
        said = more.value if more is not None and isinstance(more.value, str) else ""
        whole, at = page.text.of_node(node), page.text.of_node(name)
        whole = Span(min(whole.start, at.start), max(whole.end, at.end))
        yield Symbol(one_line(name.value), kind, one_line(said), whole, at, inner)
