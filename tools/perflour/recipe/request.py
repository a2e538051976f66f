"""A file that holds a recipe to a formula file, whatever kind of file it is."""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import balance
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.recipe.plain_text import sorted_text
from perflour.recipe.recipe_text import MOST_BYTES, MOST_LINES, RecipeText
from perflour.recipe.to_formula import Header, formula_file
from perflour.result import CannotRun, FileProblem, Result, request_field
from perflour.system.files import STDIN, InputFile, read_input
from perflour.system.opening import make_folder
from perflour.system.paths import FORMULA_FILE, display_path
from perflour.system.writing import write_file
from perflour.tidy.house_format import InHouseFormat, in_house_format

KINDS = ("text", "page", "sheet")
#: No larger file is read, pictures in a workbook counted.
MOST_FILE_BYTES = 20 * 1024**2
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")


@dataclass(frozen=True)
class ImportRequest:
    """What is said of a recipe beside its file.

    ``kind`` is text, page or sheet, else told from the file; ``into`` the folder whose kitchen counts;
    ``recipe`` names one of a page with several, ``sheet`` and ``columns`` say where a workbook holds it.
    """

    kind: str = ""
    into: str = ""
    title: str = ""
    product_class: str = ""
    citation: str = ""
    recipe: str = ""
    sheet: str = ""
    columns: str = ""


#: Nothing is said of it.
PLAIN = ImportRequest()


@dataclass(frozen=True)
class Import:
    """A formula file made of a recipe, what a baker has to look at, and what must be said with it."""

    id: str
    content: bytes
    unclear: tuple[Result, ...]
    allergens: Allergens


def import_recipe(name: str, asked: ImportRequest = PLAIN) -> Import:
    """Read the recipe in a file, `-` for standard input, into a formula in the house format.

    Raises CannotRun.
    """
    source = _read(name)
    kitchen = kitchen_for(os.path.join(_house_folder(asked.into), "any"))
    recipe = _recipe(source, asked)
    lines = sum(len(section.lines) for section in recipe.part_lines)
    if lines > MOST_LINES:
        raise CannotRun(
            f"{source.shown}: {lines} ingredient lines, more than {MOST_LINES}; part it"
        )
    if not lines:
        raise CannotRun(
            f"{source.shown}: no ingredient lines found; write one ingredient a line, its amount first"
        )
    header = Header(asked.title, asked.product_class, asked.citation)
    imported = formula_file(recipe, header, kitchen)
    made = _in_house_format(imported.text.encode(), source.shown, kitchen)
    weighed = balance(made.formula, kitchen.catalogue)
    return Import(imported.id, made.content, imported.unclear, allergens(weighed))


def write_import(made: Import, folder: str, overwrite: bool) -> str:
    """Write ``folder/id/formula.yaml``; the path. Raises CannotRun where one is there already."""
    path = Path(folder) / made.id / FORMULA_FILE
    shown = display_path(str(path))
    if os.path.exists(path) and not overwrite:
        raise CannotRun(
            f"{shown}: is there already; give the formula another {request_field('title')}, or say {request_field('overwrite')}"
        )
    try:
        make_folder(str(path.parent))
        write_file(path, made.content)
    except OSError as error:
        raise CannotRun(
            f"{shown}: cannot be written ({error.strerror}); check the folder and its rights"
        ) from None
    return shown


def _read(name: str) -> InputFile:
    if name != STDIN and os.path.isdir(name):
        raise CannotRun(f"{name}: is a folder; name the file that holds the recipe")
    if name != STDIN and not os.path.exists(name):
        raise CannotRun(f"{name!r}: no such file; check the path")
    source = read_input(name if name == STDIN else os.path.abspath(name), MOST_FILE_BYTES)
    if len(source.content) > MOST_BYTES and not source.content.startswith(b"PK"):
        raise CannotRun(
            f"{source.shown}: over {MOST_BYTES // 1024} KiB, more than a recipe; cut out the recipe"
        )
    return source


def _house_folder(into: str) -> str:
    """Where the kitchen is looked for: the folder written to, else formulas/, else here."""
    if into:
        return into
    return "formulas" if os.path.isdir("formulas") else "."


def _kind(source: InputFile) -> str:
    """What a file holds, by its name, else by how it starts."""
    suffix = os.path.splitext(source.shown)[1].lower()
    if suffix in (".csv", ".tsv", ".xlsx", ".xlsm") or source.content.startswith(b"PK"):
        return "sheet"
    if suffix in (".html", ".htm", ".json", ".jsonld", ".xhtml"):
        return "page"
    start = source.content[:2000].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    is_page = start.startswith((b"<!doctype html", b"<html", b"<script", b"{", b"[{"))
    return "page" if is_page else "text"


def _recipe(source: InputFile, asked: ImportRequest) -> RecipeText:
    kind = asked.kind or _kind(source)
    if kind == "sheet":
        from perflour.recipe.spreadsheet import (
            sorted_spreadsheet,
        )  # reads spreadsheets, slow to load

        return sorted_spreadsheet(source.content, source.shown, asked.columns, asked.sheet)
    if b"\0" in source.content and source.content[:2] not in _UTF_16:
        raise CannotRun(
            f"{source.shown}: is no text; save the recipe as plain text, a web page, CSV or XLSX"
        )
    text = decoded(source.content)
    if kind == "page":
        from perflour.recipe.web_page import sorted_web_page

        return sorted_web_page(text, source.shown, asked.recipe)
    return sorted_text(text, source.shown)


def decoded(content: bytes) -> str:
    """The text of a file: UTF-8, else the Windows code page that kitchens' old files are in."""
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("utf-16" if content[:2] in _UTF_16 else "cp1252", "replace")
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _in_house_format(content: bytes, shown: str, kitchen: Kitchen) -> InHouseFormat:
    try:
        return in_house_format(content, shown, kitchen)
    except FileProblem as problem:
        raise CannotRun(f"{shown}: no valid formula can be made of it ({problem})") from None
