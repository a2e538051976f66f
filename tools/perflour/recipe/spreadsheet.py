"""An ingredient sheet, CSV or XLSX, to a sorted recipe: one ingredient a row, columns by their headings."""

from __future__ import annotations

import csv
import io
import os
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import Any

from perflour.kitchen.numbers import mixed
from perflour.recipe.recipe_text import MOST_LINES, CellLine, PartLines, RecipeText, TextLine
from perflour.result import CannotRun, Place, request_field

#: What a column may hold, with the headings by which it is known without --columns.
COLUMNS = {
    "line": ("line", "ingredient line"),
    "item": ("item", "ingredient", "ingredients", "name", "material", "raw material"),
    "amount": ("amount", "quantity", "qty", "weight", "measure", "mass"),
    "unit": ("unit", "units", "uom", "unit of measure"),
    "state": ("state", "prep", "preparation", "form"),
    "part": ("part", "section", "component", "stage"),
    "note": ("note", "notes", "remark", "remarks", "comment", "comments"),
}
#: More than any recipe, so that a wrong workbook takes no memory to open: its cells unpacked with all else that
#: is read, one file beside them (styles, names), files inside, columns.
MOST_READ_BYTES, MOST_BESIDE_BYTES = 10 * 1024**2, 1024**2
MOST_MEMBERS, MOST_COLUMNS = 1000, 200
#: So many sheets are named where the one that is asked for is not there.
MOST_NAMED = 20
_PICTURES = (".png", ".jpg", ".jpeg", ".gif", ".emf", ".wmf")
_UNITS_IN_HEADING = ("g", "kg", "oz", "lb", "ml", "l")


@dataclass(frozen=True)
class _Row:
    """The cells of a row as text, with what is wrong in one of them, and its number in the file."""

    cells: tuple[str, ...]
    number: int
    problem: str = ""


def sorted_spreadsheet(content: bytes, path: str, columns: str = "", sheet: str = "") -> RecipeText:
    """The recipe of a sheet. ``columns`` is like ``item=Ingredient,amount=Qty``. Raises CannotRun."""
    is_workbook = content.startswith(b"PK")
    title, rows = _workbook(content, path, sheet) if is_workbook else ("", _csv(content, path))
    title = title or os.path.splitext(os.path.basename(path))[0].replace("-", " ").replace("_", " ")
    if not rows:
        raise CannotRun(f"{path}: holds no rows; check the file and the sheet")
    at, mapping, unit = _mapping(rows, columns, path)
    lines: dict[str, list[TextLine | CellLine]] = {}
    for row in rows[at + 1 :]:
        if any(row.cells):
            part, line = _line(row, mapping, unit, path)
            lines.setdefault(part.lower(), []).append(line)
    part_lines = tuple(PartLines(name, tuple(found)) for name, found in lines.items())
    return RecipeText(title=title.strip().capitalize(), part_lines=part_lines)


def _line(
    row: _Row, mapping: dict[str, int], unit: str, path: str
) -> tuple[str, TextLine | CellLine]:
    def cell(key: str) -> str:
        at = mapping.get(key, -1)
        return row.cells[at] if 0 <= at < len(row.cells) else ""

    place = Place(path, row.number, mapping.get("item", mapping.get("line", 0)) + 1)
    left = [text for at, text in enumerate(row.cells) if text and at not in mapping.values()]
    note = "; ".join(filter(None, (cell("note"), *left)))
    if cell("line") and not cell("item"):
        return cell("part"), TextLine(" ".join(filter(None, (cell("line"), note))), place)
    amount = cell("amount")
    if amount:
        amount = f"{amount} {cell('unit') or unit}".strip()
    problem = row.problem or ("" if cell("item") else "the row names no item; write one")
    return cell("part"), CellLine(amount, cell("item"), cell("state"), note, place, problem)


def _mapping(rows: Sequence[_Row], columns: str, path: str) -> tuple[int, dict[str, int], str]:
    """The row of headings, the column of each key, and the unit that the amount's heading names."""
    asked = dict(_asked(columns))
    for at, row in enumerate(rows[:20]):
        headings = [heading.strip().lower() for heading in row.cells]
        mapping: dict[str, int] = {}
        unit = ""
        for key, known in COLUMNS.items():
            names = (asked[key],) if key in asked else known if not asked else ()
            for number, heading in enumerate(headings):
                bare, in_heading = _without_unit(heading)
                if (heading in names or bare in names) and number not in mapping.values():
                    mapping[key] = number
                    unit = in_heading if key == "amount" else unit
                    break
        if mapping.keys() & {"item", "line"} and set(asked) <= set(mapping):
            return at, mapping, unit
    said = ", ".join(filter(None, rows[0].cells))
    raise CannotRun(
        f"{path}:{rows[0].number}:1: no columns for item and amount among the headings ({said}); "
        f"say which with {request_field('columns')} item=...,amount=..."
    )


