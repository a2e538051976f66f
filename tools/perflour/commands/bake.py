"""`perflour bake`: record, check and judge test bakes and blind tastings."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

from perflour.commands.bake_options import describe
from perflour.commands.parts import (
    FOUND,
    NOTHING,
    paths_of,
    print_made,
    refuse_nothing,
    remark,
    say,
    tell_lines,
)
from perflour.plain import one_line, printable, visible
from perflour.result import CannotRun
from perflour.system.extras import need
from perflour.system.terminal import wishes

if TYPE_CHECKING:
    from perflour.trials.kept_photos import KeptPhoto

__all__ = ["CODES", "EXAMPLE", "describe", "run"]

EXAMPLE = "perflour bake list formulas/oat-date-loaf"
CODES = ("done", "something to see to: `perflour bake WHAT --help` says what")

#: The subject of the forms that sheets have.
SHEETS = "tasting sheets"
#: What a folder of records to be checked holds: formulas have their test bakes beside them, or none yet.
CHECKED = ("formula", "bake", "session")


class Printed(NamedTuple):
    """What goes to the terminal, and the exit code."""

    text: str
    code: int = NOTHING


def run(options: argparse.Namespace) -> int:
    printed = _printed(options)
    print_made(printed.text)
    return printed.code


def _printed(options: argparse.Namespace) -> Printed:
    """One of the commands. Raises CannotRun."""
    match options.what:
        case "new":
            return _new(options)
        case "list":
            return _list(options, paths_of(options))
        case "check":
            return _check(options, paths_of(options))
        case "session":
            return _session(options)
        case "sheets":
            return _sheets(options, options.session)
        case "answers":
            return _answers(options)
    return _judge(options, paths_of(options))


def _new(options: argparse.Namespace) -> Printed:
    from perflour.evidence.since import since_last_bake
    from perflour.history.revisions import named_revision
    from perflour.report.evidence.since import since_text
    from perflour.system.paths import display_path
    from perflour.trials.bake_prompts import ask_about_photos, ask_for_missing
    from perflour.trials.bake_request import CONDITIONS, BakeSaid, record_bake

    if options.photo:
        need("photos")
    revision = named_revision(options.formula)
    said = BakeSaid(
        baker=options.baker,
        verdict=options.verdict,
        date=options.date,
        batch=options.batch,
        conditions={
            name: value
            for name in CONDITIONS
            if (value := getattr(options, name.replace("-", "_")))
        },
        measured=options.measured,
        scores=options.scores,
        notes=options.notes,
        next_try=options.next,
        next_because=options.because,
        photos=options.photo,
    )
    missing = [name for name in ("baker", "verdict") if not getattr(said, name).strip()]
    if missing and not sys.stdin.isatty():
        raise CannotRun(
            f"a record needs {' and '.join(f'--{name}' for name in missing)}; give them, or run this on a terminal"
        )
    if missing:
        formula = revision.weighed.formula
        say(one_line(f"{formula.title} ({formula.id}), revision {revision.digest}") + "\n")
        said = ask_for_missing(replace(said, baker=said.baker.strip()), _ask, _tell)
    if sys.stdin.isatty():
        said = ask_about_photos(said, _ask)
    recorded = record_bake(revision, said)
    _tell_of_photos(recorded.photos)
    written = visible(display_path(str(recorded.path)))
    if changed := since_last_bake(revision):
        remark(since_text(changed))
    return Printed(printable(f"{written}\n"))


def _tell_of_photos(photos: Sequence[KeptPhoto]) -> None:
    from perflour.system.paths import display_path

    for photo in photos:
        if photo.told:
            _tell(one_line(photo.told))
        if not photo.entry.get("alt"):
            shown = display_path(str(photo.path))
            _tell(one_line(f"{shown}: has no words for those who do not see it; write `alt`"))


def _ask(question: str) -> str:
    """A question on stderr, so that what is printed stays the path alone."""
    say(question)
    return input()


def _tell(text: str) -> None:
    say(f"{text}\n")


def _list(options: argparse.Namespace, paths: list[str]) -> Printed:
    from perflour.report.forms import maker
    from perflour.trials.bake_list import list_bakes

    found = list_bakes(paths)
    if not found:
        from perflour.system.named import no_formula_in

        raise no_formula_in(paths)
    problems = [problem for formula in found for problem in formula.problems]
    tell_lines(problems)
    return Printed(str(maker("bakes", options.output)(found)), FOUND if problems else NOTHING)


def _check(options: argparse.Namespace, paths: list[str]) -> Printed:
    from perflour.report.forms import maker
    from perflour.system.named import hold_any
    from perflour.system.paths import display_path
    from perflour.trials.bake_check import check_records, places_taken_out, renew_records

    if options.take_out_places:
        for line in places_taken_out(paths):
            _tell(one_line(line))
    if options.renew:
        for path in renew_records(paths):
            remark(f"{visible(display_path(str(path)))}: digest renewed\n")
    files, results = check_records(paths)
    text = str(maker("records", options.output)(results, files, not wishes().quiet))
    if not (files or options.if_any or hold_any(paths, CHECKED)):
        refuse_nothing(options, "formula or record", text.encode)
    return Printed(text, FOUND if any(r.level != "note" for r in results) else NOTHING)


def _session(options: argparse.Namespace) -> Printed:
    from perflour.system.paths import display_path
    from perflour.trials.session_request import SessionSaid, record_session

    _form(options)  # before codes are drawn
    said = SessionSaid(
        samples=options.samples,
        tasters=options.tasters,
        ask=options.ask,
        attributes=options.attributes,
        expect=options.expect,
        question=options.question,
        date=options.date,
        seed=options.seed,
        expect_order=options.expect_order,
    )
    recorded = record_session(said)
    path = str(recorded.path)
    did = (
        "written" if recorded.is_new else "is drawn already and nobody has tasted; its sheets again"
    )
    remark(f"{visible(display_path(path))} {did}; put in what tasters say\n")
    return _sheets(options, path)


def _form(options: argparse.Namespace) -> str:
    from perflour.report.forms import form_asked

    return form_asked(SHEETS, options.output, options.write)


def _sheets(options: argparse.Namespace, path: str) -> Printed:
    from perflour.report.forms import maker
    from perflour.trials.tasting_sheets import tasting_sheets

    text = str(maker(SHEETS, _form(options))(tasting_sheets(path), options.which))
    if not options.write:
        return Printed(text)
    from perflour.system.destination import write_report

    write_report(options.write, text.encode(), [path])
    return Printed("")


def _answers(options: argparse.Namespace) -> Printed:
    from perflour.system.paths import display_path
    from perflour.trials.answers import put_in

    done = put_in(options.session, options.table, options.sheet)
    tell_lines(done.results)
    shown = visible(display_path(str(done.path)))
    if done.results:
        say(f"{shown}: nothing is written; mend the table and ask again\n")
        return Printed("", FOUND)
    blank = f", {done.blank} without any left out" if done.blank else ""
    missing = f"; {done.missing} are still to come" if done.missing else ""
    rows = f"{done.rows} row{'s'[: done.rows != 1]}"
    return Printed(printable(f"{shown}: {rows} of answers put in{blank}{missing}\n"))


def _judge(options: argparse.Namespace, paths: list[str]) -> Printed:
    need("tasting")
    from perflour.report.forms import maker
    from perflour.trials.judging import judge

    found = judge(paths)
    tell_lines(found.results)
    text = str(maker("judgements", options.output)(found, options.pairs))
    return Printed(text, FOUND if found.results else NOTHING)
