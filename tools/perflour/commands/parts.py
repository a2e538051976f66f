"""What the commands share: the parser, the paths that are meant, printing, exit codes."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from perflour.plain import printable, visible
from perflour.report.forms import forms_of
from perflour.result import CannotRun
from perflour.system.terminal import Wishes, is_terminal, put_beside, put_out, width, wishes

if TYPE_CHECKING:
    from perflour.balance.balance import Balance
    from perflour.kitchen.house import Kitchen
    from perflour.result import Result

NOTHING, FOUND, COULD_NOT_RUN = 0, 1, 2
Request = TypeVar("Request")


#: A line of help is no longer than this.
WIDEST_HELP = 96
#: What every command takes, before its name or after: the flags, then what argparse is told of each.
EVERYWHERE: tuple[tuple[tuple[str, ...], dict[str, Any]], ...] = (
    (("--color",), {"choices": ("auto", "always", "never"), "help": "colours (default: auto, on a terminal)"}),
    (("--no-pager",), {"action": "store_true", "help": "print a long report at once, not by pages"}),
    (("-q", "--quiet"), {"action": "store_true", "help": "only what must be known: no counts, bars and remarks"}),
    (("-v", "--verbose"), {"action": "store_true", "help": "say on stderr what is read and used, and how long it takes"}),
)  # fmt: skip


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are one line, with what every command takes."""

    def __init__(self, **options: Any) -> None:
        super().__init__(
            # The terminal's own width would be asked by way of shutil (docs/performance.md).
            formatter_class=lambda prog: argparse.HelpFormatter(prog, width=_help_width()),
            **options,
        )
        shown = self.add_argument_group("everywhere")
        for flags, told in EVERYWHERE:
            # without a default: what stands before the name of a command is not undone by its own parser
            shown.add_argument(*flags, default=argparse.SUPPRESS, **told)

    def error(self, message: str) -> NoReturn:
        say(f"{self.prog}: {visible(message)}; see {self.prog} --help\n")
        raise SystemExit(COULD_NOT_RUN)


def _help_width() -> int:
    return WIDEST_HELP if not is_terminal(sys.stdout) else min(WIDEST_HELP, width())


def wishes_of(options: argparse.Namespace) -> Wishes:
    """How things are to be shown, of the options that every command takes."""
    return Wishes(
        color=getattr(options, "color", "auto"),
        pages=not getattr(options, "no_pager", False),
        quiet=getattr(options, "quiet", False),
        verbose=getattr(options, "verbose", False),
    )


def describe_folders(command: argparse.ArgumentParser) -> None:
    """Where the formulas are, for a command whose first word is something else."""
    command.add_argument(
        "--paths",
        nargs="+",
        default=[],
        metavar="PATH",
        help="folders with the formulas (default: formulas/)",
    )


def describe_output(
    command: argparse.ArgumentParser, subject: str, told: str = "", of_file: bool = False
) -> None:
    """The forms of a report; ``of_file`` where the ending of --write may say which."""
    forms = forms_of(subject)
    if of_file:
        told = "; ".join(filter(None, (told, f"default: as --write ends, else {forms[0]}")))
    usual = None if of_file else forms[0]
    command.add_argument("--output", choices=forms, default=usual, help=told or None)


def describe_run(command: argparse.ArgumentParser, forget: str) -> None:
    """What every command takes that may run long."""
    command.add_argument(
        "--jobs",
        type=count_of,
        default=0,
        metavar="N",
        help="cores to use in a long run (default: all)",
    )
    command.add_argument("--forget", action="store_true", help=forget)


def count_of(text: str) -> int:
    """A whole number from 1 to 256."""
    if not text.isdigit() or not 1 <= int(text) <= 256:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of cores; write one like 2")
    return int(text)


def request_of(of: type[Request], options: argparse.Namespace) -> Request:
    """A request of the core from the options of the same names; what is not said stays as it is there."""
    from dataclasses import fields  # kept off the path of lint

    names = (f.name for f in fields(of))  # type: ignore[arg-type]
    said = {name: value for name in names if (value := getattr(options, name, None)) is not None}
    return of(**{name: tuple(v) if isinstance(v, list) else v for name, v in said.items()})


def option_name(name: str) -> str:
    """How the field of a request is called on the command line."""
    return f"--{name.replace('_', '-')}"


def paths_of(options: argparse.Namespace) -> list[str]:
    from perflour.system.files import default_names

    return [*options.paths, *(options.after_dashes or ())] or default_names()


def print_text(text: str) -> None:
    """Write text as UTF-8 whatever the terminal's locale; no sign in it acts but the end of a line."""
    print_bytes(printable(text).encode())


def print_made(text: str) -> None:
    """Write a report as it was made, safe for what it is: a page holds signs that a terminal escapes."""
    print_bytes(text.encode())


def print_bytes(content: bytes) -> None:
    """Write what is safe already: a rendered report."""
    put_out(content)


def say(text: str) -> None:
    """Write what must be known on stderr; no sign in it acts but the end of a line."""
    put_beside(printable(text))


def remark(text: str) -> None:
    """Write on stderr what is good to know, unless only what must be known is wanted."""
    if not wishes().quiet:
        say(text)


def tell_results(results: Sequence[Result], files: int | None = None) -> None:
    """What is wrong with files, on stderr; where nothing is, nothing."""
    if results:
        from perflour.report.lint import results_text

        number = _files_of(results) if files is None else files
        say(results_text(results, number, with_counts=not wishes().quiet))


def tell_lines(results: Sequence[Result]) -> None:
    """The same of records, without the counts by rule."""
    if results:
        from perflour.report.lint import results_lines

        say(results_lines(results, _files_of(results), not wishes().quiet))


def _files_of(results: Sequence[Result]) -> int:
    return len({result.place.path for result in results})


def tell_overtaken(paths: list[str]) -> None:
    for path in paths:
        say(f"perflour: {visible(path)} was changed meanwhile and left alone; run again\n")


def each_formula(options: argparse.Namespace, render: Callable[[Balance, Kitchen], str]) -> int:
    """Print every formula that the paths name; what is wrong with files goes to stderr."""
    from perflour.balance.balance import Balance
    from perflour.balance.files import weigh_inputs
    from perflour.system.files import input_files

    code, texts = NOTHING, []
    told: set[Result] = set()
    found = False
    for _, kitchen, outcome in weigh_inputs(input_files(paths_of(options))):
        found = True
        news = [result for result in kitchen.results if result not in told]
        news += () if isinstance(outcome, Balance) else outcome
        if news:
            told.update(news)
            tell_results(news, 1)
            code = FOUND
        if isinstance(outcome, Balance):
            texts.append(render(outcome, kitchen))
    if not found:
        raise CannotRun(
            f"no formula in {', '.join(paths_of(options))}; name a formula file or its folder"
        )
    several = options.output == "json" and len(texts) != 1
    print_text(f"[\n{','.join(texts)}]\n" if several else "\n".join(texts))
    return code
