"""`perflour site`: the whole kitchen as a folder of pages that opens without a server."""

from __future__ import annotations

import argparse
from pathlib import Path

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_folders,
    describe_run,
    paths_of,
    print_text,
    say,
)
from perflour.plain import one_line, visible

EXAMPLE = "perflour site kitchen-pages --paths formulas/rye-ginger-cookie"
CODES = ("every page is made", "a page or a record could not be made or read")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("folder", metavar="FOLDER", help="where the pages go: empty, or written by `perflour site`")  # fmt: skip
    describe_folders(command)
    command.add_argument(
        "--review",
        action="append",
        metavar="BASE..HEAD",
        help="a page of this review; may be repeated (default: every branch with commits that HEAD lacks)",
    )
    describe_run(command, "make every page anew, whatever an earlier run left")


def run(options: argparse.Namespace) -> int:
    from perflour.report.site.pages import MAKERS
    from perflour.site.build import build

    folder = Path(options.folder)
    reviews = tuple(options.review) if options.review else None
    built = build(
        paths_of(options, may_be_gone=True),
        folder,
        MAKERS,
        reviews,
        options.jobs,
        not options.forget,
    )
    say("".join(f"{one_line(problem)}\n" for problem in built.problems))
    start = visible(str(folder / "index.html"))
    gone = f", {len(built.gone)} taken away" if built.gone else ""
    print_text(f"{built.pages:,} pages, {len(built.written):,} written{gone}: {start}\n")
    return FOUND if built.problems else NOTHING
