"""What the commands share: the parser, the paths that are meant, printing, exit codes."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Iterable
from typing import TYPE_CHECKING, Any, NoReturn, TypeVar

from perflour.plain import printable, visible
from perflour.report.forms import forms_of

if TYPE_CHECKING:
    from perflour.balance.balance import Balance
    from perflour.kitchen.house import Kitchen

NOTHING, FOUND, COULD_NOT_RUN = 0, 1, 2
#: What 0 and 1 mean where a command's module does not say it in CODES of its own.
CODES: tuple[str, ...] = ("nothing found", "findings or differences")
#: What --output is, where there is nothing else to say of it.
FORM = "form of the report"
#: Forms that a program reads: it gets one also where nothing was checked.
FOR_PROGRAMS = ("json", "sarif")
Request = TypeVar("Request")


class Help(argparse.HelpFormatter):
    """The end of a help in its own lines, and defaults told where they say something."""

    def __init__(self, prog: str) -> None:
        # A width of its own: to ask for the terminal's would load shutil (docs/performance.md).
        super().__init__(prog, width=96)

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return text if "\n" in text else super()._fill_text(text, width, indent)

    def _get_help_string(self, action: argparse.Action) -> str:
        told, usual = action.help or "", action.default
        says = usual not in (None, "") and isinstance(usual, int | str) and usual is not False
        if not says or not action.option_strings or "default" in told or usual == argparse.SUPPRESS:
            return told
        return f"{told} (default: %(default)s)"


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are one line."""

    def __init__(self, **options: Any) -> None:
        super().__init__(formatter_class=Help, **options)

    def error(self, message: str) -> NoReturn:
        self.refuse(f"{message}; see {self.prog} --help")

    def refuse(self, message: str) -> NoReturn:
        """End the run with one line that says what to do already."""
        say(f"{self.prog}: {visible(message)}\n")
        raise SystemExit(COULD_NOT_RUN)

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """As argparse does, but what is not known is refused here: the parser of a command knows what is near."""
        args = sys.argv[1:] if args is None else args
        for word in args:
            if self._subparsers and word[:1] != "-":
                break  # what follows is the command's
            name = word.partition("=")[0]
            if word[:2] == "--" and " " not in word and not self._takes(name):
                self._refuse_option(name)
        options, left = super().parse_known_args(args, namespace)
        if left and left[0][:1] == "-":
            self._refuse_option(left[0])
        if left:
            self.error(f"'{left[0]}' is more than it takes")
        return options, left

    def _takes(self, name: str) -> bool:
        """Whether there is an option of that name, which may be cut short."""
        return any(option.startswith(name) for option in self._option_string_actions)

    def _refuse_option(self, name: str) -> NoReturn:
        from perflour.system.nearest import nearest

        known = [option[2:] for option in self._option_string_actions if option[:2] == "--"]
        near = nearest(name.lstrip("-"), known)
        if near:
            self.refuse(f"there is no option {name}; did you mean --{near}?")
        self.error(f"there is no option {name}")

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        if action.choices is None or value in action.choices:
            return
        from perflour.system.nearest import advice

        known = [str(choice) for choice in action.choices]
        is_command = isinstance(action, argparse._SubParsersAction)
        name = "/".join(action.option_strings) or action.metavar or action.dest
        what = f"there is no command '{value}'" if is_command else f"{name} cannot be '{value}'"
        otherwise = f"see {self.prog} --help" if is_command else f"write one of {', '.join(known)}"
        self.refuse(f"{what}; {advice(str(value), known, otherwise)}")


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
    sys.stdout.flush()
    sys.stdout.buffer.write(content)
    sys.stdout.buffer.flush()


def say(text: str) -> None:
    """Write text on stderr, as UTF-8 like what is printed; no sign in it acts but the end of a line."""
    sys.stderr.flush()
    sys.stderr.buffer.write(printable(text).encode())
    sys.stderr.buffer.flush()


def tell_overtaken(paths: list[str]) -> None:
    for path in paths:
        say(f"perflour: {visible(path)} was changed meanwhile and left alone; run again\n")


def each_formula(options: argparse.Namespace, render: Callable[[Balance, Kitchen], str]) -> int:
    """Print every formula that the paths name; what is wrong with files goes to stderr."""
    from perflour.balance.balance import Balance
    from perflour.balance.files import weigh_inputs
    from perflour.report.lint import results_text
    from perflour.result import Result
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
            say(results_text(news, 1))
            code = FOUND
        if isinstance(outcome, Balance):
            texts.append(render(outcome, kitchen))
    if not found:
        from perflour.system.named import no_formula_in

        raise no_formula_in(paths_of(options))
    several = options.output == "json" and len(texts) != 1
    print_text(f"[\n{','.join(texts)}]\n" if several else "\n".join(texts))
    return code
