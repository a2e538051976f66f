"""Readers' text kept free of the kitchen's own shorthand: digests, ids of formulas, names of rules."""

from __future__ import annotations

import re
from collections.abc import Iterable

from perflour.plain import one_line
from perflour.result import Place

_DIGEST = re.compile(r"\b(?=[0-9a-f]*[0-9])[0-9a-f]{12}\b")
_SLUG = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)+")


class Proofreader:
    """Leaves out texts with internal words and remembers where they stand, for who runs it.

    It collects, where all else is made of plain values: a page has a dozen places with text.
    """

    def __init__(self, ids: Iterable[str]) -> None:
        """``ids`` without a hyphen are let be: they may be words of the language."""
        self.ids = frozenset(id for id in ids if "-" in id)
        self.remarks: list[str] = []

    def keep(self, text: str, place: Place) -> str:
        """The text in single spaces, or nothing where an internal word is in it."""
        text = " ".join(one_line(text).split())
        found = self._internal(text)
        if not found:
            return text
        self.remarks.append(
            f"{place}: '{found}' means nothing to a reader, so this text is left out of the draft; "
            "say it in words"
        )
        return ""

    def _internal(self, text: str) -> str | None:
        digest = _DIGEST.search(text)
        if digest:
            return digest[0]
        return next((word for word in _SLUG.findall(text) if word in self.ids), None)
