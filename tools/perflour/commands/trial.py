"""`perflour trial`: plan several bakes together, and see which are done."""

import argparse

from perflour.commands.parts import (
    FOUND,
    NOTHING,
    describe_output,
    describe_words,
    paths_of,
    print_text,
    request_of,
    tell_lines,
)
from perflour.system.extras import need

__all__ = ["describe", "run"]

#: Those of designs.points and designs.design, whose modules take long to load.
KINDS = ("screening", "definitive", "full", "fraction", "curved", "faced", "inscribed", "edges", "blend", "best-for")  # fmt: skip
MODELS = ("main", "pairs", "curved", "blend")

EXAMPLE = "perflour trial list"
CODES = ("done", "something to see to: `perflour trial WHAT --help` says what")


def describe(command: argparse.ArgumentParser) -> None:
    describe_words(
        command,
        (
            (
                "plan",
                _describe_plan,
                "draw the bakes, write a variant of the formula for each",
                'perflour trial plan formulas/rye-ginger-cookie --vary "sugar=85..95" --bakes 4 --tasters 3 --dry-run',
                ("planned",),
            ),
            (
                "list",
                _describe_list,
                "trials with the bakes done and to come",
                "perflour trial list",
                ("every trial is listed", "a record cannot be read; it is told on stderr"),
            ),
            (
                "results",
                _describe_results,
                "what a trial showed, what is best, what to bake next",
                "perflour trial results formulas/trials/cookie-chew",
                ("told, from all that was recorded", "a record has faults or is not of this trial"),
            ),
            (
                "adopt",
                _describe_adopt,
                "put what a trial showed into its formula",
                "perflour trial adopt formulas/trials/cookie-chew --dry-run",
                ("put in, or with --dry-run told",),
            ),
        ),
    )


def _describe_plan(command: argparse.ArgumentParser) -> None:
    command.add_argument("formula", metavar="FORMULA", help="its id, file or folder")
    command.add_argument(
        "--vary",
        action="append",
        required=True,
        metavar="NAME=LOW..HIGH",
        help="an ingredient or ratio in percent of the flour, or a step's setting: 'unsalted butter=50..62', 'sugar=80..95', 'chill for=2 h..24 h', 'bake at=165..180 °C'; one to five",
    )
    _describe_design(command)
    _describe_aims(command)
    command.add_argument(
        "--name", default="", metavar="NAME", help="of the trial (default: formula and number)"
    )
    command.add_argument(
        "--date", default="", metavar="DAY", help="like 2026-03-14 (default: today)"
    )
    command.add_argument("--branch", default="", metavar="NAME", help="write on a new git branch")
    command.add_argument("--dry-run", action="store_true", help="print the plan, write nothing")
    describe_output(command, "trial", of_file=True)
    command.add_argument(
        "--wide", action="store_true", help="tables as wide as they come, however wide the terminal"
    )
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def _describe_design(command: argparse.ArgumentParser) -> None:
    """How many bakes, where, and what they are to tell."""
    for name, required, usual, help_text in (
        ("--bakes", True, None, "how many there is room for"),
        ("--tasters", True, None, "how many taste every bake"),
        ("--days", False, 1, "on how many days"),
        ("--ovens", False, 1, "in how many ovens"),
        ("--per-oven", False, None, "how many bakes an oven takes in a day"),
        ("--replicates", False, 1, "bake every setting so often"),
        ("--centre", False, 0, "bakes in the middle of all ranges"),
    ):
        command.add_argument(
            name, type=_count, required=required, default=usual, metavar="N", help=help_text
        )
    command.add_argument(
        "--kind", choices=KINDS, default="", help="of design (default: the first that fits)"
    )
    command.add_argument(
        "--model",
        choices=MODELS,
        default="main",
        help="what is to be told: each factor by itself (default), pairs too, bends too; blend: of ingredients that make up for each other",
    )
    command.add_argument("--seed", type=int, metavar="N", help="to draw the same again")


