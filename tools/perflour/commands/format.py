"""`perflour format`: write files in the house format."""

from __future__ import annotations

import argparse

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    paths_of,
    print_text,
    tell_overtaken,
    tell_results,
)
from perflour.plain import visible


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files or folders (default: formulas/)")
    command.add_argument(
        "--check", action="store_true", help="change nothing, name what would change"
    )
    command.add_argument(
        "--diff", action="store_true", help="change nothing, show what would change"
    )


def run(options: argparse.Namespace) -> int:
    from perflour.tidy.house_format import format_files, write_formatted

    changed, problems = format_files(paths_of(options))
    overtaken = [] if options.check or options.diff else write_formatted(changed)
    done = [file for file in changed if file.shown not in overtaken]
    print_text(
        "".join(file.diff() if options.diff else f"{visible(file.shown)}\n" for file in done)
    )
    tell_overtaken(overtaken)
    tell_results(problems, len(problems))
    return FOUND if changed or problems else NOTHING
