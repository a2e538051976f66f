"""A script that has a shell complete commands, options, files and the ids of rules."""

from __future__ import annotations

import argparse

from perflour.commands.powershell import powershell_script
from perflour.commands.words import typed
from perflour.lint.rules.described import described_rules

#: What an argument's name in the help says of what can be completed for it.
_FILES = frozenset(("FILE", "PATH", "FORMULA", "FORMULA[@REV]", "A|REV"))
_FOLDERS = frozenset(("FOLDER",))


def completion_script(shell: str, parser: argparse.ArgumentParser) -> str:
    """The script for bash, zsh, fish, tcsh or PowerShell, made of a parser with every command in it.

    The parser is changed on the way: use it for nothing else.
    """
    import shtab  # only here, and off every other command's path

    actions = [action for _, command in typed(parser) for action in command._actions]
    for action in actions:
        if action.dest == "paths" or action.metavar in _FILES:
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        elif action.metavar in _FOLDERS:
            action.complete = shtab.DIRECTORY  # type: ignore[attr-defined]
        elif action.dest == "rule":
            action.choices = [rule.id for rule in described_rules()]
    if shell == "powershell":
        return powershell_script(parser)
    return str(shtab.complete(parser, shell))
