"""`perflour git-sheet`: the ratio sheet that git shows (git calls it)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from perflour.commands.parts import NOTHING, print_bytes

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
    from perflour.report.git_sheet import ratio_sheet_of_file

    for path in (*options.paths, *(options.after_dashes or ())):
        print_bytes(ratio_sheet_of_file(path, options.house))
    return NOTHING
