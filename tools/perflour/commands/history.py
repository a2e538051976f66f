"""`perflour history`: how an ingredient, a ratio or a setting moved through the iterations of a formula."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, describe_output

EXAMPLE = "perflour history formulas/oat-date-loaf sugar 'soak for'"
CODES = (
    "told at every iteration",
    "an iteration or a test bake cannot be read, or the figure is not known there",
)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("formula", metavar="FORMULA", help="a formula file or its folder")
    command.add_argument(
        "what",
        nargs="*",
        metavar="WHAT",
        help="ingredients, ratios, settings of steps (`bake at`, `soak for`); none: the ratios that moved most",
    )
    describe_output(command, "history", "svg and png are a chart", of_file=True)
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.asking.through_time import story
    from perflour.report.forms import BINARY, form_asked, rendered
    from perflour.system.destination import refuse_in_terminal, write_report
    from perflour.system.named import formula_file

    form = form_asked("history", options.output, options.write)
    refuse_in_terminal(form, BINARY, options.write)
    file = formula_file(options.formula)
    told = story(file, options.what)
    write_report(options.write, rendered("history", form, told), [str(file)])
    return NOTHING if told.is_told_whole else FOUND
