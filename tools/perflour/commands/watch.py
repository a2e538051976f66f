"""`perflour watch`: what each save of a formula did, told beside the editor."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from perflour.commands.parts import FOUND, NOTHING, paths_of, print_text

if TYPE_CHECKING:
    from perflour.asking.saved import Bench, Save

EXAMPLE = "perflour watch formulas --saves 1"
CODES = (
    "ended by Ctrl-C, or the last save left nothing",
    "with --saves: the last save left a warning or an error",
)
#: Between two looks: at least so long, and so many times as long as a look takes.
PAUSE_S, PAUSE_TIMES = 0.2, 10


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files or folders (default: formulas/)")
    command.add_argument(
        "--saves",
        type=_number,
        metavar="N",
        help="end after so many saves; without it Ctrl-C ends, and the exit code is 0",
    )


def _number(text: str) -> int:
    """A whole number from 1 on."""
    if not (text.isdecimal() and text.isascii() and int(text)):
        raise argparse.ArgumentTypeError(f"{text!r} is no number of saves; write one like 3")
    return int(text)


def run(options: argparse.Namespace) -> int:
    from perflour.asking.saved import bench
    from perflour.report.asking.saved import watching_text
    from perflour.result import CannotRun
    from perflour.system.files import STDIN
    from perflour.system.terminal import settle, wishes

    settle(wishes()._replace(pages=False))  # nobody leafs through what goes on by itself
    names = paths_of(options)
    if STDIN in names:
        raise CannotRun("standard input cannot be watched; name files or folders")
    try:
        known = bench(names)
        print_text(watching_text(known))
        return _watched(known, options.saves)
    except KeyboardInterrupt:  # how it usually ends
        print_text("\nended\n")
        return NOTHING


def _watched(known: Bench, saves: int | None) -> int:
    """Tell each save until there were so many; what lint said of the last."""
    import time

    from perflour.asking.saved import saved
    from perflour.report.asking.saved import saved_text

    told = 0
    while True:
        began = time.monotonic()
        moved = known.watch.look()
        took = time.monotonic() - began
        if moved:
            save = saved(known, moved)
            print_text(saved_text(save, time.strftime("%H:%M:%S")))
            told += 1
            if told == saves:
                return _code(save)
        time.sleep(max(PAUSE_S, PAUSE_TIMES * took))


def _code(save: Save) -> int:
    failing = ("error", "warning")
    return FOUND if any(result.level in failing for result in save.results) else NOTHING
