"""`perflour release`: release log between two tags: FROM..TO | prepare VERSION."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_folders,
    describe_output,
    paths_of,
    print_made,
)
from perflour.plain import printable
from perflour.result import CannotRun

EXAMPLE = "perflour release 'HEAD^{/^Record the fourth round}..HEAD'"
CODES = ("the log is printed or written", "with prepare: the release is blocked")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "what", metavar="FROM..TO|prepare", help="two tags or revisions (FROM.. ends at HEAD)"
    )
    command.add_argument("version", nargs="?", default="", help="with prepare: the tag to come")
    describe_folders(command)
    describe_output(command, "release")
    command.add_argument(
        "--for",
        dest="audience",
        choices=("team", "readers", "editor"),
        default="team",
        help="whom the log is for (default: team; json has all for everyone)",
    )
    command.add_argument(
        "--in-full",
        action="store_true",
        help="all that keeps a formula out of the release, not only the first",
    )
    command.add_argument(
        "--since",
        default="",
        metavar="TAG",
        help="with prepare: the release before (default: the newest tag)",
    )
    command.add_argument(
        "--into",
        default="",
        metavar="FILE",
        help="with prepare: the log's file (default: releases/VERSION.md)",
    )


def run(options: argparse.Namespace) -> int:
    text, found = _logged(options, paths_of(options, may_be_gone=True))
    print_made(text)
    return FOUND if found else NOTHING


def _logged(options: argparse.Namespace, paths: Sequence[str]) -> tuple[str, bool]:
    """Print a release log, or prepare a release; True where it is blocked. Raises CannotRun."""
    from perflour.release import release as log
    from perflour.report.forms import maker
    from perflour.report.release.audiences import Telling
    from perflour.report.release.log import prepared_text

    telling = Telling(options.audience, options.in_full)
    if options.what != "prepare":
        if options.version or options.since or options.into:
            raise CannotRun("a version, --since and --into go with `release prepare VERSION`")
        found = log.release(options.what, paths)
        return str(maker("release", options.output)(found, telling)), False
    if not options.version:
        raise CannotRun("`release prepare` takes the version to come: release prepare 2026.1")
    prepared = log.prepare(options.version, options.since, paths, options.into)
    if prepared.is_ready:
        log.write_log(prepared, str(maker("release", "markdown")(prepared.release, telling)))
    return printable(prepared_text(prepared)), not prepared.is_ready
