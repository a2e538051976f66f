"""`perflour git-sheet`: the ratio sheet that git shows.

Git itself starts `for_git`, once for each side of a file that it shows for the first time: nothing is loaded for
that but what makes a sheet, no command line either (docs/performance.md).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

EXAMPLE = "perflour git-sheet formulas/rye-ginger-cookie/formula.yaml"
CODES = ("the sheet, or the text of a file that is no formula",)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", metavar="FILE", help="a formula file")
    command.add_argument(
        "--house", metavar="FOLDER", help="the folder of the house file (default: above the file)"
    )


def run(options: argparse.Namespace) -> int:
    from perflour.commands.parts import NOTHING, print_bytes
    from perflour.report.git_sheet import ratio_sheet_of_file

    for path in (*options.paths, *(options.after_dashes or ())):
        print_bytes(ratio_sheet_of_file(path, options.house))
    return NOTHING


def for_git() -> None:
    """Print the sheet of a file and keep it: the arguments are the house's folder, where it is kept, and the file."""
    import gc
    import os
    import sys

    gc.disable()  # as the command line does, docs/performance.md
    from perflour.report.git_sheet import SOMETIMES_READ, ratio_sheet_and_sources
    from perflour.system.made_by import loaded_files
    from perflour.system.shown_before import keep

    package = os.path.dirname(os.path.dirname(__file__))
    files = [*loaded_files(), *(os.path.join(package, name) for name in SOMETIMES_READ)]
    house, folder, path = sys.argv[1:]
    sheet, sources = ratio_sheet_and_sources(path, house)
    sys.stdout.buffer.write(sheet)
    sys.stdout.buffer.flush()
    try:
        if sources:
            keep(folder, sheet, sources, files)
    finally:  # what fails now must not have git's shell print the file behind its sheet
        os._exit(0)