def _asked(columns: str) -> Iterator[tuple[str, str]]:
    for piece in filter(None, (piece.strip() for piece in columns.split(","))):
        key, equals, heading = piece.partition("=")
        if key.strip() not in COLUMNS or not equals or not heading.strip():
            raise CannotRun(
                f"{request_field('columns')}: '{piece}' is not understood; write KEY=HEADING with a key of {', '.join(COLUMNS)}"
            )
        yield key.strip(), heading.strip().lower()


def _without_unit(heading: str) -> tuple[str, str]:
    """ "Weight (g)" and "amount in g": the heading without its unit, and the unit."""
    bare, _, unit = heading.replace(" in ", " (").rstrip(") ").rpartition("(")
    return (bare.strip(), unit) if unit in _UNITS_IN_HEADING else (heading, "")


def _csv(content: bytes, path: str) -> list[_Row]:
    text = _decoded(content)
    first = next((line for line in text.splitlines() if line.strip()), "")
    delimiter = max(";\t,", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    rows: list[_Row] = []
    try:
        for cells in reader:
            rows.append(_Row(tuple(" ".join(cell.split()) for cell in cells), reader.line_num))
            _check_number(len(rows), path)
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


def _check_number(rows: int, path: str) -> None:
    if rows > MOST_LINES:
        raise CannotRun(
            f"{path}: more than {MOST_LINES} rows, no recipe; cut out the recipe's rows"
        )


def _workbook(content: bytes, path: str, sheet: str) -> tuple[str, list[_Row]]:
    try:
        _refuse_too_much_inside(content, path)
        return _read_workbook(content, path, sheet)
    except CannotRun:
        raise
    except (
        Exception
    ):  # of a torn one openpyxl, zipfile and the XML parser raise whatever they stumble over
        raise CannotRun(f"{path}: no workbook that can be read; save it as .xlsx or CSV") from None


def _refuse_too_much_inside(content: bytes, path: str) -> None:
    """Refuse by the sizes in the zip's own list what would take memory to open, before it is opened.

    zipfile reads no more of a member than that list says.
    """
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        sizes = {info.filename.lower(): info.file_size for info in archive.infolist()}
    if len(sizes) > MOST_MEMBERS:
        raise _too_much(path, f"has {len(sizes)} files inside, more than {MOST_MEMBERS}")
    read = {name: size for name, size in sizes.items() if not name.endswith(_PICTURES)}
    if (total := sum(read.values())) > MOST_READ_BYTES:
        raise _too_much(path, f"unpacks to {_mib(total)} MiB, more than {_mib(MOST_READ_BYTES)}")
    for name, size in read.items():
        if not _holds_cells(name) and size > MOST_BESIDE_BYTES:
            said = f"{_mib(size)} MiB of styles and names ({name}), more than {_mib(MOST_BESIDE_BYTES)}"
            raise _too_much(path, f"holds {said}")


def _holds_cells(name: str) -> bool:
    return name.startswith("xl/worksheets/") or name == "xl/sharedstrings.xml"


def _mib(size: int) -> str:
    return f"{size / 1024**2:.0f}"


def _too_much(path: str, what: str) -> CannotRun:
    return CannotRun(f"{path}: {what}; copy the recipe's cells to a new workbook")


def _read_workbook(content: bytes, path: str, sheet: str) -> tuple[str, list[_Row]]:
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
    rows: list[_Row] = []
    for number, cells in enumerate(page.iter_rows(values_only=True), 1):
        _check_number(number, path)
        wide = next((at for at in range(len(cells), 0, -1) if cells[at - 1] is not None), 0)
        if wide > MOST_COLUMNS:
            raise _too_much(path, f"has {wide} columns in row {number}, more than {MOST_COLUMNS}")
        texts, problems = zip(*map(_cell, cells[:wide]), strict=True) if wide else ((), ())
        if any(texts):
            rows.append(_Row(tuple(texts), number, next(filter(None, problems), "")))
    generic = page.title.lower().startswith("sheet")
    return ("" if generic else page.title), rows


def _cell(value: Any) -> tuple[str, str]:
    """A cell as text, and what is wrong with it: a spreadsheet makes a date of "1/2"."""
    if value is None:
        return "", ""
    if isinstance(value, datetime | date | time):
        return str(value), f"a date ({value}) stands where an amount was meant; write it as text"
    if isinstance(value, float | Decimal):
        return _number(float(value)), ""
    return " ".join("".join(c if c.isprintable() else " " for c in str(value)).split()), ""


def _number(value: float) -> str:
    """A number as written: 0.3333333 in a cell was 1/3, to a billionth."""
    near = Fraction(value).limit_denominator(16) if abs(value) < 1e9 else Fraction(0)
    if near and abs(float(near) - value) < 1e-9:
        return mixed(near)
    return f"{value:.6f}".rstrip("0").rstrip(".")
