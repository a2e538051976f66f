"""`perflour show`: print the baker's table of formulas."""

from __future__ import annotations

from typing import TYPE_CHECKING

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_output,
    each_formula,
    paths_of,
    say,
    tell_results,
)
from perflour.result import CannotRun

if TYPE_CHECKING:
    import argparse

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
    command.add_argument(
        "--write",
        metavar="FILE.xlsx",
        help="write a workbook whose cells compute: change flour, batch or pieces, and all scales",
    )


def run(options: argparse.Namespace) -> int:
    from perflour.balance.allergens import allergens
    from perflour.lint.situations import cautions_that_hold
    from perflour.report.bakers_table import View
    from perflour.report.cautions import Held, cautions_in_short
    from perflour.report.forms import maker

    if options.write:
        return _write_workbook(options)
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


def _write_workbook(options: argparse.Namespace) -> int:
    """Every formula as a sheet; what is wrong with files goes to stderr."""
    from perflour.balance.balance import Balance
    from perflour.balance.files import weigh_inputs
    from perflour.report.forms import form_asked, rendered
    from perflour.system.destination import write_report
    from perflour.system.files import input_files

    form = form_asked("sheets", None, options.write)
    weighed = list(weigh_inputs(input_files(paths_of(options))))
    balances = [outcome for _, _, outcome in weighed if isinstance(outcome, Balance)]
    results = [result for _, kitchen, _ in weighed for result in kitchen.results]
    results += [r for _, _, outcome in weighed if not isinstance(outcome, Balance) for r in outcome]
    tell_results(list(dict.fromkeys(results)), len(weighed))
    if not balances:
        raise CannotRun(f"no formula to write in {', '.join(paths_of(options))}; name a formula file or its folder")  # fmt: skip
    sources = [source.path for source, _, _ in weighed]
    write_report(options.write, rendered("sheets", form, balances), sources)
    return FOUND if results else NOTHING
