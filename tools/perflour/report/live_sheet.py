"""Formulas as a workbook that computes: one sheet each, all of it from one cell, the mass of what is 100 %.

Cells to fill in are yellow and open, all others are locked, without a password. No text of a file becomes a
formula: texts are written as texts, and marked so. Every formula comes with the value that it has as written, so
that a reader that computes nothing shows it too.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from perflour.balance.balance import Balance
from perflour.balance.live_sheet import LiveLine, LivePart, LiveSheet, live_sheet
from perflour.plain import is_computed, one_line
from perflour.result import CannotRun

#: What a cell holds at most (the format's limit), and a name of a sheet.
MOST_TEXT, MOST_NAME = 32_767, 31
_NO_NAME = str.maketrans(dict.fromkeys("[]:*?/\\'", "-"))
#: The name that a spreadsheet keeps for itself.
RESERVED = "history"
GRAMS, PERCENT, FINE, COUNT = "[>=100]#,##0;[>=10]0.0;0.00", "0.0", "0.00", "General"
PART, ITEM, MASS, OWN, WHOLE, WRITTEN, STATE, SHARE, HUNDRED = range(9)
COUNTS = 9
WIDTHS = (36, 30, 12, 12, 12, 20, 16, 14, 14)
HOW = "Yellow cells are yours: fill in pieces, batch or 100 %, the first of them that holds a number counts; percentages may be changed too."
#: The rows of the cells that are filled in, and of those that everything hangs on.
PIECES, BATCH, HUNDRED_ROW, PIECE, USED, MADE, MAKES, SUM = range(4, 12)


def formulas_xlsx(balances: Sequence[Balance]) -> bytes:
    """A workbook of formulas. Raises CannotRun where one has nothing that can be weighed."""
    import datetime

    import xlsxwriter

    sheets = []
    for balance in balances:
        sheet = live_sheet(balance)
        if sheet is None:
            raise CannotRun(f"{balance.formula.id}: nothing in it has a mass, so nothing can be computed; write amounts")  # fmt: skip
        sheets.append(sheet)
    made = io.BytesIO()
    book = xlsxwriter.Workbook(made, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False})  # fmt: skip
    # the same bytes for the same formulas
    book.set_properties({"title": "Formulas", "created": datetime.datetime(2000, 1, 1)})
    looks = _Looks(book)
    names: set[str] = set()
    for sheet in sheets:
        _Page(book.add_worksheet(_name(sheet.formula.id, names)), sheet, looks).fill()
    book.close()
    return made.getvalue()


def _name(id: str, taken: set[str]) -> str:
    """A name for a sheet: of those allowed, and not had before."""
    base = one_line(id).translate(_NO_NAME)[:MOST_NAME] or "formula"
    name, number = base, 1
    while name.lower() in taken or name.lower() == RESERVED:
        number += 1
        name = f"{base[: MOST_NAME - 4]} {number}"
    taken.add(name.lower())
    return name


class _Looks:
    """Formats of cells, made when they are asked for: number, open or locked, bold, text marked as text."""

    def __init__(self, book: Any) -> None:
        self.book = book
        self._made: dict[tuple[Any, ...], Any] = {}

    def of(self, number: str = "", *, mine: bool = False, bold: bool = False, quoted: bool = False) -> Any:  # fmt: skip
        key = (number, mine, bold, quoted)
        if key not in self._made:
            look: dict[str, Any] = {"locked": not mine, "bold": bold, "valign": "top"}
            if number:
                look["num_format"] = number
            if mine:
                look |= {"bg_color": "#FFF2A8", "font_color": "#000000", "border": 1}
            if quoted:
                look["quote_prefix"] = True
            self._made[key] = self.book.add_format(look)
        return self._made[key]


class _Page:
    """One sheet being written. Rows count from 0, in formulas from 1."""

    def __init__(self, page: Any, sheet: LiveSheet, looks: _Looks) -> None:
        self.page, self.sheet, self.looks = page, sheet, looks
        self.head = SUM + 1 + len(sheet.ratios) + 1
        self.first = self.head + 1
        starts, at = [], self.first
        for part in sheet.parts:
            starts.append(at)
            at += len(part.lines)
        self.starts, self.end = starts, at

    def fill(self) -> None:
        for column, width in enumerate((*WIDTHS, *[12] * (1 + len(self.sheet.ratios)))):
            self.page.set_column(column, column, width)
        self._top()
        self._wanted()
        self._totals()
        self._headings()
        for part, start in zip(self.sheet.parts, self.starts, strict=True):
            for at, line in enumerate(part.lines):
                self._line(start + at, part, line, at == 0)
        self.page.freeze_panes(self.first, 2)
        self.page.fit_to_pages(1, 0)
        self.page.set_landscape()
        self.page.repeat_rows(self.head)
        self.page.protect("", {"format_columns": True, "format_rows": True})

    # --- cells ---

    def text(self, row: int, column: int, text: str, bold: bool = False) -> None:
        """A text as nothing but a text, whatever it begins with."""
        said = one_line(text)[:MOST_TEXT]
        look = self.looks.of(bold=bold, quoted=is_computed(said))
        self.page.write_string(row, column, said, look)

    def number(self, row: int, column: int, value: float | None, look: str, mine: bool) -> None:
        """A number, or an empty cell to fill in."""
        if value is None:
            self.page.write_blank(row, column, None, self.looks.of(look, mine=mine))
        else:
            self.page.write_number(row, column, value, self.looks.of(look, mine=mine))

    def computed(self, row: int, column: int, formula: str, value: float, look: str) -> None:
        """A formula of ours with the value that it has as written."""
        self.page.write_formula(row, column, f"={formula}", self.looks.of(look), value)

    # --- above the table ---

    def _top(self) -> None:
        sheet = self.sheet
        formula = sheet.formula
        self.text(0, 0, formula.title, bold=True)
        self.text(1, 0, f"{formula.id}, {formula.product_class}, {formula.status}, revision {sheet.digest}")  # fmt: skip
        self.text(2, 0, HOW)
        lacks = "" if not sheet.not_weighed else f"Not weighed, and in no sum: {', '.join(sheet.not_weighed)}. "  # fmt: skip
        self.text(3, 0, f"{lacks}Bake time, pans and mixing do not scale along; see the formula.")

    def _wanted(self) -> None:
        """What a baker fills in; empty, all is as written."""
        sheet = self.sheet
        for row, label, value in (
            (PIECES, "pieces wanted", None),
            (BATCH, "batch wanted, g", None),
            (HUNDRED_ROW, f"{self._hundred()} wanted, g", None),
            (PIECE, "weight of a piece, g", sheet.piece_g),
        ):
            self.text(row, 0, label)
            self.number(row, 1, value, COUNT if row == PIECES else GRAMS, True)
        above = {"validate": "decimal", "criteria": ">", "value": 0, "error_message": "Fill in a number above 0, or leave it empty."}  # fmt: skip
        self.page.data_validation(PIECES, 1, PIECE, 1, above)

    def _hundred(self) -> str:
        """What 100 % is, in words."""
        return f"100 % ({self.sheet.of})"

    def _totals(self) -> None:
        sheet = self.sheet
        tops = [at for at, part in enumerate(sheet.parts) if part.on_top]
        per_100 = "+".join(self._sum(WHOLE, at) for at in tops)
        pieces, batch, hundred, piece = (f"$B${row + 1}" for row in (PIECES, BATCH, HUNDRED_ROW, PIECE))  # fmt: skip
        as_written = f"{sheet.whole_g!r}"
        by_batch = f"IF(ISNUMBER({batch}),{batch}/({per_100})*100,IF(ISNUMBER({hundred}),{hundred},{as_written}))"  # fmt: skip
        by_pieces = f"IF(AND(ISNUMBER({pieces}),ISNUMBER({piece})),{pieces}*{piece}/({per_100})*100,{by_batch})"  # fmt: skip
        self.text(USED, 0, f"{self._hundred()}, g", bold=True)
        self.computed(USED, 1, by_pieces, sheet.whole_g, GRAMS)
        self.text(MADE, 0, "batch, g", bold=True)
        self.computed(MADE, 1, "+".join(self._sum(MASS, at) for at in tops), sheet.batch_g, GRAMS)
        self.text(MAKES, 0, "pieces of that weight")
        made = sheet.batch_g / sheet.piece_g if sheet.piece_g else 0.0
        self.computed(MAKES, 1, f"IF(ISNUMBER({piece}),$B${MADE + 1}/{piece},0)", made, COUNT)
        self.text(SUM, 0, "what counts as 100 % adds up to, %")
        flour = self._counted(0)
        self.computed(SUM, 1, flour, 100.0 if sheet.has_basis else 0.0, PERCENT)
        if sheet.has_basis:
            self._check(flour)
        for at, ratio in enumerate(sheet.ratios, 1):
            more = f" (more: {', '.join(ratio.lacking)} not counted)" if ratio.lacking else ""
            self.text(SUM + at, 0, f"{ratio.name}, % of {sheet.of}{more}")
            share = f"{self._counted(at)}/({flour})*100"
            self.computed(SUM + at, 1, share, ratio.percent, FINE if ratio.fine else PERCENT)

    def _check(self, flour: str) -> None:
        """Beside the sum: what a baker who changed a flour must still do."""
        warning = '"flours no longer add up to 100 %: change another one too"'
        look = self.looks.of(bold=True)
        self.page.write_formula(SUM, 2, f'=IF(ABS({flour}-100)>0.05,{warning},"")', look, "")

    def _sum(self, column: int, part: int) -> str:
        """The sum of a column over a part."""
        start = self.starts[part]
        end = start + len(self.sheet.parts[part].lines)
        return f"SUM({_range(column, start, end)})" if end > start else "0"

    def _counted(self, which: int) -> str:
        """The percent of the whole that count in the 100 %, or in a ratio."""
        shares = _range(COUNTS + which, self.first, self.end)
        return f"SUMPRODUCT({_range(WHOLE, self.first, self.end)},{shares})/100"

    # --- the table ---

    def _headings(self) -> None:
        heads = ["part", "ingredient", "amount (g)", "% of its part's 100 %", f"% of {self.sheet.of}", "as written", "state", "% of all that is the part's 100 %", "g of the part's 100 %"]  # fmt: skip
        heads += [f"% {name}" for name in ("in 100 %", *(ratio.name for ratio in self.sheet.ratios))]  # fmt: skip
        for column, head in enumerate(heads):
            self.text(self.head, column, head, bold=True)

    def _line(self, row: int, part: LivePart, line: LiveLine, is_first: bool) -> None:
        self.text(row, PART, part.name)
        self.text(row, ITEM, line.item)
        self.text(row, WRITTEN, line.written)
        self.text(row, STATE, line.state)
        if is_first and part.share_percent is not None:
            share = part.share_percent
            self.number(row, SHARE, share, FINE, True)
            hundred = f"{_cell(SHARE, row)}/100*$B${USED + 1}"
            self.computed(row, HUNDRED, hundred, share / 100 * self.sheet.whole_g, GRAMS)
        if line.grams is None:
            self.text(row, MASS, f"not weighed: {line.why_not}")
            return
        self._shares(row, part, line)
        mass = f"{_cell(WHOLE, row)}/100*$B${USED + 1}"
        self.computed(row, MASS, mass, line.grams, GRAMS)
        for at, share in enumerate(line.counts):
            if share:
                self.number(row, COUNTS + at, share * 100, COUNT, False)

    def _shares(self, row: int, part: LivePart, line: LiveLine) -> None:
        """Percent of the part's 100 % and of the whole: of an ingredient the first leads, of a part the second."""
        look = FINE if line.fine else PERCENT
        share = f"{_cell(SHARE, self.starts[self.sheet.parts.index(part)])}"
        if line.inner is not None:
            taken = f"{line.fraction!r}*{self._sum(WHOLE, line.inner)}"
            self.computed(row, WHOLE, taken, line.of_whole_percent, look)
            if line.percent is not None:
                self.computed(row, OWN, f"{_cell(WHOLE, row)}/{share}*100", line.percent, look)
        elif line.percent is None:
            self.number(row, WHOLE, line.of_whole_percent, look, True)
        else:
            self.number(row, OWN, line.percent, look, True)
            of_whole = f"{_cell(OWN, row)}*{share}/100"
            self.computed(row, WHOLE, of_whole, line.of_whole_percent, look)


def _cell(column: int, row: int) -> str:
    return f"${_letter(column)}${row + 1}"


def _range(column: int, start: int, end: int) -> str:
    """From a row up to, but not with, another."""
    return f"{_cell(column, start)}:{_cell(column, end - 1)}"


def _letter(column: int) -> str:
    return chr(ord("A") + column)  # never more than 26
