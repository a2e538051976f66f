"""What a place in a text is, though the text may be half typed: the keys that lead to it, and what stands there.

Only what stands before the place is read, up to a mark put in for the cursor, so that nothing that is still
to be typed matters. Reading begins at the nearest key without an indent: what is broken above that is no matter
either.
"""

import re
from typing import Any, NamedTuple

import yaml
from yaml.cyaml import CParser  # type: ignore[attr-defined]  # its stubs do not export it
from yaml.events import (
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
)

from perflour.documents.reader import Path
from perflour.editor.text import Span, Text

#: Stands where the cursor is; no file may hold it (a sign for private use).
_CURSOR = "\ue123"
_TOP_KEY = re.compile(r"^[a-z][a-z-]*:", re.MULTILINE)
_REST_OF_WORD = re.compile(r"[^\s,\[\]{}:#'\"]*")


class Spot(NamedTuple):
    """A place in the tree of a file. ``path`` leads to it; the last step of a value is its own key.

    ``typed`` is what stands there up to the cursor, or whole; ``span`` where that is. ``beside`` are the texts
    of the mapping around it that stand before, by key.
    """

    path: Path
    is_key: bool
    typed: str
    span: Span
    beside: dict[str, str]


def place_in(text: Text, at: int, whole: bool = False) -> Spot | None:
    """What the place of a cursor is; with ``whole``, of the word that it stands in. None where nobody can say."""
    content = text.content
    if _CURSOR in content:
        return None
    end = _REST_OF_WORD.match(content, at).end() if whole else at  # type: ignore[union-attr]
    starts = [found.start() for found in _TOP_KEY.finditer(content, 0, end)]
    first = starts[-1] if starts else 0
    before = content[first:end].removeprefix("\ufeff")
    if _is_in_comment(text, end):
        return None
    for closing in ("", ":", "'", '"', "':", '":'):
        if found := _Trail(f"{before}{_CURSOR}{closing}").spot():
            return found._replace(span=Span(end - len(found.typed), end))
    return None


def _is_in_comment(text: Text, at: int) -> bool:
    start = text.starts[text.line_at(at)]
    return re.search(r"(?:^|\s)#", text.content[start:at]) is not None


class _Open:
    """A mapping or list that is not closed yet."""

    def __init__(self, is_list: bool) -> None:
        self.is_list = is_list
        self.key: str | None = None
        self.count = 0
        self.entries: dict[str, str] = {}

    @property
    def step(self) -> str | int:
        return self.count if self.is_list else self.key or ""

    def passed(self, value: str = "") -> None:
        """One item or value more was read."""
        if self.is_list:
            self.count += 1
        elif self.key is not None:
            self.entries[self.key] = value
            self.key = None


class _Trail:
    """Reads events up to the cursor; a class because the events nest and the state does not."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.open: list[_Open] = []

    def spot(self) -> Spot | None:
        """The spot of the cursor; None where the text cannot be read up to it."""
        try:
            parser = CParser(self.text)
        except UnicodeError:  # half of a pair
            return None
        try:
            while (event := parser.get_event()) is not None:
                if found := self._met(event):
                    return found
        except yaml.YAMLError:
            return None
        finally:
            parser.dispose()
        return None

    def _met(self, event: Any) -> Spot | None:
        kind = event.__class__
        if kind is ScalarEvent:
            return self._scalar(event.value)
        if kind in (MappingStartEvent, SequenceStartEvent):
            self.open.append(_Open(kind is SequenceStartEvent))
        elif kind in (MappingEndEvent, SequenceEndEvent):
            self.open.pop()
            if self.open:
                self.open[-1].passed()
        return None

    def _scalar(self, value: str) -> Spot | None:
        around = self.open[-1] if self.open else None
        if _CURSOR in value:
            return self._found(value.partition(_CURSOR)[0])
        if around is None:
            return None
        if not around.is_list and around.key is None:
            around.key = value
        else:
            around.passed(value)
        return None

    def _found(self, typed: str) -> Spot:
        path = tuple(one.step for one in self.open)
        around = self.open[-1] if self.open else None
        is_key = around is None or (not around.is_list and around.key is None)
        beside = {} if around is None or around.is_list else dict(around.entries)
        return Spot(path[:-1] if is_key and path else path, is_key, typed, Span(0, 0), beside)
