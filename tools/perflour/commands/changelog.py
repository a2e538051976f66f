"""`perflour changelog`: iterations from git history with their test bakes."""

from __future__ import annotations

from collections.abc import Sequence

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_gate,
    describe_output,
    describe_run,
    paths_of,
    print_made,
    refuse_nothing,
)
from perflour.plain import printable, visible
from perflour.result import CannotRun
from perflour.system.paths import TRIALS, display_path
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

    from perflour.history.changelog_files import Told

EXAMPLE = "perflour changelog formulas/rye-ginger-cookie"
CODES = (
    "told; with --check: every file is up to date",
    "a record cannot be read; with --check: a file is behind",
)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="*", help="formulas, their test bakes, or folders (default: formulas/)"
    )
    describe_output(command, "changelog")
    command.add_argument(
        "--by",
        choices=("formula", "commit"),
        default="formula",
        help="the iterations of each formula, or what each commit did to all of them",
    )
    file = command.add_mutually_exclusive_group()
    file.add_argument(
        "--write", action="store_true", help="write CHANGELOG.md into each formula's folder"
    )
    file.add_argument(
        "--check",
        action="store_true",
        help="change nothing, name each CHANGELOG.md that is behind the commits and test bakes",
    )
    describe_gate(command)
    describe_run(command, "work every changelog out anew, whatever an earlier run left")


def run(options: argparse.Namespace) -> int:
    from perflour.system.named import hold_any

    text, found = _told(options, paths_of(options))
    print_made(text)
    if not (found or options.if_any or hold_any(paths_of(options), ("formula",))):
        refuse_nothing(options, "formula")
    return FOUND if found else NOTHING


def _told(options: argparse.Namespace, paths: Sequence[str]) -> tuple[str, bool]:
    """Print, write or check changelogs; what is behind is told with --check. Raises CannotRun."""
    from perflour.history import changelog_files as files
    from perflour.report.forms import maker

    if options.by == "commit" and not (options.write or options.check):
        return _by_commit(options, paths)
    form = "markdown" if options.write or options.check else options.output
    remember = not options.forget
    committed = form == "markdown"
    found = files.told(paths, form, maker("changelog", form), committed, options.jobs, remember)
    not_read = any(told.problems or told.trial_problems for told in found)
    if options.write:
        text = "".join(f"{visible(str(path))}\n" for path in files.write_changelogs(found))
        return printable(text + _not_read(found)), not_read
    if options.check:
        from perflour.report.history.changelogs import stale_text

        stale = files.stale_changelogs(found)
        return printable(stale_text(stale) + _not_read(found)), bool(stale) or not_read
    together = maker("changelogs together", form)
    return str(together([changelog.text for changelog in found])), not_read


def _not_read(found: Sequence[Told]) -> str:
    """A line for each formula with test bakes, or with trials, that its changelog cannot tell."""
    import shlex  # a test bake or a trial cannot be read

    lines = []
    for told in found if any(told.problems or told.trial_problems for told in found) else ():
        shown = visible(display_path(str(told.path)))
        if told.problems:
            lines.append(f"{shown}: {told.problems} of its test bakes cannot be read; run perflour lint on its folder\n")  # fmt: skip
        if told.trial_problems:
            beside = visible(shlex.quote(display_path(str(told.path.parent.parent / TRIALS))))
            lines.append(f"{shown}: {told.trial_problems} of the records of its trials cannot be read; run perflour lint {beside}\n")  # fmt: skip
    return "".join(lines)


def _by_commit(options: argparse.Namespace, paths: Sequence[str]) -> tuple[str, bool]:
    from perflour.history.changelog import by_commit
    from perflour.report.forms import forms_of, maker

    subject = "changelog by commit"
    if options.output not in forms_of(subject):
        raise CannotRun("HTML is by formula; leave --by commit out, or ask for another --output")
    committed = options.output == "markdown"
    found = by_commit(paths, committed, options.jobs, not options.forget)
    return str(maker(subject, options.output)(found)), bool(found.unread)
