"""`perflour show`: print the baker's table of formulas."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from perflour.commands.parts import each_formula

if TYPE_CHECKING:
    from perflour.balance.balance import Balance
    from perflour.kitchen.house import Kitchen


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--per",
        choices=("part", "piece", "total"),
        default="part",
        help="by part, for one piece, or the total formula",
    )
    command.add_argument(
        "--wide", action="store_true", help="cut nothing off, however wide the terminal"
    )
    command.add_argument(
        "--output",
        choices=("text", "json", "recipe"),
        default="text",
        help="recipe: ingredient list and method in words, for a reader",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.balance.sheet import sheet
    from perflour.report.recipe import recipe_of
    from perflour.report.sheets import View, sheet_json, sheet_text

    def render(balance: Balance, kitchen: Kitchen) -> str:
        if options.output == "json":
            return sheet_json(sheet(balance))
        if options.output == "recipe":
            return recipe_of(balance)
        view = View(options.per, options.wide, kitchen.house.scale_resolution_g)
        return sheet_text(sheet(balance), view)

    return each_formula(options, render)
