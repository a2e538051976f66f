"""Workbooks that would take memory to open, or are torn: one line, exit code 2, and no more than 1 GiB."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from openpyxl import Workbook

from tests.hostile.within import GIB, run_within

SHEET = "xl/worksheets/sheet1.xml"


def workbook(edits: dict[str, Callable[[str], str]], more: int = 0) -> bytes:
    """A workbook of one line of a recipe, its inner files edited, and so many empty ones beside them."""
    book = Workbook()
    for row in (["item", "amount"], ["all-purpose flour", "300 g"]):
        book.worksheets[0].append(row)
    plain, made = io.BytesIO(), io.BytesIO()
    book.save(plain)
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name).decode()
            new.writestr(name, edits.get(name, str)(text))
        for number in range(more):
            new.writestr(f"more/{number}", "")
    return made.getvalue()


def before(mark: str, text: str) -> Callable[[str], str]:
    return lambda page: page.replace(mark, f"{text}{mark}", 1)


def named(count: int) -> str:
    names = (f'<definedName name="n{at}">Sheet!$A$1</definedName>' for at in range(count))
    return f"<definedNames>{''.join(names)}</definedNames>"


def rows(count: int, cell: str) -> str:
    return "".join(f'<row r="{at}">{cell.format(at)}</row>' for at in range(3, count + 3))


STYLES = before("</cellXfs>", '<xf numFmtId="0" fontId="0"/>' * 1_500_000)
TOO_MUCH = {
    "styles": ({"xl/styles.xml": STYLES}, 0, "unpacks to 42 MiB, more than 10"),
    "names": ({"xl/workbook.xml": before("<calcPr", named(150_000))}, 0, "holds 7 MiB of styles and names (xl/workbook.xml), more than 1"),
    "cells": ({SHEET: before("</sheetData>", rows(1, "<c><v>1</v></c>" * 5_000_000))}, 0, "unpacks to 72 MiB, more than 10"),
    "a wide row": ({SHEET: before("</sheetData>", rows(1, '<c r="XFD{}"><v>1</v></c>'))}, 0, "has 16384 columns in row 3, more than 200"),
    "files inside": ({}, 2_000, "has 2009 files inside, more than 1000"),
}  # fmt: skip
TORN = {
    "list of sheets": {"xl/workbook.xml": lambda page: page[:100]},
    "sheet": {SHEET: lambda page: page[:300]},
    "number of a style": {"xl/styles.xml": lambda page: page.replace('numFmtId="0"', 'numFmtId="x"')},
    "name of a cell": {SHEET: lambda page: page.replace('r="A1"', 'r="ZZZZZ1"')},
}  # fmt: skip


@pytest.mark.parametrize("name", TOO_MUCH)
def test_more_than_a_recipe_is_refused_before_it_is_opened(name: str, tmp_path: Path) -> None:
    edits, more, said = TOO_MUCH[name]
    (tmp_path / "cake.xlsx").write_bytes(workbook(edits, more))
    done = run_within(["import", "cake.xlsx"], tmp_path)
    told = f"perflour: cake.xlsx: {said}; copy the recipe's cells to a new workbook\n"
    assert (done.code, done.err) == (2, told)


@pytest.mark.parametrize("name", TORN)
def test_a_torn_workbook_is_told_in_one_line(name: str, tmp_path: Path) -> None:
    (tmp_path / "cake.xlsx").write_bytes(workbook(TORN[name]))
    done = run_within(["import", "cake.xlsx"], tmp_path)
    told = "perflour: cake.xlsx: no workbook that can be read; save it as .xlsx or CSV\n"
    assert (done.code, done.err) == (2, told)


def test_a_row_outside_the_size_that_the_sheet_says_is_read(tmp_path: Path) -> None:
    cells = '<c r="A{0}" t="inlineStr"><is><t>salt</t></is></c><c r="B{0}" t="inlineStr"><is><t>6 g</t></is></c><c r="XFD{0}"/>'
    edits = {SHEET: before("</sheetData>", rows(1, cells))}
    (tmp_path / "cake.xlsx").write_bytes(workbook(edits))
    done = run_within(["import", "cake.xlsx"], tmp_path)
    assert "{item: salt, amount: 6 g}" in done.out, done


def test_a_file_of_many_mib_is_not_read(tmp_path: Path) -> None:
    with open(tmp_path / "cake.xlsx", "wb") as file:
        file.truncate(2 * GIB)
    done = run_within(["import", "cake.xlsx"], tmp_path)
    told = "perflour: cake.xlsx: cannot be read (is larger than the 20 MiB that are read of a file); check the path and its rights\n"
    assert (done.code, done.err) == (2, told)
