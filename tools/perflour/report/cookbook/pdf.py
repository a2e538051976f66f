"""A cookbook as a PDF, set by typst: text goes in as data, never as markup."""

from __future__ import annotations

import json
import os
import re
import unicodedata
from collections.abc import Iterator
from tempfile import TemporaryDirectory
from typing import Any

from perflour.cookbook.photos import Photo
from perflour.documents.shipped import DATA
from perflour.report.cookbook.printed.book import PrintedBook
from perflour.report.form.signs import unbroken

# Code points of which every letter and sign is in the fonts that typst 0.15 ships; a test sets them
# all and reads them back.
SET_WHOLE = (
    (0x20, 0x7E), (0xA0, 0x4FF), (0x1E00, 0x1FFF), (0x2000, 0x2040), (0x2044, 0x2044),
    (0x2070, 0x20BF), (0x2100, 0x211E), (0x2150, 0x2151), (0x2153, 0x2184), (0x2190, 0x2246),
    (0x2248, 0x22AB),
)  # fmt: skip
_NOT_SET = re.compile("[^" + "".join(f"{chr(low)}-{chr(high)}" for low, high in SET_WHOLE) + "]")
TEMPLATE = os.path.join(DATA, "cookbook.typ")


def cookbook_pdf(book: PrintedBook, paper: str) -> bytes:
    """The pages as PDF, in the fonts that typst ships, so that every machine sets the same bytes.

    ``paper`` is a name that typst knows: a4, a5, us-letter.
    """
    return b"".join(typeset_pages(book, paper, "pdf"))


def typeset_pages(book: PrintedBook, paper: str, form: str, **how: Any) -> list[bytes]:
    """What typst makes of a book: one PDF, or a PNG of each page."""
    photos = [photo for page in book.pages for photo in page.photos]
    if not photos:
        with open(TEMPLATE, "rb") as file:
            return _compiled(file.read(), book, paper, form, how)
    # typst opens pictures as files below the folder of what it sets
    with TemporaryDirectory(prefix="perflour-") as folder:
        for name, photo in zip(_picture_names(book), photos, strict=True):
            with open(os.path.join(folder, name), "xb") as picture:
                picture.write(photo.content)
        main = os.path.join(folder, "book.typ")
        with open(TEMPLATE, "rb") as file, open(main, "xb") as copy:
            copy.write(file.read())
        return _compiled(main, book, paper, form, {**how, "root": folder})


def _compiled(
    template: bytes | str, book: PrintedBook, paper: str, form: Any, how: dict[str, Any]
) -> list[bytes]:
    import typst  # 80 MB of compiler: only for those who print

    made = typst.compile(
        template,
        format=form,
        ignore_system_fonts=True,
        sys_inputs={"book": json.dumps(_data(book), ensure_ascii=False), "paper": paper},
        timestamp=0,
        **how,
    )
    return made if isinstance(made, list) else [made]


def _data(book: PrintedBook) -> Any:
    """The book as JSON knows it: a photo by the name of its file, numbers held to their units, letters with
    their accents in one sign.
    """
    names = iter(_picture_names(book))
    known: dict[str, str] = {}

    def data(value: Any) -> Any:
        if isinstance(value, str):
            if value not in known:
                known[value] = unbroken(unicodedata.normalize("NFC", value))
            return known[value]
        if isinstance(value, Photo):
            return {"file": next(names), "caption": data(value.caption), "alt": data(value.alt)}
        if isinstance(value, tuple) and hasattr(value, "_asdict"):
            value = value._asdict()
        if isinstance(value, dict):
            return {key: data(inner) for key, inner in value.items()}
        if isinstance(value, tuple):
            return [data(inner) for inner in value]
        return value

    return data(book)


def _picture_names(book: PrintedBook) -> Iterator[str]:
    photos = (photo for page in book.pages for photo in page.photos)
    return (f"photo-{at}.{picture_type(p.content)}" for at, p in enumerate(photos))


def picture_type(content: bytes) -> str:
    """``png`` or ``jpg``, by how the content begins."""
    return "png" if content.startswith(b"\x89PNG") else "jpg"


def signs_not_set(book: PrintedBook) -> list[tuple[str, str]]:
    """Signs that the fonts lack, with where each is first used: (sign, title of the page)."""
    front = (book.title, book.subtitle, book.authors, book.imprint, book.front[0])
    chapters = [(chapter.title, chapter.text) for chapter in book.chapters]
    found: dict[str, str] = {}
    for where, value in (
        ("the title", front),
        *chapters,
        *((page.title, page) for page in book.pages),
    ):
        for text in _texts(value):
            if text.isascii() and text.isprintable():
                continue
            for sign in _NOT_SET.findall(unicodedata.normalize("NFC", text)):
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
