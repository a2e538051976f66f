"""What tasters said, from a CSV file or workbook into the record of their session: all of it, or nothing.

One row for each taster and sample, or for each taster where one sample is chosen; columns by their headings.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from perflour.documents.layout import as_scalar, write_commented
from perflour.documents.line_endings import bytes_of, text_of
from perflour.documents.nodes import Collection, Entry, Node, Scalar, read_commented
from perflour.documents.reader import Document, read_document
from perflour.documents.schema import check_schema
from perflour.documents.tables import Reading, Row, cell_text, table_rows
from perflour.records.session_check import ANSWERS, answer_faults, figures_asked
from perflour.records.tasting import Session, session_from
from perflour.result import CannotRun, Place, Result
from perflour.system.files import read_bytes
from perflour.system.paths import display_path
from perflour.system.writing import write_file
from perflour.trials.session_request import STILL_TO_COME, blank_answers
from perflour.trials.tasting_sheets import read_session_document

#: More than the largest session, 500 tasters of 12 samples.
MOST_ROWS = 10_000
MOST_FILE_BYTES = 20 << 20
#: By which headings a column is known.
HEADINGS = {"taster": ("taster",), "code": ("code", "sample", "sample code"), "rank": ("rank",)}
UNREADABLE = "answer-unreadable"
_NUMBER = re.compile(r"[0-9]+(?:[.,][0-9]+)?")


@dataclass(frozen=True)
class PutIn:
    """What became of a table: rows written, rows without a figure, or what is wrong and nothing written.

    ``missing`` rows of tasters who were there are still to come.
    """

    path: Path
    rows: int = 0
    blank: int = 0
    missing: int = 0
    results: tuple[Result, ...] = ()


@dataclass(frozen=True)
class _Table:
    """Rows as the record will have them, and where each stands; ``columns`` by key."""

    path: str
    columns: Mapping[str, int]
    rows: tuple[dict[str, Any], ...]
    numbers: tuple[int, ...]
    blank: int
    results: tuple[Result, ...]

    def place(self, at: int, key: str) -> Place:
        return Place(self.path, self.numbers[at], self.columns[key] + 1)


@dataclass(frozen=True)
class _Wanted:
    """What a table is to hold: ``figures`` by name, from 1 to ``most``."""

    path: str
    columns: Mapping[str, int]
    figures: Sequence[str]
    most: int


@dataclass(frozen=True)
class _Places:
    """Places of a record to which the rows of a table are added, after the ``before`` that are there."""

    document: Document
    key: str
    before: int
    table: _Table

    def place(self, *path: str | int) -> Place:
        match path:
            case (self.key, int(at), *keys) if at >= self.before:
                return self.table.place(at - self.before, str(keys[0]) if keys else "taster")
        return self.document.place(*path)


def put_in(session_name: str, table_name: str, sheet: str = "") -> PutIn:
    """Add the answers of a table to a session's record. Raises CannotRun for what cannot be read or written."""
    path = Path(session_name).absolute()
    session, document = read_session_document(session_name)
    content = read_bytes(str(path))
    key = ANSWERS[session.ask]
    table = _read(table_name, sheet, session, key)
    there = document.data.get(key, [])
    data = {**document.data, key: [*there, *table.rows]}
    after = session_from(data, str(path))
    faults = answer_faults(after, _Places(document, key, len(there), table))
    if results := sorted((*table.results, *faults), key=lambda r: r.place):
        return PutIn(path, results=tuple(results))
    if not table.rows:
        raise CannotRun(f"{table.path}: holds no answers; fill in a figure or code in some row")
    text, missing = _written(content, data, key)
    _check(text, data, path)
    try:
        write_file(path, bytes_of(text, like=content))
    except OSError as error:
        raise CannotRun(
            f"{display_path(str(path))}: cannot be written ({error.strerror or error}); check the folder"
        ) from None
    return PutIn(path, len(table.rows), table.blank, missing)


def _check(text: str, data: dict[str, Any], path: Path) -> None:
    """The last look before anything is written. Raises CannotRun where the record would not be what it should."""
    shown = display_path(str(path))
    document = read_document(text.encode(), shown)
    if wrong := check_schema(document, "session"):
        raise CannotRun(f"{shown}: {wrong[0].message}; nothing is written")
    if document.data != data:
        raise CannotRun(f"{shown}: changed while it was read, so nothing is written; ask again")


# --- the table ---


def _read(name: str, sheet: str, session: Session, key: str) -> _Table:
    """The rows of a table. Raises CannotRun where it is no table with the columns that are needed."""
    shown = display_path(str(Path(name).absolute()))
    content = read_bytes(name, MOST_FILE_BYTES)
    _, rows = table_rows(content, shown, Reading("session", MOST_ROWS, _cell), sheet)
    figures = figures_asked(session.ask, session.attributes)
    if not rows:
        raise CannotRun(f"{shown}: holds no rows; check the file and the sheet")
    columns = _columns(rows[0], shown, figures)
    most = 9 if key == "scores" else len(session.samples)
    wanted = _Wanted(shown, columns, figures, most)
    found, numbers, results, blank = [], [], [], 0
    for row in rows[1:]:
        cells = {name: row.cells[at] if at < len(row.cells) else "" for name, at in columns.items()}
        wrong = list(_wrong(row, cells, wanted))
        results += wrong
        is_blank = not any(cells[name] for name in figures) if figures else not cells["code"]
        if is_blank and cells["taster"] and not wrong:
            blank += 1
        elif not wrong:
            said = {name: _figure(cells[name]) for name in figures if cells[name]}
            found.append({"taster": cells["taster"], "code": cells["code"], **said})
            numbers.append(row.number)
    return _Table(shown, columns, tuple(found), tuple(numbers), blank, tuple(results))


