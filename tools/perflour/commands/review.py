"""`perflour review`: one report on a branch for those who decide on it: BASE..HEAD."""

from __future__ import annotations

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_folders,
    describe_gate,
    describe_output,
    paths_of,
    print_bytes,
    refuse_nothing,
)
from perflour.release.policy import FAIL_AT, IDS, fails
from perflour.typed import TYPE_CHECKING

if TYPE_CHECKING:
    import argparse

EXAMPLE = "perflour review 'HEAD^{/^Record the fourth round}..HEAD'"
CODES = ("may be merged, as far as --fail-at asks", "a verdict at --fail-at or worse")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "span",
        metavar="BASE..HEAD",
        help="a branch and what it is to be merged into, like main..HEAD",
    )
    describe_folders(command)
    describe_output(command, "review")
    command.add_argument(
        "--stop-at",
        nargs="+",
        choices=IDS,
        default=(),
        metavar="REASON",
        help="reasons that stop the branch besides those of the policy (docs/review.md)",
    )
    command.add_argument(
        "--fail-at",
        choices=FAIL_AT,
        default=FAIL_AT[0],
        help="from which verdict on the exit code is 1 (default: not-yet; never: report only)",
    )
    command.add_argument(
        "--whole", action="store_true", help="every line, where the text is cut short"
    )
    describe_gate(command)


def run(options: argparse.Namespace) -> int:
    from perflour.release.branch import branch_of

    paths = paths_of(options, may_be_gone=True)
    branch = branch_of(options.span, paths)
    # git reads the files while these are loaded
    from perflour.release.review import read_any, review_of
    from perflour.report.forms import rendered

    found = review_of(branch, options.stop_at)
    if not (options.if_any or read_any(found, paths)):
        what = f"formula, record or house file of {options.span}"
        refuse_nothing(options, what, lambda: rendered("review", options.output, found, True))
    print_bytes(rendered("review", options.output, found, options.whole))
    return FOUND if fails(found.verdict, options.fail_at) else NOTHING
