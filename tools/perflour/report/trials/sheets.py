"""The printed sheets of a session: one for each taster, and the server's list, which names the samples."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from perflour.plain import csv_text, markdown, one_line
from perflour.records.serving import Served
from perflour.records.session_check import figures_asked
from perflour.report.form.columns import columns, prose_width, wrap
from perflour.report.form.html_page import html_page
from perflour.report.form.markdown import markdown_table
from perflour.trials.tasting_sheets import TastingSheets

#: D. R. Peryam and F. J. Pilgrim, Hedonic scale method of measuring food preferences, Food Technology
#: 11 (1957) 9-14 (from memory).
SCALE = (
    "9 like extremely",
    "8 like very much",
    "7 like moderately",
    "6 like slightly",
    "5 neither like nor dislike",
    "4 dislike slightly",
    "3 dislike moderately",
    "2 dislike very much",
    "1 dislike extremely",
)
IN_ORDER = (
    "Taste in this order. Rinse your mouth with water before each sample, and do not go back to one "
    "that you have left. Do not talk about the samples until all are done."
)
#: Who puts many in order has to compare: ISO 8587 leaves it to the server (from memory).
THEN_AGAIN = (
    "Taste in this order first; then go back as you need. Rinse your mouth with water before each sample. "
    "Do not talk about the samples until all are done."
)
#: Common practice, no source.
MOST_AT_ONCE = 6
REST = f"More than {MOST_AT_ONCE} samples tire the tongue: give tasters a rest after each {MOST_AT_ONCE}."
REFERENCE = "reference"
SERVER_ONLY = "For the server alone: tasters must not see this list."
#: Signs of a line to write on; remarks have what is left of the width, between these.
SHORT, LONG, SHORTEST_REMARK = 4, 24, 8
#: Beyond so many samples rows are set closer, so that twelve and all that stands around them fit a page.
MOST_WIDE_ROWS = 6


@dataclass(frozen=True)
class TastingSheet:
    """One page: ``warnings`` first, then what to do, a table whose empty cells are to be filled in."""

    title: str
    warnings: tuple[str, ...]
    task: tuple[str, ...]
    headers: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    below: tuple[str, ...]


def pages(sheets: TastingSheets, which: str = "all") -> list[TastingSheet]:
    """The sheets to print: the server's, the tasters', or all of them, the server's first."""
    found = []
    if which in ("server", "all"):
        found.append(_server_sheet(sheets))
    if which in ("tasters", "all"):
        found += [_taster_sheet(sheets, served) for served in sheets.session.present]
    return found


def _taster_sheet(sheets: TastingSheets, served: Served) -> TastingSheet:
    session = sheets.session
    scored = session.ask == "scores"
    blanks: tuple[str, ...] = ("rank",) if session.ask == "ranking" else ("your choice",)
    if scored:
        blanks = tuple(map(one_line, session.attributes))
    rows = [(code, *("" for _ in blanks), "") for code in served.codes]
    if session.ask == "duo-trio":
        rows[0] = (served.codes[0], REFERENCE, "")
    return TastingSheet(
        title=f"Tasting sheet, {session.date}, taster {one_line(served.taster)}",
        warnings=(*_allergen_words(sheets), *(each.text for each in sheets.warned.in_short)),
        task=(*_task(sheets), THEN_AGAIN if session.ask == "ranking" else IN_ORDER),
        headers=("sample", *blanks, "remarks"),
        rows=tuple(rows),
        below=(", ".join(SCALE),) if scored else (),
    )


def _task(sheets: TastingSheets) -> tuple[str, ...]:
    session = sheets.session
    guess = "Choose one even where you have to guess."
    match session.ask:
        case "scores":
            return ("Give each sample a whole number from 1 to 9 for how you like it.",)
        case "preference":
            return (f"Which of the two do you like better? {guess}",)
        case "difference":
            return (f"Which of the two has more: {one_line(session.attributes[0])}? {guess}",)
        case "ranking":
            by = (
                f"that has most: {one_line(session.attributes[0])}"
                if session.attributes
                else "that you like best"
            )
            return (
                f"Put the samples in order: 1 for the one {by}, {len(session.samples)} for the one at the other "
                f"end, each number once. {guess.replace('Choose one', 'Put them in order')}",
            )
        case "duo-trio":
            return (f"The first is the reference. Which of the other two is the same? {guess}",)
        case _:
            return (f"Two of these three are the same. Which is the odd one? {guess}",)


