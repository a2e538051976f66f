"""`perflour git-merge`: merge three formula files (git calls it)."""

from __future__ import annotations

from typing import TYPE_CHECKING

from perflour.commands.parts import FOUND, NOTHING, say
from perflour.plain import visible
from perflour.result import CannotRun

if TYPE_CHECKING:
    import argparse

EXAMPLE = (
    "perflour git-merge base.yaml ours.yaml theirs.yaml formulas/rye-ginger-cookie/formula.yaml"
)
CODES = ("merged into OURS", "merged but for conflicts, which are marked in OURS")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="*", metavar="FILE", help="BASE OURS THEIRS and the path in the tree"
    )
    command.add_argument(
        "--marker-size",
        type=int,
        default=7,
        metavar="N",
        help="how many signs a mark of a conflict has",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.merge.driver import merge_files

    *files, path = (*options.paths, *(options.after_dashes or ())) or ("",)
    if len(files) != 3:
        raise CannotRun("git-merge takes BASE OURS THEIRS and a path; git calls it")
    outcome = merge_files(files, path, options.marker_size)
    for line in outcome.told:
        say(f"perflour: {visible(line)}\n")
    return FOUND if outcome.has_conflicts else NOTHING
