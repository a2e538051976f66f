"""What `plan` and `cost` share: which batches are meant, and telling what is wrong with files."""

from __future__ import annotations

import argparse

from perflour.commands.parts import say
from perflour.result import Result


def describe_day(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--make",
        metavar="FORMULA=AMOUNT",
        action="append",
        help="how much of a formula: `oat-date-loaf=2 batches`, `=24 pieces`, `=3 kg`",
    )
    command.add_argument(
        "--prices", metavar="FILE", help="price list (default: the nearest prices.yaml)"
    )


def tell_results(results: tuple[Result, ...]) -> None:
    """Results on stderr."""
    from perflour.report.lint import results_text

    if results:
        say(results_text(results, len({result.place.path for result in results})))
