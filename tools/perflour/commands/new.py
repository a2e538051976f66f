"""`perflour new`: a repository for a test kitchen, or a formula of a product class."""

from __future__ import annotations

import argparse

from perflour.commands.parts import NOTHING, describe_words, print_text, request_of, say
from perflour.plain import visible

EXAMPLE = 'perflour new formula "Harbour loaf" --class loaf-cake --pieces 2'
CODES = ("written",)


def describe(command: argparse.ArgumentParser) -> None:
    describe_words(
        command,
        (
            (
                "kitchen",
                _describe_kitchen,
                "a repository with house file, schemas, hooks and CI",
                "perflour new kitchen ../our-kitchen",
                ("written; what was there is kept",),
            ),
            (
                "formula",
                _describe_formula,
                "a draft with the usual ratios of a product class",
                'perflour new formula "Harbour loaf" --class loaf-cake --pieces 2 --into drafts',
                ("written",),
            ),
        ),
    )


def _describe_kitchen(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "folder", nargs="?", default=".", metavar="FOLDER", help="where (default: here)"
    )
    command.add_argument(
        "--name",
        default="",
        metavar="TEXT",
        help="what the kitchen is called (default: by the folder)",
    )
    command.add_argument(
        "--ci",
        choices=("github", "gitlab", "none"),
        default="none",
        help="a review in CI, for a host",
    )


def _describe_formula(command: argparse.ArgumentParser) -> None:
    command.add_argument("title", metavar="TITLE", help="its id is made of it")
    command.add_argument(
        "--class",
        dest="product_class",
        metavar="CLASS",
        required=True,
        help="a class of house.yaml",
    )
    command.add_argument(
        "--like", default="", metavar="CLASS", help="the class whose outline is used, if another"
    )
    size = command.add_mutually_exclusive_group()
    size.add_argument("--pieces", metavar="N", help="for a number of pieces")
    size.add_argument("--batch", metavar="MASS", help="for a batch mass: 2 kg")
    size.add_argument("--flour", metavar="MASS", help="for a mass of flour")
    command.add_argument("--each", metavar="MASS", help="with --pieces: the scaling weight")
    command.add_argument(
        "--into", default="", metavar="FOLDER", help="write below it (default: formulas/)"
    )


def run(options: argparse.Namespace) -> int:
    return _kitchen(options) if options.what == "kitchen" else _formula(options)


def _kitchen(options: argparse.Namespace) -> int:
    from pathlib import Path

    from perflour.report.started import started_text
    from perflour.setup.kitchen import start_kitchen

    print_text(started_text(start_kitchen(Path(options.folder), options.name, options.ci)))
    return NOTHING


def _formula(options: argparse.Namespace) -> int:
    from perflour.report.imported import imported_text
    from perflour.scale.request import ScaleRequest
    from perflour.setup.formula import new_formula
    from perflour.tidy.house_format import write_new_formula

    asked = request_of(ScaleRequest, options)
    made = new_formula(options.title, options.product_class, asked, options.like, options.into)
    print_text(f"{visible(write_new_formula(made.path, made.content))}\n")
    say(imported_text((), made.allergens))
    return NOTHING
