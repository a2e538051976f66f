"""A cookbook as a PDF, set by typst: text goes in as data, never as markup."""

from __future__ import annotations

import json
import os
import unicodedata
from collections.abc import Iterator
from dataclasses import asdict

from perflour.report.cookbook.printed import PrintedBook
from perflour.report.form.signs import unbroken

# Code points of which every letter and sign is in the fonts that typst 0.15 ships; a test sets them
# all and reads them back.
SET_WHOLE = (
    (0x20, 0x7E), (0xA0, 0x4FF), (0x1E00, 0x1FFF), (0x2000, 0x2040), (0x2044, 0x2044),
    (0x2070, 0x20BF), (0x2100, 0x211E), (0x2150, 0x2151), (0x2153, 0x2184), (0x2190, 0x2246),
    (0x2248, 0x22AB),
)  # fmt: skip
TEMPLATE = os.path.join(
    os.path.dirname(os.path.dirname(os.path.dirname(__file__))), "data", "cookbook.typ"
)


def cookbook_pdf(book: PrintedBook, paper: str) -> bytes:
    """The pages as PDF, in the fonts that typst ships, so that every machine sets the same bytes.

    ``paper`` is a name that typst knows: a4, a5, us-letter.
    """
    import typst  # 80 MB of compiler: only for those who print

    data = json.dumps(_unbroken(asdict(book)), ensure_ascii=False)
    with open(TEMPLATE, "rb") as file:
        template = file.read()
    made = typst.compile(
        template,
        format="pdf",
        ignore_system_fonts=True,
        sys_inputs={"book": data, "paper": paper},
        timestamp=0,
    )
    assert isinstance(made, bytes)  # one PDF, however many pages
    return made


def signs_not_set(book: PrintedBook) -> list[tuple[str, str]]:
    """Signs that the fonts lack, with where each is first used: (sign, title of the page)."""
    pages = [page for chapter in book.chapters for page in chapter.pages]
    found: dict[str, str] = {}
    for where, value in (
        ("the title", book.title),
        *((page.title, asdict(page)) for page in pages),
    ):
        for text in _texts(value):
            for sign in unicodedata.normalize("NFC", text):
                if not any(low <= ord(sign) <= high for low, high in SET_WHOLE):
                    found.setdefault(sign, where)
    return list(found.items())


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list | tuple):
        for inner in value:
            yield from _texts(inner)


def _unbroken(value: object) -> object:
    """Every text with its numbers held to their units, letters with their accents in one sign."""
    if isinstance(value, str):
        return unbroken(unicodedata.normalize("NFC", value))
    if isinstance(value, dict):
        return {key: _unbroken(inner) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_unbroken(inner) for inner in value]
    return value
