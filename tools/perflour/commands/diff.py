"""`perflour diff`: compare in ratios: A B | [REV [REV]] [-- PATH...]."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, print_text


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "words",
        nargs="*",
        metavar="A|REV",
        help="two files, or up to two revisions; none: HEAD against the work tree; paths follow `--`",
    )
    command.add_argument(
        "--output",
        choices=("text", "json", "markdown", "subject"),
        default="text",
        help="subject: one line for each formula, fit for the subject of a commit",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.diff.sides import differences
    from perflour.report.diff.summary import subjects_text
    from perflour.report.diff.text import differences_json, differences_markdown, differences_text

    found = differences(options.words, options.after_dashes)
    report = {
        "text": differences_text,
        "json": differences_json,
        "markdown": differences_markdown,
        "subject": subjects_text,
    }
    print_text(report[options.output](found))
    return FOUND if found else NOTHING