def _allergen_words(sheets: TastingSheets) -> tuple[str, ...]:
    warned = sheets.warned
    lists = [("US list", warned.us), ("EU list", warned.eu), ("declared besides", warned.declared)]
    said = [
        f"Allergens in these samples, {name}: {', '.join(held)}." for name, held in lists if held
    ]
    if not said:
        said = ["Allergens in these samples: none by what is known here."]
    if warned.not_known:
        said.append(
            f"Allergens not known: {', '.join(map(one_line, warned.not_known))}; they may bring any."
        )
    return tuple(map(one_line, said))


def _server_sheet(sheets: TastingSheets) -> TastingSheet:
    session = sheets.session
    named = [
        f"{' and '.join(named.sample.codes)}: {one_line(named.title)} ({named.sample.formula}), "
        f"revision {named.sample.of}"
        + (f", test bake {one_line(named.sample.bake)}" if named.sample.bake else "")
        for named in sheets.samples
    ]
    if len({named.sample.of for named in sheets.samples}) < len(named):
        named.append("Two samples are of the same revision.")
    most = max(len(served.codes) for served in session.order)
    return TastingSheet(
        title=f"Server's list, {session.date} ({session.ask}, seed {session.seed})",
        warnings=(
            SERVER_ONLY,
            *_allergen_words(sheets),
            *(caution.text for caution in sheets.warned.cautions),
        ),
        task=(*named, _balance_words(sheets), *([REST] if len(named) > MOST_AT_ONCE else [])),
        headers=("taster", *(f"{n}." for n in range(1, most + 1))),
        rows=tuple((one_line(served.taster), *served.codes) for served in session.order),
        below=("Same plates, same size, same warmth for all; cut each sample with a clean knife.",),
    )


def _balance_words(sheets: TastingSheets) -> str:
    tasters = len(sheets.session.order)
    people = f"{tasters} taster{'s'[: tasters != 1]}"
    if sheets.is_balanced:
        return f"The order is balanced over {people}."
    return (
        f"The order is balanced over {sheets.rows} tasters or a multiple of that; "
        f"{people} come as near as can be."
    )


def sheets_text(sheets: TastingSheets, which: str = "all") -> str:
    """For a printer of plain text: a form feed between the pages."""
    return "\f\n".join(_page_text(page) for page in pages(sheets, which))


def _page_text(page: TastingSheet) -> str:
    rows = _open_rows(page.headers, page.rows)
    table = columns(page.headers, rows, "<" * len(page.headers))
    lines = [page.title, "=" * len(page.title), "", *_wrapped(page.warnings, "! "), ""]
    lines += [*_wrapped(page.task), "", *table]
    if page.below:
        lines += ["", *_wrapped(page.below)]
    return "\n".join(lines) + "\n"


def _open_rows(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> list[list[str]]:
    """Lines to write on where a cell is empty, long ones for remarks, and room between the rows."""
    others = sum(max(len(head), SHORT) + 2 for head in headers[:-1])
    remark = max(SHORTEST_REMARK, min(LONG, prose_width() - others))
    ruled = [
        [cell or "_" * (remark if at == len(row) - 1 else SHORT) for at, cell in enumerate(row)]
        for row in rows
    ]
    return [line for row in ruled for line in (row, [""] * len(row))][:-1]


def _wrapped(sentences: Sequence[str], sign: str = "") -> list[str]:
    indent = " " * len(sign)
    return [
        line
        for sentence in sentences
        for line in wrap(sentence, prose_width(), initial_indent=sign, subsequent_indent=indent)
    ]


def sheets_markdown(sheets: TastingSheets, which: str = "all") -> str:
    """One heading a page, a rule between pages."""
    return "\n---\n\n".join(_page_markdown(page) for page in pages(sheets, which))


def _page_markdown(page: TastingSheet) -> str:
    lines = [f"# {markdown(page.title)}", ""]
    lines += [f"- **{markdown(text)}**" for text in page.warnings]
    lines += ["", *(f"{markdown(text)}\n" for text in page.task)]
    lines += markdown_table(page.headers, page.rows)
    lines += [f"\n{markdown(text)}" for text in page.below]
    return "\n".join(lines) + "\n"


def answers_csv(sheets: TastingSheets, which: str = "all") -> str:
    """A table to fill in, which `perflour bake answers` reads; it names no sample, whichever sheets are asked for."""
    session = sheets.session
    figures = figures_asked(session.ask, session.attributes)
    rows = [
        (served.taster, code, *("" for _ in figures))
        for served in session.present
        for code in (served.codes if figures else [""])
    ]
    return csv_text([("taster", "code", *figures), *rows])


def sheets_html(sheets: TastingSheets, which: str = "all") -> str:
    """One file for the browser's print command, a page each. Every text is escaped."""
    return html_page(
        "tasting_sheets.html",
        date=sheets.session.date,
        pages=pages(sheets, which),
        most_wide_rows=MOST_WIDE_ROWS,
    )
