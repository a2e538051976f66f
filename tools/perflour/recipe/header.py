"""What stands above the parts of an imported formula: id, title, class, status, source, notes, basis."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from perflour.documents.layout import as_scalar
from perflour.documents.nodes import Entry
from perflour.formula.formula import REFERENCE
from perflour.kitchen.catalogue import Catalogue
from perflour.kitchen.house import Kitchen
from perflour.recipe.file_entries import MOST, comment, list_of, text_entry
from perflour.recipe.names import named
from perflour.recipe.of_the_whole import measures_meant, without_own_cautions
from perflour.recipe.recipe_text import RecipeText
from perflour.recipe.yields import singular

NO_CLASS = "unsorted"
NO_SOURCE = "no source is said, which a reference needs; write author, work and year in `citation`"


class Header(NamedTuple):
    """What the command line says of the formula; empty for what the text shall say.

    As a ``reference`` it is kept as somebody else's, to compare with, and must say whose.
    """

    title: str = ""
    product_class: str = ""
    citation: str = ""
    reference: bool = False


def formula_id(title: str) -> str:
    """An id from a title: "Oat & treacle loaf" is oat-treacle-loaf."""
    plain = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode().lower()
    words = re.findall(r"[a-z0-9]+", plain.replace("'", ""))
    found = "-".join(words)[: MOST["id"]].strip("-")
    return found or "untitled-recipe"


def header_entries(
    recipe: RecipeText, header: Header, title: str, notes: Sequence[str], kitchen: Kitchen
) -> Iterator[Entry]:
    """All that stands above the yield and the parts, in the order of the schema."""
    yield from _name(recipe, header, title, kitchen)
    yield from _whose(header, header.citation or recipe.citation)
    yield from _notes(notes)
    yield from _measures(recipe, kitchen.catalogue)
    yield from _basis(recipe, kitchen.catalogue)


def lacks_source(recipe: RecipeText, header: Header) -> bool:
    """Whether it is to be a reference, and neither the text nor the command line says whose it is."""
    return header.reference and not (header.citation or recipe.citation)


def _name(recipe: RecipeText, header: Header, title: str, kitchen: Kitchen) -> Iterator[Entry]:
    left = [comment(f"Not carried over from the page: {', '.join(recipe.left_out)}")]
    yield Entry(as_scalar(formula_id(title)), "formula", tuple(left if recipe.left_out else ()))
    yield text_entry("title", title)
    product = header.product_class or _class_of(title, kitchen)
    beside = "" if product != NO_CLASS else "  # name a class of house.yaml"
    yield Entry(as_scalar(product[: MOST["class"]]), "class", (), beside)


def _whose(header: Header, citation: str) -> Iterator[Entry]:
    """The status and the source: a draft that has one is adapted, a reference is kept as its source has it."""
    if header.reference:
        above = () if citation else (comment(NO_SOURCE),)
        yield Entry(as_scalar(REFERENCE), "status", above)
    else:
        yield Entry(as_scalar("draft"), "status")
    if citation and not header.reference:
        yield Entry(as_scalar("adapted"), "origin")
    if citation:
        yield text_entry("citation", citation)


def _class_of(title: str, kitchen: Kitchen) -> str:
    """The house's class whose words are all in the title, the longest; `unsorted` without one."""
    words = {singular(word) for word in re.findall(r"\w+", title.lower())}
    fitting = [name for name in kitchen.house.classes if set(name.split("-")) <= words]
    return max(fitting, key=len, default=NO_CLASS)


def _notes(notes: Sequence[str]) -> Iterator[Entry]:
    if text := without_own_cautions(" ".join(" ".join(note.split()) for note in notes)):
        yield text_entry("notes", text)


def _measures(recipe: RecipeText, catalogue: Catalogue) -> Iterator[Entry]:
    """Whose cups the recipe means, where it says so and the house means others."""
    whose = measures_meant(line.text for part in recipe.part_lines for line in part.lines)
    if whose and whose != catalogue.said.measures:
        yield Entry(as_scalar(whose), "measures")


def _basis(recipe: RecipeText, catalogue: Catalogue) -> Iterator[Entry]:
    """The items that are 100 %, spelled as the lines spell them."""
    if recipe.basis:
        items = (named(item.strip(), catalogue).item for item in recipe.basis.text.split(","))
        yield Entry(
            list_of(Entry(as_scalar(item)) for item in dict.fromkeys(items) if item), "basis"
        )
