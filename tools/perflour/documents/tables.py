"""Rows of CSV files and XLSX workbooks as text, read with bounds; what the columns mean, others know."""

from __future__ import annotations

import csv
import io
import zipfile
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from perflour.plain import with_blanks
from perflour.result import CannotRun

#: More than any table of a kitchen, so that a wrong workbook takes no memory to open: its cells unpacked with all
#: else that is read, one file beside them (styles, names), files inside, columns.
MOST_READ_BYTES, MOST_BESIDE_BYTES = 10 * 1024**2, 1024**2
MOST_MEMBERS, MOST_COLUMNS = 1000, 200
#: So many sheets are named where the one that is asked for is not there.
MOST_NAMED = 20
_PICTURES = (".png", ".jpg", ".jpeg", ".gif", ".emf", ".wmf")


@dataclass(frozen=True)
class Row:
    """The cells of a row as text, with what is wrong in one of them, and its number in the file."""

    cells: tuple[str, ...]
    number: int
    problem: str = ""


@dataclass(frozen=True)
class Reading:
    """How a table is read: what it holds in words, how many rows at most, what a workbook's cell says.

    ``cell`` gives the text of a value that is there, and what is wrong with it.
    """

    what: str
    most_rows: int
    cell: Callable[[Any], tuple[str, str]]


def table_rows(
    content: bytes, path: str, reading: Reading, sheet: str = ""
) -> tuple[str, list[Row]]:
    """The name of the workbook's sheet, where somebody gave it one, and all rows that are not empty.

    Raises CannotRun for what cannot be read or is too much.
    """
    if content.startswith(b"PK"):
        return _workbook(content, path, reading, sheet)
    return "", _csv(content, path, reading)


def cell_text(value: Any) -> str:
    """The value of a cell on one line."""
    return " ".join(with_blanks(str(value)).split())


def _csv(content: bytes, path: str, reading: Reading) -> list[Row]:
    text = _decoded(content)
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(";\t,", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    rows: list[Row] = []
    try:
        for cells in reader:
            rows.append(Row(tuple(" ".join(cell.split()) for cell in cells), reader.line_num))
            _check_number(len(rows), path, reading)
    except csv.Error as error:
        raise CannotRun(
            f"{path}:{reader.line_num}:1: no CSV that can be read ({error}); export the sheet again"
        ) from None
    return [row for row in rows if any(row.cells)]


def _decoded(content: bytes) -> str:
    try:
        return content.decode("utf-8-sig").replace("\0", " ")
    except UnicodeDecodeError:
        return content.decode("cp1252", "replace").replace("\0", " ")


def _check_number(rows: int, path: str, reading: Reading) -> None:
    if rows > reading.most_rows:
        raise CannotRun(
            f"{path}: more than {reading.most_rows} rows, no {reading.what}; cut out the {reading.what}'s rows"
        )


def _workbook(content: bytes, path: str, reading: Reading, sheet: str) -> tuple[str, list[Row]]:
    try:
        _refuse_too_much_inside(content, path, reading)
        return _read_workbook(content, path, reading, sheet)
    except CannotRun:
        raise
    except (
        Exception
    ):  # of a torn one openpyxl, zipfile and the XML parser raise whatever they stumble over
        raise CannotRun(f"{path}: no workbook that can be read; save it as .xlsx or CSV") from None


def _refuse_too_much_inside(content: bytes, path: str, reading: Reading) -> None:
    """Refuse by the sizes in the zip's own list what would take memory to open, before it is opened.

    zipfile reads no more of a member than that list says.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        sizes = {info.filename.lower(): info.file_size for info in archive.infolist()}
    if len(sizes) > MOST_MEMBERS:
        said = f"has {len(sizes)} files inside, more than {MOST_MEMBERS}"
        raise _too_much(path, said, reading)
    read = {name: size for name, size in sizes.items() if not name.endswith(_PICTURES)}
    if (total := sum(read.values())) > MOST_READ_BYTES:
        said = f"unpacks to {_mib(total)} MiB, more than {_mib(MOST_READ_BYTES)}"
        raise _too_much(path, said, reading)
    for name, size in read.items():
        if not _holds_cells(name) and size > MOST_BESIDE_BYTES:
            said = f"{_mib(size)} MiB of styles and names ({name}), more than {_mib(MOST_BESIDE_BYTES)}"
            raise _too_much(path, f"holds {said}", reading)


def _holds_cells(name: str) -> bool:
    return name.startswith("xl/worksheets/") or name == "xl/sharedstrings.xml"


def _mib(size: int) -> str:
    return f"{size / 1024**2:.0f}"


def _too_much(path: str, said: str, reading: Reading) -> CannotRun:
    return CannotRun(f"{path}: {said}; copy the {reading.what}'s cells to a new workbook")


def _read_workbook(
    content: bytes, path: str, reading: Reading, sheet: str
) -> tuple[str, list[Row]]:
    from openpyxl import load_workbook  # only for workbooks: docs/performance.md

    book = load_workbook(io.BytesIO(content), read_only=True, data_only=True, keep_links=False)
    if sheet and sheet not in book.sheetnames:
        names = book.sheetnames[:MOST_NAMED]
        more = f" and {len(book.sheetnames) - MOST_NAMED} more" * (
            len(book.sheetnames) > MOST_NAMED
        )
        raise CannotRun(f"{path}: no sheet named '{sheet}'; it has {', '.join(names)}{more}")
    page = book[sheet] if sheet else book.worksheets[0]
    page.reset_dimensions()  # what the sheet says of its size may be wrong, and rows be left out
    rows: list[Row] = []
    for number, cells in enumerate(page.iter_rows(values_only=True), 1):
        _check_number(number, path, reading)
        wide = next((at for at in range(len(cells), 0, -1) if cells[at - 1] is not None), 0)
        if wide > MOST_COLUMNS:
            said = f"has {wide} columns in row {number}, more than {MOST_COLUMNS}"
            raise _too_much(path, said, reading)
        said_by = [("", "") if value is None else reading.cell(value) for value in cells[:wide]]
        texts, problems = zip(*said_by, strict=True) if wide else ((), ())
        if any(texts):
            rows.append(Row(tuple(texts), number, next(filter(None, problems), "")))
    generic = page.title.lower().startswith("sheet")
    return ("" if generic else page.title), rows