def _columns(head: Row, path: str, figures: Sequence[str]) -> dict[str, int]:
    """Which column holds what, by the headings of the first row. Raises CannotRun."""
    known = {name: HEADINGS.get(name, (name,)) for name in ("taster", "code", *figures)}
    wanted = ", ".join(known)
    columns: dict[str, int] = {}
    for at, cell in enumerate(head.cells):
        heading = cell.lower()
        name = next((name for name, words in known.items() if heading in words), "")
        if heading and (not name or name in columns):
            said = "stands there twice" if name else f"is no column of this session ({wanted})"
            raise CannotRun(
                f"{path}:{head.number}:{at + 1}: the heading '{cell}' {said}; mend or remove it"
            )
        if name:
            columns[name] = at
    if lacking := [name for name in known if name not in columns]:
        raise CannotRun(
            f"{path}:{head.number}:1: no column for {', '.join(lacking)}; the first row names the columns: {wanted}"
        )
    return columns


def _wrong(row: Row, cells: Mapping[str, str], wanted: _Wanted) -> Iterator[Result]:
    """What cannot be read in a row; whether it fits the session is asked of the whole record."""
    columns, figures = wanted.columns, wanted.figures

    def result(column: int, message: str) -> Result:
        return Result(UNREADABLE, "error", message, Place(wanted.path, row.number, column + 1))

    for at, cell in enumerate(row.cells):
        if cell and at not in columns.values():
            yield result(at, f"'{cell}' stands in a column without a heading; move or remove it")
    if not cells["taster"]:
        yield result(columns["taster"], "the row names no taster; write one")
    if figures and not cells["code"]:
        yield result(columns["code"], "the row names no sample; write its blind code")
    what = "rank" if figures == ("rank",) else "score"
    for name in figures:
        cell = cells[name]
        if cell and not (_NUMBER.fullmatch(cell) and 1 <= _figure(cell) <= wanted.most):
            said = f"'{cell}' is no {what} from 1 to {wanted.most}; write one"
            yield result(columns[name], f"{said}, or leave the cell empty")


def _figure(cell: str) -> int | float:
    value = float(cell.replace(",", "."))
    return int(value) if value.is_integer() else value


def _cell(value: Any) -> tuple[str, str]:
    """A cell of a workbook: a code or score that it holds as 418.0 is 418."""
    if isinstance(value, float):
        return f"{value:.6f}".rstrip("0").rstrip("."), ""
    return cell_text(value), ""


# --- the record ---


def _written(content: bytes, data: dict[str, Any], key: str) -> tuple[str, int]:
    """The record with the rows of ``data`` under ``key``, and how many of the lines to fill in are left.

    Those that are filled in now go; all else that stands in the file stays.
    """
    page = read_commented(text_of(content))
    rows = data[key]
    said = {(row["taster"], "" if key == "choices" else row["code"]) for row in rows}
    heads, blanks = blank_answers(data)
    gone = {*heads, STILL_TO_COME, *(line for _, line in blanks)}
    absent = set(data.get("absent", ()))
    left = [line for one, line in blanks if one not in said and one[0] not in absent]
    kept = [_without(entry, gone) for entry in page.root.entries if entry.key != key]
    old = next((entry for entry in page.root.entries if entry.key == key), None)
    listed = _listed(old, key, rows)
    below = [line for line in page.root.below if line not in gone]
    if left:
        below += [STILL_TO_COME, *left]
    root = page.root._replace(entries=(*kept, listed), below=tuple(below))
    return write_commented(page._replace(root=root)), len(left)


def _without(entry: Entry, gone: set[str]) -> Entry:
    return entry._replace(above=tuple(line for line in entry.above if line not in gone))


def _listed(old: Entry | None, key: str, rows: Sequence[dict[str, Any]]) -> Entry:
    """The list with its new rows at the end."""
    node = old.node if old and isinstance(old.node, Collection) else Collection(True, ())
    new = tuple(Entry(_row(row)) for row in rows[len(node.entries) :])
    filled = node._replace(entries=(*node.entries, *new))
    return old._replace(node=filled) if old else Entry(filled, key)


def _row(row: Mapping[str, Any]) -> Node:
    return Collection(False, tuple(Entry(_value(name, value), as_scalar(name).text or name) for name, value in row.items()))  # fmt: skip


def _value(name: str, value: Any) -> Scalar:
    if name == "code":
        return Scalar(value, f'"{value}"')
    return as_scalar(value) if isinstance(value, str) else Scalar(str(value), repr(value), True)
