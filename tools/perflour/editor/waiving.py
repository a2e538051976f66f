"""Waivers written into a formula and taken out of it, with all around them left as it is."""

import re

from perflour.documents.layout import as_scalar
from perflour.documents.reader import Node, child, items_of, key_node
from perflour.editor.page import Page
from perflour.editor.text import Edit, Span, Text

#: A reason that nobody gave: lint asks for one until it is written.
NO_REASON = "''"


def waiver_edit(page: Page, rule: str, item: str) -> Edit | None:
    """The edit that waives a rule, its reason still to be written; None where the file has no place for it."""
    if page.document is None:
        return None
    root, text = page.document.root, page.text
    about = f", item: {as_scalar(item).text}" if item else ""
    waiver = f"{{rule: {rule}{about}, because: {NO_REASON}}}"
    there = child(root, "waivers")
    if there is None:
        return _new_list(text, root, waiver)
    waivers, where = items_of(there), text.of_node(there)
    if waivers and text.content[where.start] != "[":
        return _after_last(text, waivers, waiver)
    if not waivers and text.content[where.start : where.end].strip() in ("[]", ""):
        return Edit(where, f"{text.usual_end}  - {waiver}")
    return None


def _new_list(text: Text, root: Node, waiver: str) -> Edit | None:
    """A list of waivers at the end, or before the corrections that follow it in the house format."""
    if text.content[text.of_node(root).start] == "{":
        return None
    end = text.usual_end
    block = f"waivers:{end}  - {waiver}{end}"
    behind = key_node(root, "corrections")
    if behind is not None:
        at = text.of_node(behind).start
        return Edit(Span(at, at), block)
    at = len(text.content)
    return Edit(Span(at, at), block if text.content.endswith(("\n", "\r")) else f"{end}{block}")


def _after_last(text: Text, waivers: list[Node], waiver: str) -> Edit | None:
    """A line below the last waiver, at its indent."""
    first, last = (text.of_node(waivers[at]) for at in (0, -1))
    opening = text.content[text.starts[text.line_at(first.start)] : first.start]
    if not re.fullmatch(r" *- *", opening):
        return None
    written = text.content[last.start : last.end].rstrip()
    end = text.line_end(text.line_at(last.start + len(written)))
    return Edit(Span(end, end), f"{text.usual_end}{opening.partition('-')[0]}- {waiver}")


def without_waiver(page: Page, at: int) -> tuple[Edit, ...]:
    """The edit that takes out the waiver at a place, and with the last one its key; none where lines are shared."""
    if page.document is None:
        return ()
    root, text = page.document.root, page.text
    key, waivers = key_node(root, "waivers"), items_of(child(root, "waivers"))
    here = next((node for node in waivers if text.of_node(node).start == at), None)
    lines = _whole_lines(text, text.of_node(here)) if here else None
    if key is None or lines is None:
        return ()
    if len(waivers) > 1:
        return (Edit(lines, ""),)
    opening = text.of_node(key)
    between = text.content[opening.end + 1 : lines.start]
    return () if between.strip() else (Edit(Span(opening.start, lines.end), ""),)


def _whole_lines(text: Text, where: Span) -> Span | None:
    """The lines of a waiver, if they hold nothing else but a comment behind it, which goes with it."""
    written = text.content[where.start : where.end].rstrip()
    end = where.start + len(written)
    first, last = text.line_at(where.start), text.line_at(end)
    opening = text.content[text.starts[first] : where.start]
    behind = text.content[end : text.line_end(last)]
    if not re.fullmatch(r" *- *", opening) or not re.fullmatch(r"\s*(#.*)?", behind):
        return None
    after = text.starts[last + 1] if last + 1 < len(text.starts) else len(text.content)
    return Span(text.starts[first], after)
