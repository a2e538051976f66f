"""`perflour scale`: new amounts for another batch, pieces, flour, pans or stock."""

from __future__ import annotations

import argparse

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_output,
    print_bytes,
    request_of,
    say,
    tell_results,
)
from perflour.result import CannotRun

EXAMPLE = "perflour scale formulas/rye-ginger-cookie --pieces 24"
CODES = ("scaled", "the file or its house has faults, told on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs=1, metavar="FORMULA", help="its id, file or folder, or -")
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
    describe_output(command, "scale")


def run(options: argparse.Namespace) -> int:
    from perflour.balance.allergens import allergens
    from perflour.balance.balance import Balance
    from perflour.balance.files import weigh_inputs
    from perflour.lint.situations import cautions_that_hold
    from perflour.report.cautions import Held, cautions_in_short
    from perflour.report.forms import rendered
    from perflour.scale.request import ScaleRequest, scale_source
    from perflour.system.file_kinds import kind_of
    from perflour.system.files import input_files
    from perflour.system.named import no_formula_in, path_named

    asked = request_of(ScaleRequest, options)
    names = [path_named(options.paths[0])]
    sources = [source for source in input_files(names) if kind_of(source.path) == "formula"]
    if len(sources) > 1:
        raise CannotRun(f"{options.paths[0]}: {len(sources)} formulas there; name one of them")
    for source, kitchen, outcome in weigh_inputs(sources):
        faults = kitchen.results + (() if isinstance(outcome, Balance) else outcome)
        tell_results(faults, 1)
        if not isinstance(outcome, Balance):
            return FOUND
        rescaled = scale_source(source.content, outcome, kitchen, asked)
        print_bytes(rendered("scale", options.output, rescaled))
        if options.output == "text":
            cautions = cautions_that_hold(outcome, kitchen)
            say(cautions_in_short([Held(outcome.formula.id, allergens(outcome), cautions)]))
        return FOUND if faults else NOTHING
    raise no_formula_in(names)
