"""`perflour show`: print the baker's table of formulas."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from perflour.commands.parts import describe_output, each_formula, say

if TYPE_CHECKING:
    from perflour.balance.balance import Balance
    from perflour.kitchen.house import Kitchen

EXAMPLE = "perflour show formulas/rye-ginger-cookie"
CODES = ("every formula is shown", "a file or its house has faults, told on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--per",
        choices=("part", "piece", "total", "everything"),
        default="part",
        help="by part, for one piece, the base and what stands beside it in all, or everything in one sum",
    )
    command.add_argument(
        "--wide", action="store_true", help="tables as wide as they come, however wide the terminal"
    )
    describe_output(command, "show", "recipe: ingredient list and method in words, for a reader")


def run(options: argparse.Namespace) -> int:
    from perflour.balance.allergens import allergens
    from perflour.lint.situations import cautions_that_hold
    from perflour.report.bakers_table import View
    from perflour.report.cautions import Held, cautions_in_short
    from perflour.report.forms import maker

    make = maker("show", options.output)

    held: list[Held] = []

    def render(balance: Balance, kitchen: Kitchen) -> str:
        view = View(options.per, options.wide, kitchen.house.scale_resolution_g)
        cautions = cautions_that_hold(balance, kitchen)
        held.append(Held(balance.formula.id, allergens(balance), cautions))
        return str(make(balance, view, cautions))

    code = each_formula(options, render)
    if options.output == "text" and held:
        say(cautions_in_short(held))
    return code
