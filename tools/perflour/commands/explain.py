"""`perflour explain`: what a rule checks, and why."""

from __future__ import annotations

import argparse

from perflour.commands.parts import NOTHING, print_text

EXAMPLE = "perflour explain soda-without-acid"
CODES = ("told",)
#: Beside the ids of rules: what must be said with formulas.
CAUTIONS = "cautions"


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "rule", nargs="?", help=f"its id, or `{CAUTIONS}`: each in full; none: list all rules"
    )


def run(options: argparse.Namespace) -> int:
    if options.rule == CAUTIONS:
        from perflour.kitchen.cautions import texts
        from perflour.report.cautions import cautions_in_full

        print_text(cautions_in_full(texts().cautions))
        return NOTHING
    from perflour.lint.rules.described import described_rule, described_rules
    from perflour.report.rules import rule_text, rules_text

    print_text(
        rule_text(described_rule(options.rule)) if options.rule else rules_text(described_rules())
    )
    return NOTHING
