"""The parser of options: argparse with errors of one line, and help that tells what is usual."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any, NoReturn

from perflour.commands.parts import COULD_NOT_RUN, EVERYWHERE, say
from perflour.plain import visible
from perflour.system.terminal import is_terminal, width

#: A line of help is no longer than this.
WIDEST_HELP = 96


class Help(argparse.HelpFormatter):
    """The end of a help in its own lines, and defaults told where they say something."""

    def __init__(self, prog: str) -> None:
        # The terminal's own width would be asked by way of shutil (docs/performance.md).
        super().__init__(prog, width=_help_width())

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        return text if "\n" in text else super()._fill_text(text, width, indent)

    def _get_help_string(self, action: argparse.Action) -> str:
        told, usual = action.help or "", action.default
        says = usual not in (None, "") and isinstance(usual, int | str) and usual is not False
        if not says or not action.option_strings or "default" in told or usual == argparse.SUPPRESS:
            return told
        return f"{told} (default: %(default)s)"


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are one line, with what every command takes."""

    def __init__(self, **options: Any) -> None:
        super().__init__(formatter_class=Help, **options)
        shown = self.add_argument_group("everywhere")
        for flags, told in EVERYWHERE:
            # without a default: what stands before the name of a command is not undone by its own parser
            shown.add_argument(*flags, default=argparse.SUPPRESS, **told)

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


class Overview(Parser):
    """The parser of all commands, whose help tells them by what one wants to do."""

    #: By what one wants to do, each command with what it is for.
    tasks: Mapping[str, Sequence[tuple[str, str]]] = MappingProxyType({})

    def format_help(self) -> str:
        told = self.formatter_class(prog=self.prog)
        told.add_usage(self.usage, self._actions, self._mutually_exclusive_groups)
        told.add_text(self.description)
        for task, commands in self.tasks.items():
            told.start_section(task)
            told.add_arguments(
                argparse.Action([], name, metavar=name, help=what) for name, what in commands
            )
            told.end_section()
        told.start_section("options")
        told.add_arguments(action for action in self._actions if action.option_strings)
        told.end_section()
        told.add_text(self.epilog)
        return told.format_help()


def _help_width() -> int:
    return WIDEST_HELP if not is_terminal(sys.stdout) else min(WIDEST_HELP, width())
