"""A file of whatever kind to the recipes in it, sorted: told apart by its name, else by how it starts."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from perflour.kitchen.catalogue import Catalogue
from perflour.recipe.pdf_text import OPENING as PDF_OPENING
from perflour.recipe.pdf_text import pdf_lines
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.recipe_text import MOST_BYTES, RecipeText
from perflour.recipe.several import Cut, cut, placed
from perflour.result import CannotRun, Place, Result
from perflour.system.files import STDIN, InputFile, read_input

KINDS = ("text", "page", "sheet", "pdf")
#: No larger file is read, pictures in a workbook or a PDF counted.
MOST_FILE_BYTES = 20 * 1024**2
#: What the names of files that hold recipes end in, by what they hold.
ENDINGS = {
    "text": (".txt", ".text", ".md", ".markdown"),
    "page": (".html", ".htm", ".xhtml", ".json", ".jsonld"),
    "sheet": (".csv", ".tsv", ".xlsx", ".xlsm"),
    "pdf": (".pdf",),
}
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")
# A page begins with a tag or a comment, JSON with an object or a list of objects.
_PAGE = re.compile(r"<(?:!doctype|!--|\?xml|[a-z][a-z0-9]*[\s/>])|\{|\[\s*[\[{]", re.IGNORECASE)
#: So many lines outside of all recipes are named, and so many signs of one.
_MOST_NAMED, _MOST_OF_ONE = 12, 120


class Found(NamedTuple):
    """The recipes of a file. ``menu`` tells of headings over them, ``loose`` of what else is in none of them."""

    shown: str
    recipes: tuple[RecipeText, ...]
    menu: tuple[Result, ...] = ()
    loose: tuple[Result, ...] = ()


def found_in(
    name: str, catalogue: Catalogue, kind: str = "", columns: str = "", sheet: str = ""
) -> Found:
    """The recipes in a file, `-` for standard input; ``catalogue`` knows the foods. Raises CannotRun."""
    source = _read(name)
    kind = kind or _kind(source)
    if kind == "sheet":
        from perflour.recipe.spreadsheet import sorted_spreadsheet  # slow to load

        recipe = sorted_spreadsheet(source.content, source.shown, columns, sheet)
        return Found(source.shown, (recipe,))
    if kind == "pdf":
        return _in_pdf(source, catalogue)
    if b"\0" in source.content and source.content[:2] not in _UTF_16:
        raise CannotRun(
            f"{source.shown}: is no text; save the recipe as plain text, a web page, PDF, CSV or XLSX"
        )
    text = decoded(source.content)
    if kind == "page":
        from perflour.recipe.web_page import recipes_of_page

        return Found(source.shown, tuple(recipes_of_page(text, source.shown)))
    return _in_text(text, source.shown, _as_it_is, catalogue)


def decoded(content: bytes) -> str:
    """The text of a file: UTF-8, else the Windows code page that kitchens' old files are in."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("utf-16" if content[:2] in _UTF_16 else "cp1252", "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _read(name: str) -> InputFile:
    if name != STDIN and os.path.isdir(name):
        raise CannotRun(f"{name}: is a folder; name the file that holds the recipe")
    if name != STDIN and ("\0" in name or not os.path.exists(name)):
        raise CannotRun(f"{name!r}: no such file; check the path")
    source = read_input(name if name == STDIN else os.path.abspath(name), MOST_FILE_BYTES)
    if len(source.content) > MOST_BYTES and _kind(source) not in ("sheet", "pdf"):
        raise CannotRun(
            f"{source.shown}: over {MOST_BYTES // 1024} KiB, more than a recipe; cut out the recipe"
        )
    return source


def _kind(source: InputFile) -> str:
    """What a file holds: by how it starts where that is plain, by its name, else by how its text starts."""
    if source.content.startswith(PDF_OPENING):
        return "pdf"
    if source.content.startswith(b"PK\x03\x04"):
        return "sheet"
    suffix = os.path.splitext(source.shown)[1].lower()
    for kind, endings in ENDINGS.items():
        if suffix in endings and kind != "text":
            return kind
    start = decoded(source.content[:2000]).lstrip("\ufeff \t\n")
    return "page" if _PAGE.match(start) else "text"


def _in_pdf(source: InputFile, catalogue: Catalogue) -> Found:
    """The recipes of a PDF; a place names the page, as RFC 8118 has it, and the line on it."""
    lines = pdf_lines(source.content, source.shown)
    pages = [line.page for line in lines]
    # a new page may begin a recipe
    parted = ["\f" if page != before else "" for before, page in zip([0, *pages], pages, strict=False)]  # fmt: skip
    text = "\n".join(new + line.text for new, line in zip(parted, lines, strict=True))

    def on_page(place: Place) -> Place:
        line = lines[place.line - 1]
        column = place.column - len(parted[place.line - 1])
        return Place(f"{source.shown}#page={line.page}", line.line, column)

    found = _in_text(text, source.shown, on_page, catalogue)
    empty = tuple(
        told(Place(f"{source.shown}#page={page}"), "no text on this page; look whether it is of a recipe")
        for page in sorted(set(pages))
        if not any(line.text.strip() for line in lines if line.page == page)
    )  # fmt: skip
    return Found(found.shown, found.recipes, found.menu, (*found.loose, *empty))


def _in_text(text: str, shown: str, at: Callable[[Place], Place], catalogue: Catalogue) -> Found:
    """The recipes of a text; ``at`` is where a place in it is in the file."""
    parted = cut(text)
    recipes = tuple(
        _in_piece(sorted_text(piece.text, shown, catalogue), piece.line - 1, at)
        for piece in parted.pieces
    )
    menu, loose = _outside(parted, shown, at)
    doubtful = tuple(
        told(at(Place(shown, line)), f"{text!r} may be the title of another recipe; put it into a file of its own if it is")
        for line, text in parted.doubtful
    )  # fmt: skip
    return Found(shown, recipes, menu, (*loose, *doubtful))


def _as_it_is(place: Place) -> Place:
    return place


def _in_piece(recipe: RecipeText, above: int, at: Callable[[Place], Place]) -> RecipeText:
    """A recipe that was sorted from a piece of a text, ``above`` lines of which stand above it."""
    if not above and at is _as_it_is:
        return recipe  # as most: its places are those of the file
    return placed(recipe, lambda place: at(place._replace(line=place.line + above)))


def _outside(
    parted: Cut, shown: str, at: Callable[[Place], Place]
) -> tuple[tuple[Result, ...], tuple[Result, ...]]:
    """What is told of the lines outside of all recipes, nothing where there are none."""
    said = []
    for lines, what in (
        (parted.menu, "headings over the recipes, left out"),
        (parted.loose, "in none of the recipes, left out; add what belongs to one"),
    ):
        place = at(Place(shown, lines[0][0])) if lines else None
        said.append(
            (told(place, f"{what}: {named([text for _, text in lines])}"),) if place else ()
        )
    return said[0], said[1]


def told(place: Place, message: str) -> Result:
    """What is told of a place."""
    return Result("not-understood", "warning", message, place)


def named(texts: Sequence[str]) -> str:
    """Titles or lines in a row, as many as can be read."""
    from textwrap import shorten  # slow to load: docs/performance.md

    more = len(texts) - _MOST_NAMED
    named = ", ".join(shorten(text, _MOST_OF_ONE, placeholder=" ...") for text in texts[:_MOST_NAMED])  # fmt: skip
    return f"{named} and {more} more" if more > 0 else named
