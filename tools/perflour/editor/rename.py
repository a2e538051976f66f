"""Where a name is meant, and the same file with another name for an ingredient or a part."""

import re
from typing import NamedTuple

from perflour.documents.layout import as_scalar
from perflour.editor.mentions import TELLS, Mention, mention_at, mentions
from perflour.editor.page import Page, read_page
from perflour.editor.text import Edit, Span, applied
from perflour.kitchen.names import fold
from perflour.plain import control, one_line

MOST_SIGNS = 200


class CannotRename(Exception):
    """Why a name cannot be given, in one line."""


class Renamable(NamedTuple):
    """The name under the cursor, and what it is called now."""

    span: Span
    name: str


def definitions(page: Page, at: int) -> tuple[Span, ...]:
    """Where the name under the cursor is told: its part, or every line that lists the ingredient."""
    return tuple(one.place for one in _same(page, at) if one.role in TELLS)


def references(page: Page, at: int, with_told: bool = True) -> tuple[Span, ...]:
    """Every mention of what the cursor is on, with or without those that tell it."""
    return tuple(one.place for one in _same(page, at) if with_told or one.role not in TELLS)


def told_and_used(page: Page, at: int) -> tuple[tuple[Span, bool], ...]:
    """Every mention, and whether it tells the thing or only speaks of it."""
    return tuple((one.place, one.role in TELLS) for one in _same(page, at))


def _same(page: Page, at: int) -> tuple[Mention, ...]:
    """The mentions of the thing under the cursor; none where it names nothing that the file lists."""
    here = mention_at(page, at)
    if here is None:
        return ()
    same = tuple(one for one in mentions(page) if one.thing == here.thing)
    return same if any(one.role in TELLS for one in same) else ()


def renamable(page: Page, at: int) -> Renamable:
    """The name under the cursor, if it can be given another. Raises CannotRename."""
    here = mention_at(page, at)
    if here is None or not _same(page, at):
        raise CannotRename("no ingredient or part of this formula is named here")
    return Renamable(here.place, here.name)


def renamed(page: Page, at: int, new: str) -> tuple[Edit, ...]:
    """The edits that give the thing under the cursor another name, wherever it is mentioned. Raises CannotRename."""
    here = renamable(page, at)
    name = " ".join(new.split())
    same = _same(page, at)
    _refuse(page, same[0], name)
    edits = tuple([edit for one in same if (edit := _edit(page, one, here.name, name))])
    after = read_page(applied(page.text, edits), page.path, page.kind, page.kitchen)
    if after.document is None or (page.balance is not None and after.balance is None):
        problem = after.problems[0].message if after.problems else "it would be no formula any more"
        raise CannotRename(f"'{_short(name)}' cannot stand there: {problem}")
    return edits


def _refuse(page: Page, here: Mention, name: str) -> None:
    """Raises CannotRename for a name that is none, or that is taken."""
    if not name:
        raise CannotRename("a name cannot be empty; write one")
    if len(name) > MOST_SIGNS or control(name):
        raise CannotRename(f"a name has at most {MOST_SIGNS} signs, each of which is seen")
    catalogue = page.kitchen.catalogue
    for other in mentions(page):
        if other.role not in TELLS or other.thing == here.thing:
            continue
        is_taken = fold(other.name) == fold(name) or (
            not here.thing.is_part and not other.thing.is_part
            and other.thing.key == catalogue.main_name(name)
        )  # fmt: skip
        if is_taken:
            what = "a part" if other.thing.is_part else "an ingredient"
            raise CannotRename(
                f"'{_short(name)}' is {what} of this formula already; choose another name"
            )


def _short(name: str) -> str:
    return one_line(name if len(name) <= 40 else f"{name[:39]}…")


def _edit(page: Page, one: Mention, old: str, new: str) -> Edit | None:
    """One mention under its new name; None where it stays. Raises CannotRename."""
    name = _in_its_words(page, one, old, new)
    if name == one.name:
        return None
    value = one.value[: one.at] + name + one.value[one.at + len(one.name) :]
    written = page.text.content[one.whole.start : one.whole.end]
    if written[:1] in ("|", ">"):
        raise CannotRename(f"'{_short(one.name)}' stands over several lines; write it on one first")
    scalar = as_scalar(value)
    if scalar.plain and one.is_exact and written == one.value:
        return Edit(one.place, name)
    return Edit(one.whole, scalar.text or value)


def _in_its_words(page: Page, one: Mention, old: str, new: str) -> str:
    """The new name as a mention says it: with the words around it that the mention has ("melted butter")."""
    if fold(one.name) == fold(old) or one.thing.is_part:
        return new
    pattern = r"\s+".join(map(re.escape, old.split()))
    inside = re.compile(rf"(?<!\w){pattern}(?!\w)", re.IGNORECASE)
    if found := inside.search(one.name):
        return one.name[: found.start()] + new + one.name[found.end() :]
    return new if page.kitchen.catalogue.named(one.name) else one.name
