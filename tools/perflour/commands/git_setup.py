"""`perflour git-setup`: have git show formulas in ratios and merge them by line and step."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, print_text

EXAMPLE = "perflour git-setup"
CODES = ("set up, or undone", "with --check: something is not set up")


def describe(command: argparse.ArgumentParser) -> None:
    what = command.add_mutually_exclusive_group()
    what.add_argument("--undo", action="store_true", help="remove what was set up")
    what.add_argument(
        "--check", action="store_true", help="change nothing, say what is not set up as it would be"
    )
    command.add_argument(
        "--house", metavar="FOLDER", help="the house file to weigh with, where there are several"
    )


def run(options: argparse.Namespace) -> int:
    from pathlib import Path

    from perflour.setup.git import missing, set_up, setup_for, shown, undo
    from perflour.system.paths import HOUSE_FILE

    setup = setup_for(Path(), options.house)
    if options.check:
        lacking = missing(setup)
        print_text(shown(lacking or ["set up"]))
        return FOUND if lacking else NOTHING
    lines = undo(setup) if options.undo else set_up(setup)
    if not setup.house and lines[-1].endswith(f"no {HOUSE_FILE}"):
        lines[-1] += "; name one by --house"
    print_text(shown(lines))
    return NOTHING
