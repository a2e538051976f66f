"""`perflour draft`: a cookbook of the approved formulas: PDF, HTML, EPUB."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from perflour.commands.parts import FOUND, NOTHING, describe_output, paths_of, say, tell_results
from perflour.plain import one_line

if TYPE_CHECKING:
    from perflour.cookbook.book_file import BookFile

EXAMPLE = "perflour draft --write cookbook.pdf"
CODES = ("the book is made", "it is made, with remarks on stderr")


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
    command.add_argument(
        "--title",
        default="",
        metavar="TEXT",
        help="of the book (default: as book.yaml, else the house's name)",
    )
    describe_output(command, "draft", of_file=True)
    command.add_argument(
        "--paper",
        choices=("a4", "a5", "us-letter"),
        help="of the PDF (default: as book.yaml, else a4)",
    )
    command.add_argument(
        "--amounts",
        choices=("both", "grams", "household"),
        help="what stands beside the names (default: as book.yaml, else both)",
    )
    command.add_argument(
        "--language",
        choices=("en", "de"),
        help="of the book: English or German (default: as book.yaml, else en)",
    )
    command.add_argument(
        "--story",
        action="store_true",
        help="tell of every formula how it came about, from git history",
    )
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.cookbook.book import Selection, draft
    from perflour.report.cookbook.output import unprintable
    from perflour.report.cookbook.printed.book import printed_book
    from perflour.report.cookbook.printed.story import stories
    from perflour.report.forms import BINARY, form_asked, rendered
    from perflour.system.destination import refuse_in_terminal, write_report

    form = form_asked("draft", options.output, options.write)
    refuse_in_terminal(form, BINARY, options.write)
    statuses = None if options.all else frozenset(options.status or ("approved",))
    selection = Selection(statuses, frozenset(options.classes or ()))
    drafted = draft(
        paths_of(options), selection, options.title, lambda s: _settled(s, options), stories
    )
    book = drafted.book
    if form == "epub":
        from perflour.cookbook.dated import dated

        book = dated(book, drafted.paths)
    tell_results(drafted.results, len(drafted.paths))
    printed = printed_book(book) if form == "pdf" else None
    remarks = [*drafted.remarks, *(unprintable(printed) if printed else ())]
    say("".join(f"{one_line(remark)}\n" for remark in remarks))
    write_report(options.write, rendered("draft", form, printed or book), drafted.paths)
    return FOUND if drafted.results or remarks else NOTHING


def _settled(settled: BookFile, options: argparse.Namespace) -> BookFile:
    """What book.yaml says, as the command line changes it."""
    asked = {
        "paper": options.paper,
        "amounts": options.amounts,
        "language": options.language,
        "story": options.story,
    }
    return settled._replace(**{name: value for name, value in asked.items() if value})
