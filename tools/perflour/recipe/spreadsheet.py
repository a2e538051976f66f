"""An ingredient sheet, CSV or XLSX, to a sorted recipe: one ingredient a row, columns by their headings."""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from fractions import Fraction
from typing import Any

from perflour.documents.tables import Reading, Row, cell_text, table_rows
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
#: How headings of columns begin that are computed from the amounts, as in the workbooks that `show` writes.
_COMPUTED = ("% ", "g of ")
_UNITS_IN_HEADING = ("g", "kg", "oz", "lb", "ml", "l")


def sorted_spreadsheet(content: bytes, path: str, columns: str = "", sheet: str = "") -> RecipeText:
    """The recipe of a sheet. ``columns`` is like ``item=Ingredient,amount=Qty``. Raises CannotRun."""
    title, rows = table_rows(content, path, Reading("recipe", MOST_LINES, _cell), sheet)
    title = title or os.path.splitext(os.path.basename(path))[0].replace("-", " ").replace("_", " ")
    if not rows:
        raise CannotRun(f"{path}: holds no rows; check the file and the sheet")
    at, mapping, unit = _mapping(rows, columns, path)
    heads = enumerate(rows[at].cells) if "amount" in mapping else ()
    computed = {number for number, head in heads if head.strip().lower().startswith(_COMPUTED)}
    lines: dict[str, list[TextLine | CellLine]] = {}
    for row in rows[at + 1 :]:
        if any(row.cells):
            part, line = _line(row, mapping, unit, computed, path)
            lines.setdefault(part.lower(), []).append(line)
    part_lines = tuple(PartLines(name, tuple(found)) for name, found in lines.items())
    return RecipeText(title=title.strip().capitalize(), part_lines=part_lines)


def _line(
    row: Row, mapping: dict[str, int], unit: str, computed: set[int], path: str
) -> tuple[str, TextLine | CellLine]:
    def cell(key: str) -> str:
        at = mapping.get(key, -1)
        return row.cells[at] if 0 <= at < len(row.cells) else ""

    place = Place(path, row.number, mapping.get("item", mapping.get("line", 0)) + 1)
    known = {*mapping.values(), *computed}
    amount = cell("amount")
    if amount:
        amount = f"{amount} {cell('unit') or unit}".strip()
    left = [text for at, text in enumerate(row.cells) if text not in ("", amount) and at not in known]  # fmt: skip
    note = "; ".join(filter(None, (cell("note"), *left)))
    if cell("line") and not cell("item"):
        return cell("part"), TextLine(" ".join(filter(None, (cell("line"), note))), place)
    problem = row.problem or ("" if cell("item") else "the row names no item; write one")
    return cell("part"), CellLine(amount, cell("item"), cell("state"), note, place, problem)


def _mapping(rows: Sequence[Row], columns: str, path: str) -> tuple[int, dict[str, int], str]:
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


def _cell(value: Any) -> tuple[str, str]:
    """A cell as text, and what is wrong with it: a spreadsheet makes a date of "1/2"."""
    if isinstance(value, datetime | date | time):
        return str(value), f"a date ({value}) stands where an amount was meant; write it as text"
    if isinstance(value, float | Decimal):
        return _number(float(value)), ""
    return cell_text(value), ""


def _number(value: float) -> str:
    """A number as written: 0.3333333 in a cell was 1/3, to a billionth."""
    near = Fraction(value).limit_denominator(16) if abs(value) < 1e9 else Fraction(0)
    if near and abs(float(near) - value) < 1e-9:
        return mixed(near)
    return f"{value:.6f}".rstrip("0").rstrip(".")
