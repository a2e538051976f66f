"""What the words after `perflour bake` take."""

from __future__ import annotations

import argparse
from dataclasses import replace
from typing import Any

from perflour.commands.parts import describe_gate, describe_output, describe_words
from perflour.records.tasting import ASKS
from perflour.trials.bake_request import CONDITIONS
from perflour.trials.kept_photos import PhotoSaid

_CONDITIONS = {
    "flour-lot": "the lot or delivery of the flour",
    "room": "how warm and damp it was, like `22 °C`",
    "oven": "which oven, and how it was set",
    "altitude": "above sea level, like `450 m`",
}
_PATHS = "formulas, test bakes, sessions or folders (default: formulas/)"


def describe(command: argparse.ArgumentParser) -> None:
    describe_words(
        command,
        (
            (
                "new",
                _describe_new,
                "record a test bake, asking for what is not said",
                'perflour bake new formulas/oat-date-loaf --baker R --verdict keep --scores "A: crumb=8"',
                ("recorded",),
            ),
            (
                "list",
                _describe_list,
                "test bakes with verdict, scores and what to try next",
                "perflour bake list formulas/oat-date-loaf",
                ("every test bake is listed", "a record cannot be read; it is told on stderr"),
            ),
            (
                "check",
                _describe_check,
                "hold records against history, photos and themselves",
                "perflour bake check formulas/rye-poolish-loaf",
                ("nothing is wrong", "an error or a warning"),
            ),
            (
                "session",
                _describe_session,
                "draw codes and orders for a blind tasting, print its sheets",
                "perflour bake session formulas/oat-date-loaf formulas/oat-date-loaf@e78c28792765 --tasters 6",
                ("the session is written, or its sheets again",),
            ),
            (
                "sheets",
                _describe_sheets,
                "print the sheets of a session again",
                "perflour bake sheets formulas/sessions/2026-11-25.yaml",
                ("the sheets are printed or written",),
            ),
            (
                "answers",
                _describe_answers,
                "put what tasters said into a session, from CSV or XLSX",
                "perflour bake answers formulas/sessions/2026-11-29.yaml said.csv",
                ("put in", "the table has faults, told on stderr; nothing is written"),
            ),
            (
                "judge",
                _describe_judge,
                "what scores and choices show, and what they cannot",
                "perflour bake judge formulas/sessions",
                ("judged", "a record has faults, told on stderr"),
            ),
        ),
    )


def _describe_new(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "formula",
        metavar="FORMULA[@REV]",
        help="what was baked: the id, file or folder of a formula, as it is or at a revision",
    )
    command.add_argument("--baker", default="", metavar="NAME", help="initials or role")
    command.add_argument(
        "--verdict", choices=("keep", "change", "reject"), default="", help="what was decided"
    )
    command.add_argument(
        "--date", default="", metavar="DAY", help="like 2026-03-14 (default: today)"
    )
    command.add_argument(
        "--batch", default="", metavar="N", help="how many times the formula: 1, 1/2"
    )
    for name in CONDITIONS:
        command.add_argument(
            f"--{name}", default="", metavar="TEXT", help=f"condition: {_CONDITIONS[name]}"
        )
    command.add_argument(
        "--measured",
        action="append",
        default=[],
        metavar="NAME=READING",
        help="like core='97 °C'; may be repeated",
    )
    command.add_argument(
        "--scores",
        action="append",
        default=[],
        metavar="TASTER:SCORES",
        help="like 'A: crumb=7, flavour=8', each 1 to 9; may be repeated",
    )
    command.add_argument("--notes", default="", metavar="TEXT", help="what was seen and tasted")
    command.add_argument("--next", default="", metavar="TEXT", help="the one change to try next")
    command.add_argument("--because", default="", metavar="TEXT", help="why")
    command.add_argument(
        "--photo",
        action=_Photo,
        default=[],
        metavar="FILE",
        help="JPEG, PNG or WebP, kept beside the record without what the camera noted; may be repeated",
    )
    command.add_argument(
        "--caption", action=_Photo, dest="photo", metavar="TEXT", help="of the photo before it"
    )
    command.add_argument(
        "--alt",
        action=_Photo,
        dest="photo",
        metavar="TEXT",
        help="what the photo before it shows, for those who do not see it",
    )


