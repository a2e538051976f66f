"""`perflour middle`: the middle of several formulas, and where ours stands in them."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_output,
    paths_of,
    print_bytes,
    request_of,
    say,
    tell_results,
)
from perflour.result import CannotRun

if TYPE_CHECKING:
    from perflour.compare.collect import Compared
    from perflour.evidence.best import Scored
    from perflour.evidence.middle import Middle
    from perflour.evidence.middle_file import MiddleFile
    from perflour.kitchen.house import Kitchen
    from perflour.result import Result

EXAMPLE = "perflour middle formulas --ours formulas/oat-date-loaf"
CODES = ("the middle of all that was named", "a file or its house has faults, told on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="files, folders or - (default: formulas/)")
    command.add_argument(
        "--best", type=int, metavar="N", help="only so many of the best, by the scores of --by"
    )
    command.add_argument(
        "--weights",
        choices=("scores",),
        help="a blend weighted by the scores of --by (default: the median)",
    )
    command.add_argument(
        "--by", metavar="ATTRIBUTE", help="what the test bakes scored: overall, crumb, ..."
    )
    command.add_argument("--ours", metavar="FORMULA", help="say where this formula stands")
    command.add_argument("--write", action="store_true", help="write it as a new formula, a draft")
    command.add_argument(
        "--title", default="", metavar="TEXT", help="with --write: its id is made of it"
    )
    command.add_argument(
        "--into", default="", metavar="FOLDER", help="write below it (default: formulas/)"
    )
    size = command.add_mutually_exclusive_group()
    size.add_argument("--pieces", metavar="N", help="with --write: for a number of pieces")
    size.add_argument("--batch", metavar="MASS", help="with --write: for a batch mass: 2 kg")
    size.add_argument("--flour", metavar="MASS", help="with --write: for a mass of flour")
    command.add_argument("--each", metavar="MASS", help="with --pieces: the scaling weight")
    describe_output(command, "middle")


def run(options: argparse.Namespace) -> int:
    from perflour.compare.collect import collect
    from perflour.evidence.middle import middle
    from perflour.kitchen.house import kitchen_for
    from perflour.report.forms import rendered
    from perflour.system.named import path_named

    _refuse_idle_options(options)
    collected = collect(paths_of(options))
    results, paths = collected.results, collected.paths
    ours = None
    if options.ours:
        held = collect([path_named(options.ours)])
        results, paths = (*results, *held.results), paths | held.paths
        ours = _only(held.formulas, options.ours)
    chosen, scores, wrong = _chosen(options, collected.formulas)
    results = (*results, *wrong)
    tell_results(tuple(dict.fromkeys(results)), len(paths))
    if not chosen:
        raise CannotRun("no formula is left to make a middle of; name some, or their folder")
    weights = {s.formula.path: s.mean or 0.0 for s in scores} if options.weights else None
    kitchen = kitchen_for(chosen[0].path)
    made = middle(chosen, kitchen, weights, ours)
    written = _written(options, made, kitchen) if options.write else None
    print_bytes(rendered("middle", options.output, made, scores, options.by or "", written))
    return FOUND if results else NOTHING


def _refuse_idle_options(options: argparse.Namespace) -> None:
    """An option that would be ignored is a misunderstanding."""
    if (options.best is not None or options.weights) and not options.by:
        raise CannotRun("say by what it was scored with --by, like `--by overall`")
    if options.by and not (options.best is not None or options.weights):
        raise CannotRun("--by goes with --best or --weights; add one or leave it out")
    if options.write and not options.title:
        raise CannotRun("a formula needs a title; say it with --title")
    idle = ("title", "into", "pieces", "batch", "flour", "each")
    if not options.write and (said := [name for name in idle if getattr(options, name)]):
        raise CannotRun(f"--{said[0]} goes with --write; add it or leave it out")


def _only(found: tuple[Compared, ...], name: str) -> Compared:
    if len(found) != 1:
        raise CannotRun(f"{name}: {len(found)} formulas there; name one formula with --ours")
    return found[0]


def _chosen(
    options: argparse.Namespace, formulas: tuple[Compared, ...]
) -> tuple[list[Compared], tuple[Scored, ...], tuple[Result, ...]]:
    """The formulas that count, what all scored where that was asked for, and what is wrong with the records."""
    from perflour.evidence.best import best, scored

    if not options.by or not formulas:
        return list(formulas), (), ()
    scores, wrong = scored(formulas, options.by)
    taken = best(scores, options.best) if options.best is not None else scores
    return [one.formula for one in taken if one.mean is not None], scores, wrong


def _written(options: argparse.Namespace, made: Middle, kitchen: Kitchen) -> MiddleFile:
    from perflour.balance.allergens import allergens
    from perflour.evidence.middle_file import middle_file
    from perflour.report.imported import imported_text
    from perflour.scale.request import ScaleRequest
    from perflour.tidy.house_format import write_new_formula

    asked = request_of(ScaleRequest, options)
    file = middle_file(made, options.title, kitchen, asked, options.into)
    write_new_formula(file.path, file.content)
    say(imported_text((), allergens(file.balance)))
    return file
