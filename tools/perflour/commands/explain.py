"""`perflour explain`: what a rule checks, and why."""

from __future__ import annotations

import argparse

from perflour.commands.parts import NOTHING, print_text

EXAMPLE = "perflour explain soda-without-acid"
CODES = ("told",)


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("rule", nargs="?", help="its id; none: list all rules")


def run(options: argparse.Namespace) -> int:
    from perflour.lint.rules.described import described_rule, described_rules
    from perflour.report.rules import rule_text, rules_text

    print_text(
        rule_text(described_rule(options.rule)) if options.rule else rules_text(described_rules())
    )
    return NOTHING
