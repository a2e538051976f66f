"""`perflour import`: a formula from a recipe in text, web page, CSV, XLSX."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, print_text, request_of, say
from perflour.plain import visible


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "file", metavar="FILE", help="a text, web page, JSON, CSV or XLSX file, or -"
    )
    command.add_argument(
        "--as",
        dest="kind",
        choices=("text", "page", "sheet"),
        help="what the file holds (default: by its name, else by how it starts)",
    )
    command.add_argument("--into", metavar="FOLDER", help="write FOLDER/<id>/formula.yaml")
    command.add_argument(
        "--overwrite", action="store_true", help="replace a formula that is there already"
    )
    command.add_argument("--title", help="title of the formula; its id is made of it")
    command.add_argument(
        "--class", dest="product_class", metavar="CLASS", help="product class of the formula"
    )
    command.add_argument("--citation", metavar="TEXT", help="where the recipe comes from")
    command.add_argument("--recipe", metavar="TITLE", help="which recipe of a page with several")
    command.add_argument(
        "--sheet", metavar="NAME", help="which sheet of a workbook (default: the first)"
    )
    command.add_argument(
        "--columns",
        metavar="MAP",
        help="which column holds what, like item=Ingredient,amount=Qty,unit=Unit,state=Prep,part=Section",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.documents.on_screen import on_screen
    from perflour.recipe.request import ImportRequest, import_recipe, write_import
    from perflour.report.imported import imported_text

    made = import_recipe(options.file, request_of(ImportRequest, options))
    written = write_import(made, options.into, options.overwrite) if options.into else ""
    print_text(f"{visible(written)}\n" if written else on_screen(made.content.decode()))
    say(imported_text(made.unclear, made.allergens))
    return FOUND if made.unclear else NOTHING
