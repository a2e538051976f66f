"""The limits that docs/security.md states are those of the code."""

from __future__ import annotations

import json

import pytest

from perflour.bakeday import timetable
from perflour.diff import assignment
from perflour.documents import reader, tables
from perflour.documents.schema import SCHEMAS
from perflour.recipe import ingredient_line, many, pdf_text, recipe_text, sources
from perflour.system import blobs, opening, pictures
from perflour.trials import answers
from tests.conftest import ROOT

PAGE = " ".join((ROOT / "docs" / "security.md").read_text(encoding="utf-8").split())
MIB = 1 << 20

with open(f"{SCHEMAS}/formula.schema.json", encoding="utf-8") as file:
    FORMULA = json.load(file)

STATED = [
    (f"{reader.MAX_BYTES // MIB} MiB, {reader.MAX_DEPTH} levels deep", "a file of YAML"),
    (f"{opening.MOST_BYTES // MIB} MiB; photos {opening.MOST_BYTES_OF_BINARY // MIB} MiB", "a file"),
    (f"pixels of a photo | {pictures.MOST_PIXELS // 10**6} million |", "pixels"),
    (f"{blobs.MOST_TOGETHER >> 30} GiB", "blobs"),
    (f"{FORMULA['properties']['parts']['maxItems']}, {FORMULA['properties']['method']['maxItems']:,}", "parts, steps"),
    (f"{FORMULA['$defs']['part']['properties']['ingredients']['maxItems']:,}", "lines of a formula"),
    (f"{recipe_text.MOST_BYTES >> 10} KiB, {recipe_text.MOST_LINES:,} lines; an ingredient line of more than {ingredient_line.MOST_SIGNS:,} signs", "a recipe"),
    (f"{sources.MOST_FILE_BYTES // MIB} MiB, {pdf_text.MOST_PAGES} pages, {recipe_text.MOST_BYTES >> 10} KiB of text, {pdf_text.MOST_SECONDS} s in a process", "a PDF"),
    (f"files to import at once | {many.MOST_FILES:,} |", "files at once"),
    (f"{sources.MOST_FILE_BYTES // MIB} MiB, unpacked without pictures {tables.MOST_READ_BYTES // MIB} MiB, {recipe_text.MOST_LINES:,} rows, {tables.MOST_COLUMNS} columns", "a workbook"),
    (f"{answers.MOST_FILE_BYTES // MIB} MiB, {answers.MOST_ROWS:,} rows", "answers"),
    (f"{assignment.MOST_COMPARED:,} pairs", "compared"),
    (f"{timetable.MOST_ORDERS:,}", "loads"),
]  # fmt: skip


@pytest.mark.parametrize(("stated", "of"), STATED)
def test_the_page_states_the_limit(stated: str, of: str) -> None:
    assert stated in PAGE
