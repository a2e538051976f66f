"""`perflour git-merge`: merge three formula files (git calls it)."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, say
from perflour.plain import visible
from perflour.result import CannotRun


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="*", metavar="FILE", help="BASE OURS THEIRS and the path in the tree"
    )
    command.add_argument("--marker-size", type=int, default=7, metavar="N")


def run(options: argparse.Namespace) -> int:
    from perflour.merge.driver import merge_files

    *files, path = (*options.paths, *(options.after_dashes or ())) or ("",)
    if len(files) != 3:
        raise CannotRun("git-merge takes BASE OURS THEIRS and a path; git calls it")
    outcome = merge_files(files, path, options.marker_size)
    for line in outcome.told:
        say(f"perflour: {visible(line)}\n")
    return FOUND if outcome.has_conflicts else NOTHING
