"""A script that has a shell complete commands, options, files and the ids of rules."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from perflour.lint.rules.described import described_rules

SHELLS = ("bash", "zsh", "fish")
#: What an argument's name in the help says of what can be completed for it.
_FILES = frozenset(("FILE", "PATH", "FORMULA", "FORMULA[@REV]", "A|REV"))
_FOLDERS = frozenset(("FOLDER",))


def completion_script(shell: str, parser: argparse.ArgumentParser) -> str:
    """The script for bash, zsh or fish, made of a parser with every command in it.

    The parser is changed on the way: use it for nothing else.
    """
    import shtab  # only here, and off every other command's path

    for action in _actions(parser):
        if action.dest == "paths" or action.metavar in _FILES:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        elif action.metavar in _FOLDERS:
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
        elif action.dest == "rule":
            action.choices = [rule.id for rule in described_rules()]
    return str(shtab.complete(parser, shell))


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """Every argument of the parser and of the commands below it."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            for command in action.choices.values():
                yield from _actions(command)
        else:
            yield action
