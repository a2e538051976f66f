"""The command line's options: what each command takes, and errors in one line."""

from __future__ import annotations

import argparse
import sys
from typing import Any, NoReturn

from perflour.result import one_line

COULD_NOT_RUN = 2


class Parser(argparse.ArgumentParser):
    """An argument parser whose errors are one line."""

    def __init__(self, **options: Any) -> None:
        # A width of its own spares the import of shutil (2 ms) that asks for the terminal's.
        super().__init__(
            formatter_class=lambda prog: argparse.HelpFormatter(prog, width=96), **options
        )

    def error(self, message: str) -> NoReturn:
        print(f"{self.prog}: {one_line(message)}; see {self.prog} --help", file=sys.stderr)
        raise SystemExit(COULD_NOT_RUN)


def describe_lint(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--output", choices=("text", "lines", "markdown", "json", "sarif"), default="text"
    )
    command.add_argument(
        "--fail-at",
        choices=("error", "warning", "note"),
        default="warning",
        help="lowest level that makes the exit code 1",
    )
    command.add_argument(
        "--fix",
        action="store_true",
        help="mend first what has one right answer, write the files in the house format",
    )
    command.add_argument("--baseline", metavar="FILE", help="leave out the results recorded in it")
    command.add_argument(
        "--write-baseline", metavar="FILE", help="record the results there and exit 0"
    )
    _describe_run(command, "check every file anew, whatever an earlier run found")


def _describe_run(command: argparse.ArgumentParser, forget: str) -> None:
    """What every command takes that may run long."""
    command.add_argument(
        "--jobs",
        type=_count,
        default=0,
        metavar="N",
        help="cores to use in a long run (default: all)",
    )
    command.add_argument("--forget", action="store_true", help=forget)


def _count(text: str) -> int:
    """A whole number from 1 to 256."""
    if not text.isdigit() or not 1 <= int(text) <= 256:
        raise argparse.ArgumentTypeError(f"{text!r} is no number of cores; write one like 2")
    return int(text)


def describe_show(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--per",
        choices=("part", "piece", "total"),
        default="part",
        help="by part, for one piece, or the total formula",
    )
    command.add_argument(
        "--wide", action="store_true", help="cut nothing off, however wide the terminal"
    )
    command.add_argument(
        "--output",
        choices=("text", "json", "recipe"),
        default="text",
        help="recipe: ingredient list and method in words, for a reader",
    )