def _describe_aims(command: argparse.ArgumentParser) -> None:
    """What it is to find out, and what stays."""
    command.add_argument("--question", default="", metavar="TEXT", help="what it is to find out")
    command.add_argument(
        "--goal",
        action="append",
        default=[],
        metavar="NAME=WHAT",
        help="chew=most, spread=80..90, 'height=target 65 weight 2'",
    )
    command.add_argument(
        "--hold",
        action="append",
        default=[],
        metavar="WHAT",
        help="what stays: batch, or 'total sugar=INGREDIENT', which gives way",
    )
    command.add_argument(
        "--gives-way", default="", metavar="FLOUR", help="for a flour (default: the heaviest)"
    )
    command.add_argument(
        "--beyond-window", action="store_true", help="let ratios leave the windows of the class"
    )
    command.add_argument(
        "--taster-spread",
        type=_points,
        metavar="POINTS",
        help="standard deviation of the scores of one bake (default 1.84)",
    )
    command.add_argument(
        "--bake-spread",
        type=_points,
        metavar="POINTS",
        help="standard deviation between bakes of the same settings (default 0)",
    )


def _count(text: str) -> int:
    """A whole number up to four digits."""
    if not (text.isascii() and text.isdigit()) or len(text) > 4:
        raise argparse.ArgumentTypeError(f"{text!r} is no number; write a whole one like 8")
    return int(text)


def _points(text: str) -> float:
    """Points of a score, 0 to 9."""
    try:
        points = float(text)
    except ValueError:
        points = -1.0
    if not 0 <= points <= 9:
        raise argparse.ArgumentTypeError(f"{text!r} is no spread; write points like 0.5")
    return points


def _describe_list(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help="trials or folders (default: formulas/)")
    describe_output(command, "trials")


def _describe_results(command: argparse.ArgumentParser) -> None:
    command.add_argument("trial", metavar="TRIAL", help="a trial's folder or record")
    command.add_argument(
        "--model",
        choices=MODELS,
        default="",
        help="fit another model than the trial was planned for",
    )
    describe_output(command, "trial results", of_file=True)
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def _describe_adopt(command: argparse.ArgumentParser) -> None:
    command.add_argument("trial", metavar="TRIAL", help="a trial's folder or record")
    command.add_argument(
        "--take",
        default="best",
        metavar="WHICH",
        help="best (default), next, or the letter of a bake",
    )
    command.add_argument(
        "--decided", default="", metavar="TEXT", help="what follows from the trial"
    )
    command.add_argument("--dry-run", action="store_true", help="print the change, write nothing")


def run(options: argparse.Namespace) -> int:
    match options.what:
        case "plan":
            return _plan(options)
        case "results":
            return _results(options)
        case "adopt":
            return _adopt(options)
    return _list(options)


def _results(options: argparse.Namespace) -> int:
    need("evidence")
    from perflour.designs.showed import what_it_showed
    from perflour.report.forms import form_asked, rendered
    from perflour.system.destination import write_report

    form = form_asked("trial results", options.output, options.write)
    found = what_it_showed(options.trial, options.model)
    tell_lines(found.results)
    write_report(options.write, rendered("trial results", form, found), [found.path])
    return FOUND if found.results or found.elsewhere else NOTHING


def _adopt(options: argparse.Namespace) -> int:
    need("evidence")
    from perflour.designs.adopt import adopt, write_adopted
    from perflour.report.designs.adopted import adopted_text

    adopted = adopt(options.trial, options.take, options.decided)
    if not options.dry_run:
        write_adopted(adopted)
    print_text(adopted_text(adopted, not options.dry_run))
    return NOTHING


def _plan(options: argparse.Namespace) -> int:
    need("evidence")
    from perflour.designs.plan import TrialSaid, plan_trial, write_trial
    from perflour.report.designs.plan import Told
    from perflour.report.forms import form_asked, rendered
    from perflour.result import CannotRun
    from perflour.system.destination import write_report

    if options.branch and options.dry_run:
        raise CannotRun("a dry run begins no branch; leave --branch or --dry-run out")
    form = form_asked("trial", options.output, options.write)
    planned = plan_trial(request_of(TrialSaid, options))
    written = "" if options.dry_run else write_trial(planned, options.branch)
    content = rendered("trial", form, Told(planned, written, options.branch), options.wide)
    write_report(options.write, content, [str(planned.path)])
    return NOTHING


def _list(options: argparse.Namespace) -> int:
    from perflour.designs.listing import list_trials
    from perflour.report.forms import maker

    found = list_trials(paths_of(options))
    tell_lines(found.problems)
    print_text(str(maker("trials", options.output)(found)))
    return FOUND if found.problems else NOTHING
