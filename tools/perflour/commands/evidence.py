"""`perflour evidence`: one table of all that was baked and judged, with what it was made of."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, describe_output, paths_of, tell_results

EXAMPLE = "perflour evidence formulas/rye-ginger-cookie"
CODES = ("all that was recorded is in the table", "something could not be read and is left out")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files or folders (default: formulas/)")
    describe_output(command, "evidence", "csv and json hold every figure", of_file=True)
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def run(options: argparse.Namespace) -> int:
    from perflour.evidence.gather import gather
    from perflour.report.forms import form_asked, rendered
    from perflour.system.destination import write_report

    form = form_asked("evidence", options.output, options.write)
    found = gather(paths_of(options))
    tell_results(found.results, len(found.paths))
    write_report(options.write, rendered("evidence", form, found), found.paths)
    return FOUND if found.results or found.lost or any(s.unread for s in found.samples) else NOTHING