def describe_contents(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument("--output", choices=("text", "json"), default="text")


def describe_import(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "file", metavar="FILE", help="a text, web page, JSON, CSV or XLSX file, or -"
    )
    command.add_argument(
        "--as",
        dest="kind",
        choices=("text", "page", "sheet"),
        help="what the file holds (default: by its name, else by how it starts)",
    )
    command.add_argument("--into", metavar="FOLDER", help="write FOLDER/<id>/formula.yaml")
    command.add_argument(
        "--overwrite", action="store_true", help="replace a formula that is there already"
    )
    command.add_argument("--title", help="title of the formula; its id is made of it")
    command.add_argument("--class", metavar="CLASS", help="product class of the formula")
    command.add_argument("--citation", metavar="TEXT", help="where the recipe comes from")
    command.add_argument("--recipe", metavar="TITLE", help="which recipe of a page with several")
    command.add_argument(
        "--sheet", metavar="NAME", help="which sheet of a workbook (default: the first)"
    )
    command.add_argument(
        "--columns",
        metavar="MAP",
        help="which column holds what, like item=Ingredient,amount=Qty,unit=Unit,state=Prep,part=Section",
    )


def describe_scale(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs=1, metavar="FILE", help="a formula file, its folder or -")
    target = command.add_mutually_exclusive_group(required=True)
    target.add_argument("--times", metavar="N", help="multiply by a number: 2, 1/3, 2.5")
    target.add_argument("--batch", metavar="MASS", help="to a batch mass: 2 kg")
    target.add_argument("--pieces", metavar="N", help="to a number of pieces")
    target.add_argument("--flour", metavar="MASS", help="to a mass of flour, or of what is 100 %%")
    target.add_argument(
        "--pans", metavar="PANS", help="to pans: `2 round 20 x 5 cm`, `volume 1.2 l`"
    )
    target.add_argument(
        "--have",
        metavar="ITEM=AMOUNT",
        action="append",
        help="to the ingredient you have least of; may be repeated",
    )
    command.add_argument("--each", metavar="MASS", help="with --pieces: the scaling weight")
    command.add_argument(
        "--from-pans",
        metavar="PANS",
        help="with --pans: the pans the formula is for now, filled alike",
    )
    command.add_argument("--fill", metavar="SHARE", help="with --pans: how full (default 2/3)")
    command.add_argument(
        "--density", metavar="G/ML", help="with --pans: grams in a ml of batter (default 1.0)"
    )
    command.add_argument(
        "--resolution", metavar="MASS", help="step of your scale (default: the house's)"
    )
    command.add_argument(
        "--household", action="store_true", help="write cups and spoons where they are known"
    )
    command.add_argument(
        "--whole-eggs",
        action="store_true",
        help="keep eggs whole and say what that does to the ratios",
    )
    command.add_argument("--output", choices=("text", "json", "formula"), default="text")


def describe_plan(command: argparse.ArgumentParser) -> None:
    _describe_day(command)
    command.add_argument(
        "--whole-eggs",
        action="store_true",
        help="keep eggs whole in the sheets, not only in the shop",
    )
    command.add_argument(
        "--oven",
        metavar="NAME[=PLACES]",
        action="append",
        help="an oven, with how many pans or trays it takes at a time (default: one oven, one load)",
    )
    command.add_argument(
        "--load",
        metavar="FORMULA=PIECES[ on PLACES]",
        action="append",
        help="how many pieces are baked at a time, on how many of an oven's places (default: all pieces, all places)",
    )
    command.add_argument(
        "--mix-each-load", action="store_true", help="mix every load by itself, not all at once"
    )
    command.add_argument("--start", metavar="TIME", help="`06:30` or `2026-03-14 06:30`")
    command.add_argument("--ready-by", metavar="TIME", help="when everything has cooled")
    command.add_argument(
        "--closed",
        metavar="HOURS",
        action="append",
        help="nobody works or bakes then: `22:00-06:00`; dough may wait",
    )
    command.add_argument("--bakers", metavar="N", help="pairs of hands (default 1)")
    command.add_argument("--heating", metavar="N", help="°C an oven gains in a minute (default 10)")
    command.add_argument("--cooling", metavar="N", help="°C an oven loses in a minute (default 4)")
    command.add_argument("--step", metavar="TIME", help="for a step without a time (default 5 min)")
    command.add_argument(
        "--pause", metavar="TIME", help="longest stand of dough between two steps (default 10 min)"
    )
    command.add_argument(
        "--grace",
        metavar="TIME",
        help="how far a wait of dough written as one figure may run over (default 15 min)",
    )
    command.add_argument(
        "--first",
        choices=("finish", "swings"),
        default="finish",
        help="what comes first: the earliest finish, or the fewest swings of an oven's temperature",
    )
    command.add_argument("--seconds", metavar="N", help="longest search (default 60)")
    command.add_argument(
        "--blind", metavar="SEED", type=_seed, help="give three-digit codes for tasters"
    )
    command.add_argument("--output", choices=("text", "markdown", "html", "json"), default="text")
    command.add_argument(
        "--wide", action="store_true", help="cut nothing off, however wide the terminal"
    )
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def describe_cost(command: argparse.ArgumentParser) -> None:
    _describe_day(command)
    command.add_argument(
        "--what-if",
        metavar="ITEM=CHANGE",
        action="append",
        help="another price or pack: `butter=+15 %%`, `butter=2.80 for 200 g`; may be repeated",
    )
    command.add_argument(
        "--packs", action="store_true", help="add which whole packs to buy, and what they cost"
    )
    command.add_argument("--output", choices=("text", "markdown", "json"), default="text")


def _describe_day(command: argparse.ArgumentParser) -> None:
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


def _seed(text: str) -> int:
    """A whole number up to nine digits."""
    if not (text.isascii() and text.isdigit()) or len(text) > 9:
        raise argparse.ArgumentTypeError(f"{text!r} is no seed; write a whole number like 7")
    return int(text)


def describe_diff(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "words",
        nargs="*",
        metavar="A|REV",
        help="two files, or up to two revisions; none: HEAD against the work tree; paths follow `--`",
    )
    command.add_argument(
        "--output",
        choices=("text", "json", "markdown", "subject"),
        default="text",
        help="subject: one line for each formula, fit for the subject of a commit",
    )


def describe_compare(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--by",
        choices=("ingredient", "group"),
        default="ingredient",
        help="every ingredient, or only the sums by kind of ingredient",
    )
    command.add_argument(
        "--to", metavar="FILE", help="say what would turn the first formula into this one"
    )
    command.add_argument(
        "--output",
        choices=("text", "html", "csv", "json", "svg", "png"),
        default="text",
        help="svg and png are a chart of the kinds of ingredient",
    )
    command.add_argument("--wide", action="store_true", help="one table, however wide the terminal")
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def describe_changelog(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="*", help="formulas, their test bakes, or folders (default: formulas/)"
    )
    command.add_argument("--output", choices=("text", "json", "markdown", "html"), default="text")
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
    _describe_run(command, "work every changelog out anew, whatever an earlier run left")


def describe_release(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "what", metavar="FROM..TO|prepare", help="two tags or revisions (FROM.. ends at HEAD)"
    )
    command.add_argument("version", nargs="?", default="", help="with prepare: the tag to come")
    command.add_argument(
        "--paths",
        nargs="+",
        default=[],
        metavar="PATH",
        help="folders with the formulas (default: formulas/)",
    )
    command.add_argument("--output", choices=("text", "json", "markdown", "html"), default="text")
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


def describe_draft(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    which = command.add_mutually_exclusive_group()
    which.add_argument("--all", action="store_true", help="formulas of any status")
    which.add_argument(
        "--status",
        choices=("draft", "testing", "approved", "retired"),
        action="append",
        help="formulas of this status (default: approved); may be repeated",
    )
    command.add_argument(
        "--class",
        dest="classes",
        metavar="CLASS",
        action="append",
        help="only formulas of this product class; may be repeated",
    )
    command.add_argument("--title", default="", help="of the book (default: the house's name)")
    command.add_argument(
        "--output", choices=("pdf", "html", "json"), help="default: as --write ends, else pdf"
    )
    command.add_argument("--paper", choices=("a4", "a5", "us-letter"), default="a4")
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def describe_format(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files or folders (default: formulas/)")
    command.add_argument(
        "--check", action="store_true", help="change nothing, name what would change"
    )
    command.add_argument(
        "--diff", action="store_true", help="change nothing, show what would change"
    )


def describe_git_setup(command: argparse.ArgumentParser) -> None:
    what = command.add_mutually_exclusive_group()
    what.add_argument("--undo", action="store_true", help="remove what was set up")
    what.add_argument(
        "--check", action="store_true", help="change nothing, say what is not set up as it would be"
    )
    command.add_argument(
        "--house", metavar="FOLDER", help="the house file to weigh with, where there are several"
    )


def describe_git_sheet(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", metavar="FILE", help="a formula file")
    command.add_argument(
        "--house", metavar="FOLDER", help="the folder of the house file (default: above the file)"
    )


def describe_git_merge(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "paths", nargs="*", metavar="FILE", help="BASE OURS THEIRS and the path in the tree"
    )
    command.add_argument("--marker-size", type=int, default=7, metavar="N")


def describe_explain(command: argparse.ArgumentParser) -> None:
    command.add_argument("rule", nargs="?", help="its id; none: list all rules")
