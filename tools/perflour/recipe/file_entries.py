"""Texts of a recipe as entries of a formula file: what is too long for its field goes on in a comment."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from perflour.documents.layout import as_scalar
from perflour.documents.nodes import Collection, Entry, Node, Scalar
from perflour.plain import with_blanks

# What the schema takes of each text; more goes on in a comment, so that nothing is dropped.
MOST = {"do": 80, "item": 200, "part": 200, "amount": 200, "state": 80, "note": 2000, "until": 500, "into": 300, "on": 300, "with": 300, "fill": 80, "speed": 80, "makes": 200, "for": 80, "title": 200, "citation": 1000, "notes": 10_000, "piece": 80, "id": 80, "class": 80}  # fmt: skip
_NEEDED = ("item", "part", "amount", "do")


def entry_of(texts: Iterable[tuple[str, str]], above: tuple[str, ...]) -> Entry:
    """A mapping in a list; text that is too long for its key goes on in a comment over it."""
    entries = []
    for key, text in texts:
        if not text.strip() and key not in _NEEDED:
            continue
        entry = text_entry(key, text)
        above = (*above, *entry.above)
        entries.append(entry._replace(above=()) if entry.above else entry)
    return Entry(Collection(False, tuple(entries)), "", above)


def text_entry(key: str, text: str) -> Entry:
    """A text under its key, what is beyond the schema's length in a comment above."""
    text = printable(text) or "-"
    most = MOST.get(key, 80)
    if len(text) <= most:
        return Entry(scalar(text, key), key)
    cut = text.rfind(" ", most // 2, most)
    cut = cut if cut > 0 else most
    return Entry(scalar(text[:cut], key), key, (comment(f"{key} goes on: {text[cut:].strip()}"),))


def scalar(text: str, key: str) -> Node:
    """A long text folded over lines, all else as it is."""
    if key not in ("notes", "citation") or len(text) < 80 or "\\" in text:
        return as_scalar(text)
    return Scalar(text, ">-", lines=tuple(folded(text)))


def folded(text: str) -> Iterator[str]:
    import textwrap

    yield from textwrap.wrap(text, 96, break_long_words=False, break_on_hyphens=False)


def list_of(entries: Iterable[Entry]) -> Collection:
    """Entries as a list."""
    return Collection(True, tuple(entries))


def comment(text: str) -> str:
    """A line of comment."""
    return f"# {printable(text)}"


def printable(text: str) -> str:
    """A text in one line, unprintable signs as blanks."""
    return " ".join(with_blanks(text).split())
