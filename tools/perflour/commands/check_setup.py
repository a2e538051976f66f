"""`perflour check-setup`: what this clone still lacks, and what to do about it."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, describe_output, print_bytes

EXAMPLE = "perflour check-setup"
CODES = ("nothing lacks", "something lacks; what to do is told")


def describe(command: argparse.ArgumentParser) -> None:
    describe_output(command, "setup")


def run(options: argparse.Namespace) -> int:
    from pathlib import Path

    from perflour.report.forms import rendered
    from perflour.setup.check import check_setup

    checks = check_setup(Path())
    print_bytes(rendered("setup", options.output, checks))
    return NOTHING if all(check.is_well for check in checks) else FOUND
