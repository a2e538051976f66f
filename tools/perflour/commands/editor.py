"""`perflour editor`: speak to an editor over its standard streams while formulas are typed."""

from __future__ import annotations

import argparse

from perflour.commands.parts import NOTHING, print_text

EXAMPLE = "perflour editor --settings helix"
CODES = ("the editor has ended the session, or its settings are printed",)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--settings",
        choices=("helix", "neovim"),
        help="print what makes this editor start the server, as `new kitchen` writes it, and do no more",
    )
    command.add_argument(
        "--stdio",
        action="store_true",
        help="speak over standard input and output, as it does anyway: some editors say so",
    )


def run(options: argparse.Namespace) -> int:
    if options.settings:
        from perflour.setup.kitchen import editor_settings

        print_text(editor_settings(options.settings))
        return NOTHING
    from perflour.editor.server import serve

    serve()
    return NOTHING
