"""`perflour contents`: water, fat, sugar, salt, energy, leavening balance, allergens."""

from __future__ import annotations

from typing import TYPE_CHECKING

from perflour.commands.parts import describe_output, each_formula

if TYPE_CHECKING:
    import argparse

    from perflour.balance.balance import Balance
    from perflour.kitchen.house import Kitchen

EXAMPLE = "perflour contents formulas/gluten-free-currant-loaf"
CODES = ("every formula is told", "a file or its house has faults, told on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    describe_output(command, "contents")


def run(options: argparse.Namespace) -> int:
    from perflour.balance.contents import contents
    from perflour.report.forms import maker

    make = maker("contents", options.output)
    said: set[str] = set()

    def render(balance: Balance, _: Kitchen) -> str:
        return str(make(contents(balance, with_spreads=True), said))

    return each_formula(options, render)
