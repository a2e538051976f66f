"""`perflour contents`: water, fat, sugar, salt, energy, leavening balance, allergens."""

from __future__ import annotations

import argparse

from perflour.commands.parts import each_formula


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument("--output", choices=("text", "json"), default="text")


def run(options: argparse.Namespace) -> int:
    from perflour.balance.contents import contents
    from perflour.report.contents import contents_json, contents_text

    report = contents_json if options.output == "json" else contents_text
    return each_formula(options, lambda balance, _: report(contents(balance, with_spreads=True)))
