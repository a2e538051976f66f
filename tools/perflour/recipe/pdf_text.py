"""The text of a PDF, page by page: the text layer as it is laid out, its columns one after the other.

The file is read in a process of its own, which is ended where it takes too long: a small PDF can ask for
any amount of work.
"""

from __future__ import annotations

import os
import re
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING, Any, NamedTuple

from perflour.recipe.recipe_text import MOST_BYTES
from perflour.result import CannotRun
from perflour.system.extras import need

if TYPE_CHECKING:
    from multiprocessing.connection import Connection

OPENING = b"%PDF-"
MOST_PAGES, MOST_SECONDS = 300, 15
#: Between two columns; and what makes two columns of text instead of a table: lines, words in the right one.
_GAP = re.compile(r"(?<=\S) {3,}(?=\S)")
_LEAST_LINES, _LEAST_WORDS = 3, 2.5

_BROKEN = "no PDF that can be read; save it again, or paste the text"
_ENCRYPTED = "is encrypted; save it without a password"
_SCANNED = "holds no text, only pictures; have the text recognised, or type the recipe"
_SLOW = f"not read within {MOST_SECONDS} s; paste the text of the recipe"
_LONG = f"over {MOST_BYTES // 1024} KiB of text, more than a recipe; cut out its pages"


class PageLine(NamedTuple):
    """A line of a page; a column to the right keeps its indent."""

    page: int
    line: int
    text: str


def pdf_lines(content: bytes, path: str) -> list[PageLine]:
    """The lines of a PDF in the order of reading. Raises CannotRun with one line."""
    need("import", "pypdf")
    pages = _pages(content)
    if isinstance(pages, str):
        raise CannotRun(f"{path}: {pages}")
    if not any(page.strip() for page in pages):
        raise CannotRun(f"{path}: {_SCANNED}")
    return [line for number, page in enumerate(pages, 1) for line in _lines(page, number)]


def _pages(content: bytes) -> list[str] | str:
    """The texts of the pages from a process of its own, or what is wrong."""
    from multiprocessing import Pipe, get_context

    # by fork where there is one: nothing is imported a second time
    process: Any = get_context("fork" if hasattr(os, "fork") else "spawn")
    receiving, sending = Pipe(duplex=False)
    reader = process.Process(target=_send_pages, args=(sending, content))
    reader.start()
    sending.close()
    try:
        answer: list[str] | str = receiving.recv() if receiving.poll(MOST_SECONDS) else _SLOW
        return answer
    except EOFError:  # it was ended: no memory left
        return _BROKEN
    finally:
        reader.kill()
        reader.join()
        receiving.close()


def _send_pages(sending: Connection, content: bytes) -> None:
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # whoever waits for this is stopped, and ends it
    sending.send(_read(content))


def _read(content: bytes) -> list[str] | str:
    import io
    import logging

    from pypdf import PdfReader  # only for a PDF: docs/performance.md

    logging.disable()  # what it would say of a file that is not quite right
    try:
        pdf = PdfReader(io.BytesIO(content))
        if pdf.is_encrypted:
            return _ENCRYPTED
        if (count := len(pdf.pages)) > MOST_PAGES:
            return f"{count} pages, more than {MOST_PAGES}; cut out those with the recipes"
        texts: list[str] = []
        left = MOST_BYTES
        for page in pdf.pages:
            texts.append(page.extract_text(extraction_mode="layout"))
            left -= len(texts[-1].encode("utf-8", "replace"))
            if left < 0:
                return _LONG
        return texts
    except Exception:  # pypdf raises many kinds where a file is broken
        return _BROKEN


def _lines(page: str, number: int) -> Iterator[PageLine]:
    """The lines of a page; where two columns of text stand side by side, the left one first."""
    lines = [PageLine(number, at, text) for at, text in enumerate(page.split("\n"), 1)]
    gutter = _gutter([line.text for line in lines])
    right: list[PageLine] = []
    for line in lines:
        if not gutter or not _leaves_free(line.text, gutter):
            yield from right
            right = []
            yield line
            continue
        if left := line.text[:gutter].rstrip():
            yield line._replace(text=left)
        if line.text[gutter:].strip():
            right.append(line._replace(text=" " * gutter + line.text[gutter:]))
    yield from right


def _gutter(texts: Sequence[str]) -> int:
    """Where a right column starts, 0 for none. Short right ones are the amounts of a table."""
    starts = Counter(match.end() for text in texts for match in _GAP.finditer(text))
    if not starts:
        return 0
    at, count = starts.most_common(1)[0]
    words = [len(text[at:].split()) for text in texts if _has_gap(text, at)]
    return at if count >= _LEAST_LINES and sum(words) / len(words) >= _LEAST_WORDS else 0


def _has_gap(text: str, at: int) -> bool:
    return any(match.end() == at for match in _GAP.finditer(text))


def _leaves_free(text: str, gutter: int) -> bool:
    """Whether a line has nothing right before the gutter: no title across both columns."""
    return not text[gutter - 2 : gutter].strip()
