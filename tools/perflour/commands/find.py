"""`perflour find`: formulas by ratio, food, class, status and words."""

from __future__ import annotations

import argparse

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_folders,
    describe_output,
    paths_of,
    request_of,
    say,
)
from perflour.result import CannotRun

EXAMPLE = "perflour find 'sugar > 60' --with egg --status approved"
CODES = (
    "every formula could be judged, found or not",
    "a file cannot be read, or the figure asked cannot be told of it; told on stderr",
)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "asked",
        nargs="*",
        metavar="CONDITION",
        help="'sugar > 60', 'hydration 65..75', 'butter >= sugar', each in quotes: > >= < <= LOW..HIGH between numbers, ratios, ingredients, and what bakes state",
    )
    for name, dest, told in (
        ("--with", "holding", "holds a food, a kind of food or what brings an allergen"),
        ("--without", "without", "holds none of it, nor anything that brings it"),
        ("--class", "of_class", "of this product class"),
        ("--words", "words", "has these words in title, notes, method or test bakes"),
    ):
        metavar = {"of_class": "CLASS", "words": "TEXT"}.get(dest, "FOOD")
        again = "of one of several if repeated" if dest == "of_class" else "may be repeated"
        command.add_argument(name, dest=dest, action="append", default=[], metavar=metavar, help=f"{told}; {again}")  # fmt: skip
    command.add_argument(
        "--status",
        action="append",
        default=[],
        choices=("draft", "testing", "approved", "retired", "reference"),
        help="of this status; of one of several if repeated",
    )
    describe_folders(command)
    describe_output(command, "find", of_file=True)
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.asking.conditions import HOW
    from perflour.asking.find import FindRequest, find
    from perflour.report.asking.find import not_told_text
    from perflour.report.forms import form_asked, rendered
    from perflour.report.lint import results_text
    from perflour.system.destination import write_report

    request = request_of(FindRequest, options)
    if request == FindRequest():
        raise CannotRun(f"nothing is asked; {HOW}; or ask with --with, --class, --status, --words")
    finding = find(paths_of(options), request)
    form = form_asked("find", options.output, options.write)
    write_report(options.write, rendered("find", form, finding), finding.paths)
    if finding.results:
        say(results_text(finding.results, finding.asked_of))
    say(not_told_text(finding))
    return NOTHING if finding.is_told_whole else FOUND
