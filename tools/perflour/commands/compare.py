"""`perflour compare`: many formulas of one product side by side, in percent of flour."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, describe_output, paths_of, tell_results

EXAMPLE = "perflour compare formulas --by group"
CODES = ("compared", "a file or its house has faults, told on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--by",
        choices=("ingredient", "group"),
        default="ingredient",
        help="every ingredient, or only the sums by kind of ingredient",
    )
    command.add_argument(
        "--to", metavar="FORMULA", help="say what would turn the first formula into this one"
    )
    describe_output(command, "compare", "svg and png are a chart of the ratios", of_file=True)
    command.add_argument("--wide", action="store_true", help="one table, however wide the terminal")
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.compare.collect import collect
    from perflour.compare.table import side_by_side
    from perflour.report.forms import BINARY, form_asked, rendered
    from perflour.system.destination import refuse_in_terminal, write_report
    from perflour.system.named import path_named

    form = form_asked("compare", options.output, options.write)
    refuse_in_terminal(form, BINARY, options.write)
    collected = collect(paths_of(options), options.to and path_named(options.to))
    tell_results(collected.results, len(collected.paths))
    content = rendered("compare", form, side_by_side(collected), options.by, options.wide)
    write_report(options.write, content, collected.paths)
    return FOUND if collected.results else NOTHING
