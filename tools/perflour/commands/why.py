"""`perflour why`: why formulas differ, as far as what was baked and judged can tell."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, describe_output, paths_of, tell_results

EXAMPLE = "perflour why formulas/rye-ginger-cookie"
CODES = ("told, from all that was recorded", "something could not be read and is left out")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="*", help="formulas of one product, or one of them (default: formulas/)"
    )
    command.add_argument(
        "--figure",
        action="append",
        default=[],
        metavar="NAME",
        help="only this figure, as `perflour evidence` calls it: asked beforehand, fewer looks find more",
    )
    command.add_argument(
        "--score", action="append", default=[], metavar="NAME", help="only this score or reading"
    )
    describe_output(command, "why", of_file=True)
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.evidence.why import Question, why_of
    from perflour.report.forms import form_asked, rendered
    from perflour.system.destination import write_report

    form = form_asked("why", options.output, options.write)
    told = why_of(paths_of(options), Question(tuple(options.figure), tuple(options.score)))
    found = told.evidence
    tell_results(found.results, len(found.paths))
    write_report(options.write, rendered("why", form, told), found.paths)
    return FOUND if found.results or found.lost else NOTHING
