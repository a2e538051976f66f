"""A cookbook as EPUB 3, by our own reading of the W3C recommendation: a file for reading devices and phones."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from uuid import NAMESPACE_URL, uuid5
from zipfile import ZIP_STORED, ZipFile, ZipInfo

from perflour.cookbook.book import Cookbook
from perflour.documents.shipped import shipped
from perflour.report.cookbook.pdf import picture_type
from perflour.report.cookbook.printed.book import PrintedBook, printed_book
from perflour.report.cookbook.printed.words import book_words
from perflour.report.form.html_page import html_page

MIMETYPE = "application/epub+zip"
#: What is said where no commit tells when the book was changed: a file must say it.
UNDATED = "2000-01-01T00:00:00Z"
FOLDER = "book"
_CONTAINER = f"""<?xml version="1.0" encoding="UTF-8"?>
<container version="1.0" xmlns="urn:oasis:names:tc:opendocument:xmlns:container">
<rootfiles><rootfile full-path="{FOLDER}/package.opf" media-type="application/oebps-package+xml"/></rootfiles>
</container>
"""
# What look.css has for a page; reading devices put their own paper below it.
_COLOURS = {"soft": "#555", "rule": "#bbb"}
# How wide text runs in a window; devices have margins of their own.
_OF_A_WINDOW = "max-width: 44rem; margin: 2rem auto; padding: 0 1rem; "
_DARK = {"soft": "#b3b0aa", "rule": "#666"}


def cookbook_epub(book: Cookbook) -> bytes:
    """The book as an EPUB. The same book of the same commit gives the same bytes.

    Nothing is compressed: other libraries of zip would make other bytes of it.
    """
    printed = printed_book(book)
    pictures = dict(_pictures(book))
    parts = dict(_parts(printed, pictures))
    package = html_page(
        "cookbook_package.opf",
        book=printed,
        identifier=uuid5(NAMESPACE_URL, f"{book.house}\n{book.title}").urn,
        authors=printed.authors or ((book.house,) if book.house else ()),
        changed=book.changed or UNDATED,
        summary=book_words(printed.language)["epub-summary"],
        parts=list(parts),
        pictures=list(pictures),
    )
    files: dict[str, str | bytes] = {
        "package.opf": package,
        "style.css": _style(printed),
        **parts,
        **pictures,
    }
    return _zipped(
        {
            "mimetype": MIMETYPE,
            "META-INF/container.xml": _CONTAINER,
            **{f"{FOLDER}/{name}": content for name, content in files.items()},
        }
    )


def _pictures(book: Cookbook) -> Iterator[tuple[str, bytes]]:
    for number, page in enumerate(book.pages, 1):
        for at, photo in enumerate(page.photos, 1):
            yield f"photo-{number}-{at}.{picture_type(photo.content)}", photo.content


def _parts(book: PrintedBook, pictures: dict[str, bytes]) -> Iterator[tuple[str, str]]:
    """The documents in the order they are read, by name."""
    fronts = [(f"front-{at}.xhtml", front) for at, front in enumerate(book.front, 1)]
    fronts.append(("care.xhtml", book.care))
    yield "title.xhtml", _part(book, "title", book.title)
    yield "imprint.xhtml", _part(book, "imprint", book.words["imprint"])
    yield "contents.xhtml", _part(book, "contents", book.words["contents"], fronts=fronts)
    for name, front in fronts:
        yield name, _part(book, "front", front.title, texts=front.texts)
    for at, chapter in enumerate(book.chapters, 1):
        texts = (chapter.text,) if chapter.text else ()
        yield f"chapter-{at}.xhtml", _part(book, "chapter", chapter.title, texts=texts)
        for number, page in enumerate(chapter.pages, chapter.first + 1):
            own = [name for name in pictures if name.startswith(f"photo-{number}-")]
            made = _part(book, "formula", page.title, page=page, pictures=own)
            yield f"formula-{number}.xhtml", made
    yield "index.xhtml", _part(book, "index", book.words["index"])


def _part(book: PrintedBook, kind: str, title: str, **values: object) -> str:
    return html_page("cookbook_part.xhtml", book=book, kind=kind, title=title, **values)


def _style(book: PrintedBook) -> str:
    """The page's own style with its colours written out, which old devices want, and their dark twins."""
    style = shipped("cookbook.css", bytes.decode).replace(_OF_A_WINDOW, "")
    light = _coloured(style, {**_COLOURS, "accent": book.look.accent})
    coloured = (rule for rule in re.findall(r"[^{}]+\{[^{}]*\}", style) if "var(" in rule)
    dark = _coloured(
        "".join(map(_colours_of, coloured)), {**_DARK, "accent": book.look.accent_dark}
    )
    return f"{light}@media (prefers-color-scheme: dark) {{{dark}\n}}\n"


def _colours_of(rule: str) -> str:
    """A rule with its colours alone."""
    names, _, inner = rule.rstrip("}").partition("{")
    return f"{names}{{{';'.join(part for part in inner.split(';') if 'var(' in part)} }}"


def _coloured(style: str, colours: dict[str, str]) -> str:
    return re.sub(r"var\(\W+(\w+)\)", lambda found: colours[found[1]], style)


def _zipped(files: dict[str, str | bytes]) -> bytes:
    made = io.BytesIO()
    with ZipFile(made, "w", ZIP_STORED) as archive:
        for name, content in files.items():
            entry = ZipInfo(name, (1980, 1, 1, 0, 0, 0))  # the first day that zip knows
            entry.create_system, entry.external_attr = 3, 0o644 << 16
            archive.writestr(entry, content)
    return made.getvalue()
