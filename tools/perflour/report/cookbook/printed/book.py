"""A cookbook as it is printed: front, chapters and index, in the words and signs of all renderers."""

from collections.abc import Iterator
from itertools import groupby
from typing import NamedTuple

from perflour.cookbook.book import UNTITLED, Cookbook, IndexEntry
from perflour.cookbook.book_file import Look
from perflour.kitchen.language import ENGLISH
from perflour.plain import one_line
from perflour.report.cookbook.printed.page import (
    BOTH,
    HOUSEHOLD,
    PrintedPage,
    is_general,
    printed_page,
)
from perflour.report.cookbook.printed.words import Words, book_words
from perflour.report.form.signs import typeset


class PrintedChapter(NamedTuple):
    """``first`` is the number of its first page in the book, from 0."""

    title: str
    text: str
    first: int
    pages: tuple[PrintedPage, ...]


class Front(NamedTuple):
    """A page before the formulas: its heading and its paragraphs."""

    title: str
    texts: tuple[str, ...]


class PrintedBook(NamedTuple):
    """``words`` are those that templates put where they want; ``columns`` counts the cells of amounts."""

    title: str
    subtitle: str
    authors: tuple[str, ...]
    imprint: tuple[str, ...]
    front: tuple[Front, ...]
    care: Front
    chapters: tuple[PrintedChapter, ...]
    index: tuple[tuple[str, tuple[IndexEntry, ...]], ...]  # type: ignore[assignment]  # the book's, no tuple's
    columns: int
    look: Look
    paper: str
    language: str
    words: dict[str, str]

    @property
    def pages(self) -> tuple[PrintedPage, ...]:
        return tuple(page for chapter in self.chapters for page in chapter.pages)


#: The words that templates take by their keys.
IN_TEMPLATES = (
    "contents", "imprint", "method", "variations", "kitchen", "story", "index", "see", "page", "see-care",
    "together", "percent-head", "amount-head", "name-head",
)  # fmt: skip


def printed_book(book: Cookbook) -> PrintedBook:
    """The whole book in words; the index by first letter."""
    settled, words = book.settled, book_words(book.settled.language)
    subtitle = "subtitle-untitled" if book.title == UNTITLED else "subtitle"
    foreword = Front(words["foreword"], tuple(map(_text, settled.foreword)))
    before = Front(words["before"], tuple(map(typeset, _before(book, words))))
    return PrintedBook(
        title=_title(book, words),
        subtitle=_text(settled.subtitle) or words[subtitle],
        authors=tuple(map(_text, settled.authors)),
        imprint=tuple(_imprint(book, words)),
        front=(*((foreword,) if settled.foreword else ()), before),
        care=Front(words["care"], tuple(_care(book, words))),
        chapters=tuple(_chapters(book, words)),
        index=tuple(
            (letter or words["index-figures"], tuple(entries))
            for letter, entries in groupby(book.index, key=lambda entry: entry.letter)
        ),
        columns=2 if settled.amounts == BOTH else 1,
        look=settled.look,
        paper=settled.paper,
        language=words.language,
        words={key.replace("-", "_"): words[key] for key in IN_TEMPLATES},
    )


def _title(book: Cookbook, words: Words) -> str:
    return words["untitled"] if book.title == UNTITLED else typeset(book.title)


def _text(said: str) -> str:
    return typeset(" ".join(one_line(said).split()))


def _imprint(book: Cookbook, words: Words) -> Iterator[str]:
    yield _title(book, words)
    yield from map(_text, book.settled.imprint)
    if book.house:
        yield words.say("imprint-of", house=typeset(book.house))
    yield words["imprint-set"]
    if words.language != ENGLISH:
        yield words["imprint-as-written"]
    yield words.say("imprint-care", care=words["care"])


def _before(book: Cookbook, words: Words) -> Iterator[str]:
    scant = words.figures(f"{book.settled.owned.scant * 100:g}")
    if book.settled.amounts != HOUSEHOLD:
        yield words["before-grams"]
    if book.settled.amounts == BOTH:
        yield words.say("before-measures", scant=scant)
    elif book.settled.amounts == HOUSEHOLD:
        yield words.say("before-measures-alone", scant=scant)
    yield words["before-percent"]
    yield words["before-ovens"]


def _care(book: Cookbook, words: Words) -> Iterator[str]:
    """What holds for every formula of the book, once."""
    yield words["care-lists"]
    general = dict.fromkeys(c.text for p in book.pages for c in p.cautions if is_general(c))
    yield from map(typeset, general)
    yield words["care-raw"]


def _chapters(book: Cookbook, words: Words) -> Iterator[PrintedChapter]:
    first = 0
    for chapter in book.chapters:
        pages = tuple(printed_page(page, words, book.settled.amounts) for page in chapter.pages)
        yield PrintedChapter(typeset(chapter.title), typeset(chapter.text), first, pages)
        first += len(pages)