class _Photo(argparse.Action):
    """A photo, or what is said of the one that was named last."""

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        options: argparse.Namespace,
        said: Any,
        option: str | None = None,
    ) -> None:
        *others, last = getattr(options, self.dest) or [None]
        if option == "--photo":
            options.photo = [*filter(None, (*others, last)), PhotoSaid(said)]
        elif last is None:
            parser.error(f"{option} says something of a photo; name that first, with --photo")
        else:
            field = str(option).removeprefix("--")
            if getattr(last, field):
                parser.error(f"{option} is given twice for {last.path}")
            options.photo = [*others, replace(last, **{field: said})]


def _describe_list(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help=_PATHS)
    describe_output(command, "bakes")


def _describe_check(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help=_PATHS)
    command.add_argument(
        "--renew",
        action="store_true",
        help="write the digests of today in records that name those reckoned before",
    )
    command.add_argument(
        "--take-out-places",
        action="store_true",
        help="write photos that tell where they were taken without that, and their hashes in the records",
    )
    describe_gate(command)
    describe_output(command, "records")


def _describe_session(command: argparse.ArgumentParser) -> None:
    command.add_argument("samples", nargs="+", metavar="FORMULA[@REV]", help="what is tasted")
    command.add_argument(
        "--tasters", required=True, metavar="NAMES", help="names with commas, or their number"
    )
    command.add_argument(
        "--ask",
        choices=ASKS,
        default="scores",
        help="scores from 1 to 9; which of two is liked better; which has more of something; the odd one of three; all in order; which of two is the reference",
    )
    command.add_argument(
        "--attributes",
        default="",
        metavar="NAMES",
        help="what is scored (default: overall), or the one that is compared or put in order by",
    )
    command.add_argument(
        "--expect",
        type=int,
        metavar="N",
        help="for a difference: the number of the sample that is expected to have more",
    )
    command.add_argument(
        "--expect-order",
        default="",
        metavar="NUMBERS",
        help="for a ranking: the numbers of the samples in the order that is expected, like 3,1,2",
    )
    command.add_argument("--question", default="", metavar="TEXT", help="what it is to find out")
    command.add_argument(
        "--date", default="", metavar="DAY", help="like 2026-03-14 (default: today)"
    )
    command.add_argument("--seed", type=int, metavar="N", help="to draw the same again")
    _add_printing(command)


def _describe_sheets(command: argparse.ArgumentParser) -> None:
    command.add_argument("session", metavar="FILE", help="the record of the session")
    _add_printing(command)


def _describe_answers(command: argparse.ArgumentParser) -> None:
    command.add_argument("session", metavar="FILE", help="the record of the session")
    command.add_argument(
        "table",
        metavar="TABLE",
        help="CSV or XLSX, its first row the headings taster, code and each attribute (or rank)",
    )
    command.add_argument(
        "--sheet", default="", metavar="NAME", help="of a workbook (default: first)"
    )


def _add_printing(command: argparse.ArgumentParser) -> None:
    describe_output(command, "tasting sheets", of_file=True)
    command.add_argument(
        "--print",
        choices=("tasters", "server", "all"),
        default="all",
        dest="which",
        help="the sheets of the tasters, the server's list that names the samples, or all",
    )
    command.add_argument("--write", metavar="PATH", help="write a file, not to the terminal")


def _describe_judge(command: argparse.ArgumentParser) -> None:
    command.add_argument("paths", nargs="*", help=_PATHS)
    command.add_argument(
        "--pairs", action="store_true", help="of a session also every pair of samples"
    )
    describe_output(command, "judgements")
