"""`perflour plan`: a bake day: shopping list, sheets, timetable for the ovens."""

from __future__ import annotations

import argparse
import sys
from typing import TYPE_CHECKING

from perflour.commands.day import describe_day
from perflour.commands.parts import (
    COULD_NOT_RUN,
    FOUND,
    NOTHING,
    describe_output,
    option_name,
    paths_of,
    request_of,
    say,
    tell_results,
)
from perflour.plain import visible
from perflour.system.extras import need
from perflour.system.terminal import wishes

if TYPE_CHECKING:
    from perflour.bakeday.search import Progress

#: A search that is over sooner says nothing while it runs; a line that is told over again must not be wrapped.
LONG_SEARCH_S, WATCH_WIDTH = 1.0, 78
EXAMPLE = "perflour plan formulas/oat-date-loaf formulas/rye-ginger-cookie --ready-by 15:00"
CODES = ("the day is planned", "a file or its house has faults, told on stderr")


def describe(command: argparse.ArgumentParser) -> None:
    describe_day(command)
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
        "--appliance",
        metavar="NAME[=NUMBER]",
        action="append",
        help="what else is shared, and how many there are: `stand mixer`, `hob=4`; `press: tart press, plates` names words of steps",
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
    command.add_argument("--seconds", metavar="N", help="longest search (default 8)")
    command.add_argument(
        "--blind", metavar="SEED", type=_seed, help="give three-digit codes for tasters"
    )
    _describe_printing(command)


def _describe_printing(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--print",
        choices=("day", "bench"),
        default="day",
        dest="which",
        help="the plan of the day, or a sheet for the bench for each formula, to work from",
    )
    describe_output(command, "plan", "svg is the picture of the day", of_file=True)
    command.add_argument(
        "--wide", action="store_true", help="tables as wide as they come, however wide the terminal"
    )
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def _seed(text: str) -> int:
    """A whole number up to nine digits."""
    if not (text.isascii() and text.isdigit()) or len(text) > 9:
        raise argparse.ArgumentTypeError(f"{text!r} is no seed; write a whole number like 7")
    return int(text)


def run(options: argparse.Namespace) -> int:
    need("plan")
    from perflour.bakeday.faults import Faults
    from perflour.bakeday.plan import DayRequest
    from perflour.bakeday.request import planned
    from perflour.report.forms import form_asked, rendered
    from perflour.system.destination import write_report

    subject = "bench sheets" if options.which == "bench" else "plan"
    form = form_asked(subject, options.output, options.write)  # before the long search
    watch = SearchWatch() if sys.stderr.isatty() and not wishes().quiet else None
    try:
        plan, results = planned(paths_of(options), request_of(DayRequest, options), watch)
    except Faults as faults:
        tell_results(faults.results)
        for one in faults.each:
            say(f"perflour: {visible(one.told(option_name))}\n")
        return COULD_NOT_RUN
    finally:
        if watch:
            watch.wipe()
    tell_results(results)
    if plan is None:
        return FOUND
    if plan.timetable.stopped:
        say("perflour: stopped; this is the best plan found so far\n")
    content = rendered(subject, form, plan, options.wide)
    write_report(options.write, content, [one.batch.source.path for one in plan.made])
    return FOUND if results else NOTHING


class SearchWatch:
    """One line on a terminal that says how long the search runs, what it is at, and what is best so far."""

    def __init__(self) -> None:
        self._width, self._told = 0, ""

    def __call__(self, now: Progress) -> None:
        from perflour.report.bakeday.plan import search_words

        if now.seconds >= LONG_SEARCH_S:
            self._show(search_words(now))

    def wipe(self) -> None:
        """Leave the line empty for what is printed next."""
        if self._width:
            self._show("")
            sys.stderr.write("\r")
            sys.stderr.flush()

    def _show(self, text: str) -> None:
        text = text[:WATCH_WIDTH]
        if text == self._told:
            return
        self._told = text
        sys.stderr.write(f"\r{text.ljust(self._width)}")
        sys.stderr.flush()
        self._width = max(self._width, len(text))
