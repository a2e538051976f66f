"""A file that holds recipes to formula files, whatever kind of file it is."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import NamedTuple

from perflour.balance.allergens import Allergens, allergens
from perflour.balance.balance import balance
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.recipe.header import Header
from perflour.recipe.recipe_text import MOST_LINES, Reading, RecipeText
from perflour.recipe.sources import Found, found_in, named, told
from perflour.recipe.to_formula import Imported, formula_file
from perflour.result import CannotRun, FileProblem, Place, Result, request_field
from perflour.system.paths import FORMULA_FILE, display_path
from perflour.tidy.house_format import InHouseFormat, in_house_format


class ImportRequest(NamedTuple):
    """What is said of a recipe beside its file.

    ``kind`` is text, page, sheet or pdf, else told from the file; ``into`` the folder whose kitchen counts;
    ``recipe`` names one of several, ``sheet`` and ``columns`` say where a workbook holds it.
    """

    kind: str = ""
    into: str = ""
    title: str = ""
    product_class: str = ""
    citation: str = ""
    reference: bool = False
    recipe: str = ""
    sheet: str = ""
    columns: str = ""


#: Nothing is said of it.
PLAIN = ImportRequest()


class Import(NamedTuple):
    """A formula file made of a recipe, what a baker has to look at, and what must be said with it.

    ``left_out`` tells of what stands around recipes and belongs to none, like a menu.
    """

    id: str
    content: bytes
    unclear: tuple[Result, ...]
    allergens: Allergens
    title: str = ""
    left_out: tuple[Result, ...] = ()
    readings: tuple[Reading, ...] = ()


def import_recipe(name: str, asked: ImportRequest = PLAIN) -> Import:
    """Read the recipe in a file, `-` for standard input, into a formula in the house format.

    Raises CannotRun, also where there are several.
    """
    made = import_recipes(name, asked)
    if len(made) > 1:
        raise CannotRun(
            f"{name}: holds {len(made)} recipes; name one with {request_field('recipe')}: {titles_of(made)}"
        )
    return made[0]


def import_recipes(name: str, asked: ImportRequest = PLAIN) -> tuple[Import, ...]:
    """Read the recipes in a file, one or more, each into a formula. Raises CannotRun."""
    kitchen = kitchen_for(os.path.join(_house_folder(asked.into), "any"))
    found = found_in(name, kitchen.catalogue, asked.kind, asked.columns, asked.sheet)
    recipes = _chosen(found, asked)
    if asked.title and len(recipes) > 1:
        raise CannotRun(
            f"{found.shown}: holds {len(recipes)} recipes; a {request_field('title')} names one, say which with {request_field('recipe')}"
        )
    made = [_made(recipe, found.shown, asked, kitchen) for recipe in recipes]
    if not asked.recipe:
        left_out = (*found.menu, *_without_lines(found))
        made[0] = made[0]._replace(unclear=(*found.loose, *made[0].unclear), left_out=left_out)
    return tuple(made)


def _without_lines(found: Found) -> tuple[Result, ...]:
    """What is told of recipes without ingredients beside others: a page lists them as links."""
    titles = [one.title or "one without a title" for one in found.recipes if not _lines(one)]
    what = "recipes without ingredients, left out: "
    return (told(Place(found.shown), what + named(titles)),) if titles else ()


def titles_of(made: Sequence[Import]) -> str:
    """The titles of recipes, as many as can be read."""
    return named([one.title for one in made])


def write_import(made: Import, folder: str, overwrite: bool) -> str:
    """Write ``folder/id/formula.yaml``; the path. Raises CannotRun where one is there already."""
    from pathlib import Path  # slow to load: docs/performance.md

    from perflour.system.opening import make_folder
    from perflour.system.writing import write_file

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


#: What is said of a text that is no recipe we can read.
NOTHING_FOUND = (
    "no ingredient lines found; write one ingredient a line, its amount first, or tell it in sentences "
    "that name at least three foods with their amounts"
)


def _chosen(found: Found, asked: ImportRequest) -> tuple[RecipeText, ...]:
    """The recipes that are asked for; of several, those that have ingredients. Raises CannotRun for none."""
    recipes = found.recipes
    if asked.recipe:
        wanted = asked.recipe.casefold()
        recipes = tuple(one for one in recipes if one.title.casefold() == wanted)
        if not recipes:
            titles = named([one.title or "one without a title" for one in found.recipes])
            raise CannotRun(f"{found.shown}: no recipe named {asked.recipe!r}; it has {titles}")
    for recipe in recipes:
        if (lines := _lines(recipe)) > MOST_LINES:
            raise CannotRun(
                f"{found.shown}: {lines} ingredient lines, more than {MOST_LINES}; part it"
            )
    chosen = tuple(filter(_lines, recipes))
    if not chosen:
        raise CannotRun(f"{found.shown}: {NOTHING_FOUND}")
    return chosen


def _lines(recipe: RecipeText) -> int:
    return sum(len(section.lines) for section in recipe.part_lines)


def _made(recipe: RecipeText, shown: str, asked: ImportRequest, kitchen: Kitchen) -> Import:
    header = Header(asked.title, asked.product_class, asked.citation, asked.reference)
    imported = formula_file(recipe, header, kitchen)
    made = _in_house_format(imported, shown, kitchen)
    weighed = made.weighed or balance(made.formula, kitchen.catalogue)
    title = asked.title or recipe.title or made.formula.title
    return Import(
        imported.id,
        made.content,
        imported.unclear,
        allergens(weighed),
        title,
        readings=imported.readings,
    )


def _house_folder(into: str) -> str:
    """Where the kitchen is looked for: the folder written to, else formulas/, else here."""
    if into:
        return into
    return "formulas" if os.path.isdir("formulas") else "."


def _in_house_format(made: Imported, shown: str, kitchen: Kitchen) -> InHouseFormat:
    try:
        return in_house_format(made.text.encode(), shown, kitchen, made.page)
    except FileProblem as problem:
        raise CannotRun(f"{shown}: no valid formula can be made of it ({problem})") from None
