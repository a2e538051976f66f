"""`perflour cost`: what a batch and a piece cost, by the house's price list."""

from __future__ import annotations

import argparse

from perflour.commands.day import describe_day
from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_output,
    paths_of,
    print_bytes,
    request_of,
    tell_results,
)

EXAMPLE = 'perflour cost formulas/oat-date-loaf --what-if "butter=+15 %"'
CODES = ("every cost is known", "a price is missing, or a file has faults")


def describe(command: argparse.ArgumentParser) -> None:
    describe_day(command)
    command.add_argument(
        "--what-if",
        metavar="ITEM=CHANGE",
        action="append",
        help="another price or pack: `butter=+15 %%`, `butter=2.80 for 200 g`; may be repeated",
    )
    command.add_argument(
        "--packs", action="store_true", help="add which whole packs to buy, and what they cost"
    )
    describe_output(command, "cost")


def run(options: argparse.Namespace) -> int:
    from perflour.bakeday.request import CostRequest, costed
    from perflour.report.forms import rendered

    costing, shopping, results = costed(paths_of(options), request_of(CostRequest, options))
    tell_results(results)
    if costing is None:
        return FOUND
    print_bytes(rendered("cost", options.output, costing, shopping))
    return FOUND if results or any(cost.missing for cost in costing.costs) else NOTHING
