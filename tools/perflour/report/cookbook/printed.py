"""A cookbook as it is printed: every text and figure in the words and signs of both renderers."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from perflour.balance.allergens import Brought
from perflour.cookbook.book import UNTITLED, Cookbook, IndexEntry
from perflour.cookbook.english import counted, sentence
from perflour.cookbook.page import KitchenNote, Minutes, Page, PageLine, PagePart
from perflour.kitchen.figures import grams, percent
from perflour.report.form.signs import measure, typeset

SUBTITLE, SUBTITLE_WITHOUT_TITLE = "Cookbook, reading copy", "Reading copy"
HEADS = ("", "g", "cups and spoons", "baker's %")
BY_WEIGHT = "by weight"
# Shorter times in all tell a reader nothing: house choice.
LEAST_TOLD_MIN = 15
# How readings of a test bake are told; the value comes first.
READINGS = {
    "bake-time": "in the oven",
    "core": "in the middle",
    "height": "high",
    "spread": "across",
}
# The spread of a cup of flour is that of published weights, the catalogue's sources; the sizes of
# cup and spoon are US customary; a large egg is the catalogue's, USDA SR28.
BEFORE_YOU_BAKE = (
    "Grams are the formula: put the bowl on the scale and weigh. Cups and spoons stand beside them for "
    "kitchens without a scale. They are US customary and level (a cup is 237 ml, a tablespoon 14.8 ml, "
    "a teaspoon 4.9 ml), worked out from published weights where the baker did not give them. A cup "
    "of flour is published at anything from 102 to 134 g, so a scale bakes the better loaf.",
    "The last column is the baker's percentage: every ingredient in percent of the flour that goes with it, which is 100: a dough's, or a topping's own. "
    "It shows at a glance how sweet, rich or wet a formula is, and it stays the same whatever the "
    "size of the batch.",
    "A large egg is 50 g without its shell. Butter, sugar and flour are weighed as they are listed: a "
    "word after the name says in which state.",
    "Ovens differ. The sign of doneness counts before the minutes; start looking at the earlier time.",
    "Allergens are listed with every formula by what each food is. The label of what you buy, the rules "
    "of the place and people qualified in them decide. Raw dough and batter are not for tasting.",
)


@dataclass(frozen=True)
class PrintedRow:
    """One line of a table of ingredients."""

    name: str
    remark: str
    grams: str
    measure: str
    percent: str
    is_part: bool = False


@dataclass(frozen=True)
class Table:
    title: str
    grams: str
    remark: str
    rows: tuple[PrintedRow, ...]


@dataclass(frozen=True)
class Labelled:
    """A word and what it says: a line of facts, or an allergen list with its heading."""

    label: str
    text: str


@dataclass(frozen=True)
class PrintedPage:
    title: str
    kind: str
    headnote: str
    facts: tuple[Labelled, ...]
    tables: tuple[Table, ...]
    table_note: str
    steps: tuple[str, ...]
    kitchen_notes: tuple[str, ...]
    allergens: tuple[Labelled, ...]
    cautions: tuple[str, ...]
    source: str


@dataclass(frozen=True)
class PrintedChapter:
    """``first`` is the number of its first page in the book, from 0."""

    title: str
    first: int
    pages: tuple[PrintedPage, ...]


@dataclass(frozen=True)
class PrintedBook:
    title: str
    subtitle: str
    heads: tuple[str, ...]
    before: tuple[str, ...]
    chapters: tuple[PrintedChapter, ...]
    index: tuple[tuple[str, tuple[IndexEntry, ...]], ...]


def printed_book(book: Cookbook) -> PrintedBook:
    """The whole book in words; the index by first letter."""
    return PrintedBook(
        title=typeset(book.title),
        subtitle=SUBTITLE_WITHOUT_TITLE if book.title == UNTITLED else SUBTITLE,
        heads=HEADS,
        before=BEFORE_YOU_BAKE,
        chapters=tuple(_chapters(book)),
        index=tuple(
            (letter, tuple(entries))
            for letter, entries in groupby(book.index, key=lambda entry: entry.letter)
        ),
    )


def _chapters(book: Cookbook) -> Iterator[PrintedChapter]:
    first = 0
    for chapter in book.chapters:
        pages = tuple(map(printed_page, chapter.pages))
        yield PrintedChapter(typeset(chapter.title), first, pages)
        first += len(pages)


def printed_page(page: Page) -> PrintedPage:
    """One page in words."""
    return PrintedPage(
        title=typeset(page.title),
        kind=typeset(page.kind),
        headnote=typeset(page.headnote),
        facts=tuple(_facts(page)),
        tables=tuple(_tables(page)),
        table_note=_table_note(page),
        steps=tuple(map(typeset, page.steps)),
        kitchen_notes=tuple(typeset(_kitchen_note(note)) for note in page.kitchen_notes),
        allergens=tuple(_allergens(page)),
        cautions=tuple(typeset(caution.text) for caution in page.cautions),
        source=typeset(sentence(f"Adapted from {page.citation}")) if page.citation else "",
    )


def yield_words(page: Page) -> str:
    """``48 cookies of 34 g each, weighed before baking``; nothing without a yield."""
    if page.pieces is None:
        return ""
    said = counted(page.pieces, page.piece)
    if not page.mass_per_piece_g:
        return said
    mass = grams(page.mass_per_piece_g, page.scale_resolution_g)
    each = " each" if page.pieces > 1 else ""
    return f"{said} of {mass} g{each}{', weighed before baking' if page.is_baked else ''}"


def _facts(page: Page) -> Iterator[Labelled]:
    if page.pieces is not None:
        yield Labelled("Makes", yield_words(page))
    if page.batch_g:
        yield Labelled("Batch", f"{grams(page.batch_g, page.scale_resolution_g)} g")
    heat = typeset("; ".join(page.oven))
    time = _time(page.oven_time) if page.oven_time else ""
    if page.is_baked and (heat or time):
        yield Labelled("Oven", ", ".join(filter(None, (heat, time))))
    if page.timed and page.timed.high >= LEAST_TOLD_MIN:
        yield Labelled("Time", f"about {_clock(_to_five(page.timed.high))} in timed steps")


def _time(minutes: Minutes) -> str:
    if minutes.low == minutes.high:
        return _clock(minutes.high)
    if minutes.high < 100:
        return f"{minutes.low:g}–{minutes.high:g} min"
    return f"{_clock(minutes.low)} to {_clock(minutes.high)}"


def _clock(minutes: float) -> str:
    """``45 min``, ``90 min``, ``2 h 45 min``, ``14 h``."""
    if minutes < 100:
        return f"{minutes:g} min"
    hours, rest = divmod(round(minutes), 60)
    return f"{hours} h {rest} min" if rest else f"{hours} h"


def _to_five(minutes: float) -> float:
    return minutes if minutes < 10 else 5 * round(minutes / 5)


def _tables(page: Page) -> Iterator[Table]:
    for part in page.parts:
        yield _table(part, page)
    if page.total:
        rows = tuple(_row(line, page) for line in page.total)
        mass = grams(sum(line.mass_g or 0.0 for line in page.total), page.scale_resolution_g)
        title = _capital(typeset(f"{page.base} in all"))
        yield Table(title, mass, "with the preferment opened", rows)


def _table(part: PagePart, page: Page) -> Table:
    used = f"{percent(part.share_used * 100)} % of it is used" if 0 < part.share_used < 1 else ""
    return Table(
        title=_capital(typeset(part.name)),
        grams=grams(part.mass_g, page.scale_resolution_g),
        remark=typeset(" ".join(filter(None, (sentence(used), sentence(part.notes))))),
        rows=tuple(_row(line, page) for line in part.lines),
    )


def _row(line: PageLine, page: Page) -> PrintedRow:
    said = measure(line.measure)
    if not said and line.mass_g is not None and not line.is_part and line not in page.total:
        said = BY_WEIGHT
    return PrintedRow(
        name=typeset(line.name),
        remark=typeset(line.remark),
        grams="–" if line.mass_g is None else grams(line.mass_g, page.scale_resolution_g),
        measure=said,
        percent="" if line.percent is None else percent(line.percent, line.fine),
        is_part=line.is_part,
    )


def _table_note(page: Page) -> str:
    """What 100 % is: `100 % is the dough's flour, 900 g; the glaze's powdered sugar, 120 g.`"""
    said = [f"{of}, {grams(mass_g, page.scale_resolution_g)} g" for of, mass_g in page.hundreds]
    return typeset(sentence(f"100 % is {'; '.join(said)}")) if said else ""


def _kitchen_note(note: KitchenNote) -> str:
    readings = ", ".join(f"{value} {READINGS[name]}" for name, value in note.readings)
    return " ".join(filter(None, (sentence(note.text), sentence(readings))))


def _allergens(page: Page) -> Iterator[Labelled]:
    found = page.allergens
    if page.declared_allergens:
        yield Labelled("Declared by the kitchen", sentence(", ".join(page.declared_allergens)))
    yield Labelled("By the US list", _brought(found.us))
    yield Labelled("By the EU list", _brought(found.eu))
    if found.not_known:
        yield Labelled("Not known", sentence(", ".join(found.not_known)))


def _brought(brought: Sequence[Brought]) -> str:
    if not brought:
        return "None by what is known here."
    return typeset(sentence("; ".join(f"{b.allergen} ({', '.join(b.by)})" for b in brought)))


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
