"""`perflour review`: one report on a branch for those who decide on it: BASE..HEAD."""

from __future__ import annotations

import argparse

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_folders,
    describe_output,
    paths_of,
    print_bytes,
)
from perflour.release.reasons import REASONS, USUAL_POLICY


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "span",
        metavar="BASE..HEAD",
        help="a branch and what it is to be merged into, like main..HEAD",
    )
    describe_folders(command)
    describe_output(command, "review")
    command.add_argument(
        "--stop-at",
        nargs="*",
        choices=REASONS,
        default=USUAL_POLICY,
        metavar="REASON",
        help=f"what makes the exit code 1, of {', '.join(REASONS)} (default: {' '.join(USUAL_POLICY)}; none: report only)",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.release.review import review
    from perflour.report.forms import rendered

    found = review(options.span, paths_of(options))
    print_bytes(rendered("review", options.output, found, options.stop_at))
    return FOUND if found.stopped_by(options.stop_at) else NOTHING
