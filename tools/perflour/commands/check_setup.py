"""`perflour check-setup`: what this clone still lacks, and what to do about it."""

from __future__ import annotations

import argparse

from perflour.commands.parts import FOUND, NOTHING, print_text


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("--output", choices=("text", "json"), default="text")


def run(options: argparse.Namespace) -> int:
    from pathlib import Path

    from perflour.report.setup import setup_json, setup_text
    from perflour.setup.check import check_setup

    checks = check_setup(Path())
    print_text(setup_json(checks) if options.output == "json" else setup_text(checks))
    return NOTHING if all(check.is_well for check in checks) else FOUND
