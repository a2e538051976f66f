"""`perflour draft`: a cookbook of the approved formulas: PDF, HTML."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, describe_output, paths_of, say
from perflour.plain import one_line


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    which = command.add_mutually_exclusive_group()
    which.add_argument("--all", action="store_true", help="the house's own formulas, of any status")
    which.add_argument(
        "--status",
        choices=("draft", "testing", "approved", "retired"),
        action="append",
        help="formulas of this status (default: approved); may be repeated",
    )
    command.add_argument(
        "--class",
        dest="classes",
        metavar="CLASS",
        action="append",
        help="only formulas of this product class; may be repeated",
    )
    command.add_argument("--title", default="", help="of the book (default: the house's name)")
    describe_output(command, "draft", of_file=True)
    command.add_argument("--paper", choices=("a4", "a5", "us-letter"), default="a4")
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.cookbook.book import Selection, draft
    from perflour.report.cookbook.output import unprintable
    from perflour.report.forms import BINARY, form_asked, rendered
    from perflour.report.lint import results_text
    from perflour.system.destination import refuse_in_terminal, write_report

    form = form_asked("draft", options.output, options.write)
    refuse_in_terminal(form, BINARY, options.write)
    statuses = None if options.all else frozenset(options.status or ("approved",))
    selection = Selection(statuses, frozenset(options.classes or ()))
    drafted = draft(paths_of(options), selection, options.title)
    if drafted.results:
        say(results_text(drafted.results, len(drafted.paths)))
    remarks = [*drafted.remarks, *unprintable(drafted.book, form)]
    say("".join(f"{one_line(remark)}\n" for remark in remarks))
    content = rendered("draft", form, drafted.book, options.paper)
    write_report(options.write, content, drafted.paths)
    return FOUND if drafted.results or remarks else NOTHING
