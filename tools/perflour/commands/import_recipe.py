"""`perflour import`: formulas from recipes in text, web page, PDF, CSV, XLSX."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from perflour.commands.parts import (
    COULD_NOT_RUN,
    FOUND,
    NOTHING,
    count_of,
    describe_output,
    option_name,
    print_bytes,
    print_text,
    request_of,
    say,
)
from perflour.plain import visible
from perflour.report.forms import rendered
from perflour.result import CannotRun, request_field

if TYPE_CHECKING:
    from perflour.recipe.many import Outcome
    from perflour.recipe.request import Import

EXAMPLE = "perflour import tests/published/text/10-plain-muffins.txt --class muffin --into drafts"
CODES = ("all of it was understood", "something was not understood; it is named on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths",
        nargs="*",
        metavar="FILE",
        help="text, web page, JSON, PDF, CSV or XLSX files, folders of them, or -",
    )
    command.add_argument(
        "--as",
        dest="kind",
        choices=("text", "page", "sheet", "pdf"),
        help="what the file holds (default: by its name, else by how it starts)",
    )
    command.add_argument("--into", metavar="FOLDER", help="write FOLDER/<id>/formula.yaml")
    command.add_argument(
        "--overwrite", action="store_true", help="replace a formula that is there already"
    )
    command.add_argument(
        "--title", metavar="TEXT", help="title of the formula; its id is made of it"
    )
    command.add_argument(
        "--class", dest="product_class", metavar="CLASS", help="product class of the formula"
    )
    command.add_argument("--citation", metavar="TEXT", help="where the recipe comes from")
    command.add_argument(
        "--reference",
        action="store_true",
        help="keep it as somebody else's formula, to compare with: never released, and its source must be said (default: a draft of your own)",
    )
    command.add_argument("--recipe", metavar="TITLE", help="which recipe of a file with several")
    command.add_argument(
        "--sheet", metavar="NAME", help="which sheet of a workbook (default: the first)"
    )
    command.add_argument(
        "--columns",
        metavar="MAP",
        help="which column holds what, like item=Ingredient,amount=Qty,unit=Unit,state=Prep,part=Section",
    )
    describe_output(
        command, "import", "how what was read is printed; text and json set it beside the source"
    )
    command.add_argument(
        "--jobs",
        type=count_of,
        default=0,
        metavar="N",
        help="cores to use for many files (default: all)",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.recipe.many import import_all, sources, write_all
    from perflour.recipe.request import ImportRequest, titles_of

    asked = request_of(ImportRequest, options)
    found = sources([*options.paths, *(options.after_dashes or ())])
    if not found.names:
        raise CannotRun("no recipe to import; name a file that holds one, its folder, or -")
    if len(found.names) > 1 and not options.into and options.output == "formula":
        raise CannotRun(
            f"{len(found.names)} files; say with {request_field('into')} into which folder the formulas go"
        )
    outcomes = import_all(found.names, asked, options.jobs)
    first = outcomes[0]
    if options.output != "formula":
        return _readings(outcomes, options)
    if len(outcomes) == 1 and not found.left_alone and len(first.made) < 2:
        if first.problem:
            raise first.problem
        return _one(first.made[0], options)
    if not options.into:
        raise CannotRun(
            f"{first.name}: holds {len(first.made)} recipes; write them all into a folder with {request_field('into')}, or name one with {request_field('recipe')}: {titles_of(first.made)}"
        )
    return _several(write_all(outcomes, options.into, options.overwrite), found.left_alone)


def _one(made: Import, options: argparse.Namespace) -> int:
    """Print or write a formula, and say what is to be said of it."""
    from perflour.documents.on_screen import on_screen
    from perflour.recipe.request import write_import
    from perflour.report.imported import imported_text

    written = write_import(made, options.into, options.overwrite) if options.into else ""
    print_text(f"{visible(written)}\n" if written else on_screen(made.content.decode()))
    say(imported_text((*made.left_out, *made.unclear), made.allergens))
    return FOUND if made.unclear else NOTHING


def _readings(outcomes: list[Outcome], options: argparse.Namespace) -> int:
    """Print what was read of every place of the sources; nothing is written."""
    if options.into:
        raise CannotRun(
            f"{request_field('output')} {options.output} only shows what was read; leave {request_field('into')} away"
        )
    problems = [outcome.problem for outcome in outcomes if outcome.problem]
    made = [one for outcome in outcomes for one in outcome.made]
    if not made:
        raise problems[0]
    print_bytes(rendered("import", options.output, made))
    for problem in problems:
        say(f"perflour: {visible(problem.told(option_name))}\n")
    if problems:
        return COULD_NOT_RUN
    return FOUND if any(one.unclear for one in made) else NOTHING


def _several(outcomes: list[Outcome], left_alone: tuple[str, ...]) -> int:
    """Print the paths that were written, and say what is to be said of each and of all."""
    from perflour.report.imported import imported_run_text

    written = [one for outcome in outcomes for one in outcome.written]
    paths = [path for path in written if isinstance(path, str)]
    print_text("".join(f"{visible(path)}\n" for path in paths))
    say(imported_run_text(outcomes, left_alone, option_name))
    if any(outcome.problem for outcome in outcomes) or len(paths) < len(written):
        return COULD_NOT_RUN
    return FOUND if any(one.unclear for o in outcomes for one in o.made) else NOTHING
