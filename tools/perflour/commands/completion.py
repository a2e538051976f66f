"""`perflour completion`: a script that has your shell complete commands and options."""

from __future__ import annotations

import argparse

from perflour.commands.parts import NOTHING, print_text

SHELLS = ("bash", "zsh", "fish", "tcsh", "powershell")

EXAMPLE = "perflour completion bash"
CODES = ("the script is printed",)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "shell", choices=SHELLS, help="which shell; the script says at its top where it goes"
    )


def run(options: argparse.Namespace) -> int:
    from perflour.commands.completion_script import completion_script

    script = completion_script(options.shell, options.whole_parser())
    print_text(script.rstrip("\n") + "\n")
    return NOTHING
