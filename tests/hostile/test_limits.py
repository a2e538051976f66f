"""The limits that docs/security.md states are those of the code."""

from __future__ import annotations

import json

import pytest

from perflour.bakeday import packs
from perflour.diff import matching
from perflour.documents import reader
from perflour.documents.schema import SCHEMAS
from perflour.recipe import recipe_text, spreadsheet
from perflour.system import git, opening
from tests.conftest import ROOT

PAGE = " ".join((ROOT / "docs" / "security.md").read_text(encoding="utf-8").split())
MIB = 1 << 20

with open(f"{SCHEMAS}/formula.schema.json", encoding="utf-8") as file:
    FORMULA = json.load(file)

STATED = [
    (f"{reader.MAX_BYTES // MIB} MiB, {reader.MAX_DEPTH} levels deep", "a file of YAML"),
    (f"{opening.MOST_BYTES // MIB} MiB; photos and workbooks {opening.MOST_BYTES_OF_BINARY // MIB} MiB", "a file"),
    (f"{git.MOST_TOGETHER >> 30} GiB", "blobs"),
    (f"{FORMULA['properties']['method']['maxItems']} each", "steps"),
    (f"{FORMULA['properties']['parts']['maxItems']} each", "parts"),
    (f"{FORMULA['$defs']['part']['properties']['ingredients']['maxItems']:,}", "lines of a formula"),
    (f"{recipe_text.MOST_BYTES >> 10} KiB, {recipe_text.MOST_LINES:,} lines, {recipe_text.MOST_OF_LINE:,} signs", "a recipe"),
    (f"{spreadsheet.MOST_XML_BYTES // MIB} MiB of XML unpacked, {recipe_text.MOST_LINES:,} rows, {spreadsheet.MOST_COLUMNS} columns", "a workbook"),
    (f"{matching.MOST_PAIRS:,} pairs", "substitutes"),
    (f"{packs.LONGEST_S:g} s for an ingredient", "packs"),
]  # fmt: skip


@pytest.mark.parametrize(("stated", "of"), STATED)
def test_the_page_states_the_limit(stated: str, of: str) -> None:
    assert stated in PAGE
