"""What `plan` and `cost` share: which batches are meant."""

from __future__ import annotations

import argparse


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
