"""What the commands share: the parser, the paths that are meant, printing, exit codes."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable, Sequence

from perflour.plain import printable, visible
from perflour.report.forms import forms_of
from perflour.system.terminal import Wishes, put_beside, put_out, wishes
from perflour.typed import TYPE_CHECKING, Any, NoReturn, TypeVar

if TYPE_CHECKING:
    import argparse

    from perflour.balance.balance import Balance
    from perflour.kitchen.house import Kitchen
    from perflour.result import Result

NOTHING, FOUND, COULD_NOT_RUN = 0, 1, 2
#: What 0 and 1 mean where a command's module does not say it in CODES of its own.
CODES: tuple[str, ...] = ("nothing found", "findings or differences")
#: What --output is, where there is nothing else to say of it.
FORM = "form of the report"
#: Forms that a program reads: it gets one also where nothing was checked.
FOR_PROGRAMS = ("json", "sarif")
Request = TypeVar("Request")


#: What every command takes, before its name or after: the flags, then what argparse is told of each.
EVERYWHERE: tuple[tuple[tuple[str, ...], dict[str, Any]], ...] = (
    (("--color",), {"choices": ("auto", "always", "never"), "help": "colours (default: auto, on a terminal)"}),
    (("--no-pager",), {"action": "store_true", "help": "print a long report at once, not by pages"}),
    (("-q", "--quiet"), {"action": "store_true", "help": "only what must be known: no counts, bars and remarks"}),
    (("-v", "--verbose"), {"action": "store_true", "help": "say on stderr what is read and used, and how long it takes"}),
)  # fmt: skip


def ending(example: str, codes: tuple[str, ...] = CODES) -> str:
    """The end of a command's help: an example, and what its exit codes mean."""
    numbered = [*enumerate(codes), (COULD_NOT_RUN, "could not run; why is said on stderr")]
    lines = [f"  {line}" for line in example.splitlines()]
    lines += ["", "exit codes:", *(f"  {code}  {what}" for code, what in numbered)]
    return "\n".join(("example:", *lines))


def describe_words(
    command: argparse.ArgumentParser,
    words: Iterable[
        tuple[str, Callable[[argparse.ArgumentParser], None], str, str, tuple[str, ...]]
    ],
) -> None:
    """The words behind a command: each with what describes it, what it is for, an example, its exit codes."""
    found = command.add_subparsers(
        prog=command.prog, dest="what", metavar="WHAT", required=True, parser_class=type(command)
    )
    for name, describe, help_text, example, codes in words:
        describe(
            found.add_parser(
                name, help=help_text, description=sentence(help_text), epilog=ending(example, codes)
            )
        )


def sentence(help_text: str) -> str:
    """What a command is for, from its line in a list of commands."""
    return f"{help_text[:1].upper()}{help_text[1:]}."


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
        told = f"{told or FORM}; default: as --write ends, {forms[0]} without it"
    usual = None if of_file else forms[0]
    command.add_argument("--output", choices=forms, default=usual, help=told or FORM)


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


def describe_gate(command: argparse.ArgumentParser) -> None:
    """What every gate takes: one with nothing before it does not pass by accident."""
    command.add_argument(
        "--if-any", action="store_true", help="pass where there is nothing to check, too"
    )


def refuse_nothing(
    options: argparse.Namespace, what: str, report: Callable[[], bytes] = bytes
) -> NoReturn:
    """Raises CannotRun: a gate had nothing to judge. A program gets its report all the same."""
    from perflour.system.named import nothing_checked

    if getattr(options, "output", "") in FOR_PROGRAMS:
        print_bytes(report())
    raise nothing_checked(options.paths, what)


def count_of(text: str) -> int:
    """A whole number from 1 to 256."""
    if not text.isdigit() or not 1 <= int(text) <= 256:
        import argparse  # loaded where it reads the words: docs/performance.md

        raise argparse.ArgumentTypeError(f"{text!r} is no number of cores; write one like 2")
    return int(text)


def request_of(of: type[Request], options: argparse.Namespace) -> Request:
    """A request of the core from the options of the same names; what is not said stays as it is there."""
    names = getattr(of, "_fields", ())
    if not names:
        from dataclasses import fields  # kept off the path of lint

        names = tuple(f.name for f in fields(of))  # type: ignore[arg-type]
    said = {name: value for name in names if (value := getattr(options, name, None)) is not None}
    return of(**{name: tuple(v) if isinstance(v, list) else v for name, v in said.items()})


def option_name(name: str) -> str:
    """How the field of a request is called on the command line."""
    return f"--{name.replace('_', '-')}"


def paths_of(options: argparse.Namespace, may_be_gone: bool = False) -> list[str]:
    """The paths that are meant, those of ids too; without any the formulas of the kitchen, here or above.

    With ``may_be_gone`` a path may be in a commit alone. Raises CannotRun for a word that names nothing.
    """
    said = [*options.paths, *(options.after_dashes or ())]
    options.paths = [_path_of(word, may_be_gone) for word in said] if said else _usual_paths()
    options.after_dashes = None
    return list(options.paths)


def _path_of(word: str, may_be_gone: bool) -> str:
    if os.path.exists(word):  # most are, and need no search
        return word
    from perflour.system.named import folder_of, path_named

    return (folder_of(word) or word) if may_be_gone else path_named(word)


def _usual_paths() -> list[str]:
    from perflour.system.files import default_names

    names = default_names()
    if names[0].startswith(os.pardir):
        say(
            f"perflour: {visible(names[0])} is read, the formulas of the kitchen above this folder\n"
        )
    return names


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
        from perflour.system.named import no_formula_in

        raise no_formula_in(paths_of(options))
    several = options.output == "json" and len(texts) != 1
    print_text(f"[\n{','.join(texts)}]\n" if several else "\n".join(texts))
    return code
