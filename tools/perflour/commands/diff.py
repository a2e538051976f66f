"""`perflour diff`: compare in ratios: A B | [REV [REV]] [-- PATH...]."""

from __future__ import annotations

from typing import TYPE_CHECKING

from perflour.commands.parts import FOUND, NOTHING, describe_output, print_bytes, say
from perflour.plain import visible

if TYPE_CHECKING:
    import argparse

EXAMPLE = "perflour diff 'HEAD^{/^Record the first bakes}' 'HEAD^{/^Record the second round}'"
CODES = ("nothing changed", "something changed")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "words",
        nargs="*",
        metavar="A|REV",
        help="two formulas by id, file or folder, or up to two revisions; none: HEAD against the work tree; paths follow `--`",
    )
    describe_output(
        command, "diff", "subject: one line for each formula, fit for the subject of a commit"
    )


def run(options: argparse.Namespace) -> int:
    from perflour.diff.sides import differences, kitchen_files_that_differ
    from perflour.report.forms import rendered

    found = differences(options.words, options.after_dashes)
    print_bytes(rendered("diff", options.output, found))
    changed = kitchen_files_that_differ(options.words, options.after_dashes)
    for path in changed:
        say(
            f"{visible(path)} differs as well: both sides are weighed with the kitchen as it is now; "
            "`perflour review` says what that moves\n"
        )
    return FOUND if found or changed else NOTHING
