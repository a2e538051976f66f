"""`perflour format`: write files in the house format."""

from __future__ import annotations

from typing import TYPE_CHECKING

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_gate,
    paths_of,
    print_text,
    refuse_nothing,
    tell_overtaken,
    tell_results,
)
from perflour.plain import visible

if TYPE_CHECKING:
    import argparse

EXAMPLE = "perflour format --diff tests/published/measure/cacfp-baking-powder-biscuits"
CODES = ("every file is in the house format", "files were changed, would be, or cannot be read")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files or folders (default: formulas/)")
    command.add_argument(
        "--check", action="store_true", help="change nothing, name what would change"
    )
    command.add_argument(
        "--diff", action="store_true", help="change nothing, show what would change"
    )
    describe_gate(command)


def run(options: argparse.Namespace) -> int:
    from perflour.system.named import hold_any
    from perflour.tidy.house_format import format_files, write_formatted

    if not (options.if_any or hold_any(paths_of(options), ("formula",))):
        refuse_nothing(options, "formula")
    changed, problems = format_files(paths_of(options))
    overtaken = [] if options.check or options.diff else write_formatted(changed)
    done = [file for file in changed if file.shown not in overtaken]
    print_text(
        "".join(file.diff() if options.diff else f"{visible(file.shown)}\n" for file in done)
    )
    tell_overtaken(overtaken)
    tell_results(problems, len(problems))
    return FOUND if changed or problems else NOTHING
