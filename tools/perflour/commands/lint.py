"""`perflour lint`: check formulas, test bakes and house files."""

from __future__ import annotations

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_gate,
    describe_output,
    describe_run,
    paths_of,
    print_bytes,
    print_text,
    refuse_nothing,
    say,
    tell_overtaken,
)
from perflour.system.terminal import in_colour, wishes
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse
    from collections.abc import Collection

    from perflour.lint.run import Checked

EXAMPLE = "perflour lint formulas/caraway-cream-biscuit"
CODES = ("nothing found at the level of --fail-at or above it", "something found there")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    describe_output(command, "lint")
    command.add_argument(
        "--fail-at",
        choices=("error", "warning", "note"),
        default="warning",
        help="lowest level that makes the exit code 1",
    )
    command.add_argument(
        "--fix",
        action="store_true",
        help="mend first what has one right answer, write the files in the house format",
    )
    command.add_argument("--baseline", metavar="FILE", help="leave out the results recorded in it")
    command.add_argument(
        "--write-baseline", metavar="FILE", help="record the results there and exit 0"
    )
    describe_gate(command)
    describe_run(command, "check every file anew, whatever an earlier run found")


def run(options: argparse.Namespace) -> int:
    from perflour.lint.run import run_over

    if options.fix:
        _mend(options)
    lint = run_over(paths_of(options), options.jobs, not options.forget)
    form = _form_to_keep(options)
    if told := lint.told(form):
        print_bytes(told.report)
        return _code(options, told.levels)
    checked = lint.checked()
    if not (checked.files or checked.results or options.if_any):
        refuse_nothing(
            options, "formula, record or house file", lambda: _lint_report(options, checked)
        )
    if options.write_baseline or options.baseline:
        from pathlib import Path

        from perflour.lint.baseline import without_known, write_baseline
        from perflour.lint.run import Checked

        if options.write_baseline:
            write_baseline(Path(options.write_baseline), checked.results)
            return NOTHING
        new = without_known(Path(options.baseline), checked.results)
        checked = Checked(checked.files, new)
    if options.output == "sarif":
        from perflour.lint.places import places_of  # reads the files again

        checked = checked._replace(places=places_of(checked.results, paths_of(options)))
    report = _lint_report(options, checked)
    print_bytes(report)
    lint.keep_told(form, checked, report)
    return _code(options, {result.level for result in checked.results})


def _code(options: argparse.Namespace, levels: Collection[str]) -> int:
    """The exit code for results of some levels."""
    from perflour.result import LEVELS

    failing = LEVELS[: LEVELS.index(options.fail_at) + 1]
    return NOTHING if set(failing).isdisjoint(levels) else FOUND


def _form_to_keep(options: argparse.Namespace) -> str:
    """In which way the report is told, where the next run may tell it again; empty where it may not.

    Colours are for this terminal, and what is told beside, or on other grounds than the files, is no report of them.
    """
    other = options.fix or options.baseline or options.write_baseline or options.output == "sarif"
    if other or wishes().verbose or in_colour():
        return ""
    return f"{options.output}, without counts" if wishes().quiet else str(options.output)


def _mend(options: argparse.Namespace) -> None:
    """Mend the files and say what was mended: beside a report for machines on stderr."""
    from perflour.report.lint import mended_text
    from perflour.tidy.fixes import mend_files

    mended, overtaken = mend_files(paths_of(options), options.jobs)
    text = "".join(mended_text(one.file.shown, one.results) for one in mended)
    if options.output == "text":
        print_text(text)
    else:
        say(text)
    tell_overtaken(overtaken)


def _lint_report(options: argparse.Namespace, checked: Checked) -> bytes:
    from perflour.report.forms import rendered
    from perflour.system.files import STDIN

    if options.fix or STDIN in paths_of(options):
        return rendered("lint", options.output, checked, (), not wishes().quiet)
    from perflour.lint.rules.mendable import MENDABLE

    return rendered("lint", options.output, checked, MENDABLE, not wishes().quiet)
