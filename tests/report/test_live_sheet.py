"""Workbooks that compute: held against `show` by an outside calculator (the `formulas` package), and read back."""

from __future__ import annotations

import io
import json
import re
import zipfile
from pathlib import Path
from typing import Any

import formulas
import openpyxl
import pytest

from perflour.balance.live_sheet import live_sheet
from perflour.report.live_sheet import BATCH, HUNDRED_ROW, MADE, PIECE, PIECES, USED, formulas_xlsx
from tests.conftest import ROOT, formula_text, run_cli, weigh_text

#: What our own formulas are made of; anything else in one would be another's text.
OURS = re.compile(r"(?:[$A-Z]+[$]?\d+(?::[$A-Z]+[$]?\d+)?|(?:SUM|SUMPRODUCT|IF|AND|ABS|ISNUMBER)\(|[-+*/(),.<>]|\d|e-|\"(?:flours no longer add up to 100 %: change another one too)?\")*")  # fmt: skip
DEMO = ("rye-poolish-loaf", "peach-cardamom-crumb-cake", "almond-prune-torte", "gluten-free-currant-loaf", "oat-date-loaf")  # fmt: skip
NAME = "sheet.xlsx"


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("sheets") / NAME
    done = run_cli("show", *(f"formulas/{name}" for name in DEMO), "--write", str(path), cwd=ROOT)
    assert (done.code, done.all) == (0, "")
    return path


@pytest.fixture(scope="module")
def model(book: Path) -> Any:
    return formulas.ExcelModel().loads(str(book)).finish()


def computed(model: Any, **inputs: float) -> dict[tuple[str, str], Any]:
    """Cells by sheet and place, with these cells of the first sheet filled in."""
    of = f"'[{NAME}]{DEMO[0].upper()}'!"
    found = model.calculate(inputs={f"{of}{cell}": value for cell, value in inputs.items()})
    return {
        (match[1], match[2]): ranges.value[0, 0]
        for key, ranges in found.items()
        if (match := re.fullmatch(r"'\[.*\](.*)'!([A-Z]+\d+)", key))
    }


def shown(name: str) -> dict[str, Any]:
    done = run_cli("show", f"formulas/{name}", "--output", "json", cwd=ROOT)
    data: dict[str, Any] = json.loads(done.out)
    return data


def rows_of(book: Path, name: str) -> dict[int, str]:
    """The rows of the table by number, with what stands in them."""
    sheet = openpyxl.load_workbook(book)[name]
    head = next(row for row in range(1, 30) if sheet.cell(row, 1).value == "part")
    return {row: sheet.cell(row, 2).value for row in range(head + 1, sheet.max_row + 1)}


@pytest.mark.parametrize("name", DEMO)
def test_cells_compute_the_figures_of_show(book: Path, model: Any, name: str) -> None:
    cells, data = computed(model), shown(name)
    lines = [line for part in data["parts"] for line in part["ingredients"]]
    rows = rows_of(book, name)
    assert list(rows.values()) == [line["item"] for line in lines]
    for row, line in zip(rows, lines, strict=True):
        assert cells[name.upper(), f"C{row}"] == pytest.approx(line["mass_g"], rel=1e-9)
        assert cells[name.upper(), f"D{row}"] == pytest.approx(line["percent"], rel=1e-9)
    total = data["total"]
    assert cells[name.upper(), f"B{USED + 1}"] == pytest.approx(total["basis"]["mass_g"])
    assert cells[name.upper(), f"B{MADE + 1}"] == pytest.approx(total["batch_mass_g"])
    for row in range(USED + 1, min(rows)):
        ratio = str(cells.get((name.upper(), f"A{row}"), "")).partition(",")[0]
        if ratio in total["ratios"]:
            expected = total["ratios"][ratio]["percent"]
            assert cells[name.upper(), f"B{row}"] == pytest.approx(expected)


def test_values_that_come_along_are_those_computed(book: Path, model: Any) -> None:
    """What a reader shows that computes nothing."""
    cells, values = computed(model), openpyxl.load_workbook(book, data_only=True)
    alive = openpyxl.load_workbook(book)
    checked = 0
    for sheet in alive:
        for cell in (c for row in sheet.iter_rows() for c in row if c.data_type == "f"):
            value = values[sheet.title][cell.coordinate].value
            if isinstance(value, float | int):
                assert cells[sheet.title.upper(), cell.coordinate] == pytest.approx(value)
                checked += 1
    assert checked > 100


@pytest.mark.parametrize(
    ("filled", "factor"),
    [
        ({f"B{HUNDRED_ROW + 1}": 2500}, 2.5),
        ({f"B{BATCH + 1}": 1738.5 * 3}, 3),
        ({f"B{PIECES + 1}": 10, f"B{PIECE + 1}": 869.25}, 5),
        (
            {f"B{PIECES + 1}": 10, f"B{BATCH + 1}": 1, f"B{HUNDRED_ROW + 1}": 1},
            5,
        ),  # the first counts
    ],
)
def test_one_cell_scales_everything(book: Path, model: Any, filled: dict[str, float], factor: float) -> None:  # fmt: skip
    name = DEMO[0]
    before, after = computed(model), computed(model, **filled)
    for row in rows_of(book, name):
        for column, times in (("C", factor), ("D", 1), ("E", 1)):
            cell = (name.upper(), f"{column}{row}")
            assert after[cell] == pytest.approx(before[cell] * times, rel=1e-9)
    assert after[name.upper(), f"B{MADE + 1}"] == pytest.approx(1738.5 * factor, rel=1e-3)


def test_a_changed_percentage_moves_the_sums(book: Path, model: Any) -> None:
    """More water in the dough: 80 % of its own flour, which is 80 % of all, and the poolish's 20."""
    water = next(
        row for row, item in rows_of(book, DEMO[0]).items() if item == "water" and row > 20
    )
    name = DEMO[0].upper()
    cells = computed(model, **{f"D{water}": 80})
    assert cells[name, "B13"] == pytest.approx(0.8 * 80 + 20)
    assert cells[name, "C12"] == ""
    flour = next(row for row, item in rows_of(book, DEMO[0]).items() if "whole wheat" in item)
    assert "no longer add up" in computed(model, **{f"D{flour}": 35})[name, "C12"]


@pytest.mark.parametrize("name", DEMO)
def test_import_reads_the_same_balance(book: Path, name: str) -> None:
    done = run_cli("import", str(book), "--sheet", name, cwd=ROOT)
    back = run_cli("show", "-", "--output", "json", cwd=ROOT / "formulas", stdin=done.out.encode())
    data, told = shown(name), json.loads(back.out)
    for expected, found in zip(data["parts"], told["parts"], strict=True):
        for line, again in zip(expected["ingredients"], found["ingredients"], strict=True):
            assert (again["item"], again["is_part"]) == (line["item"], line["is_part"])
            assert again["mass_g"] == pytest.approx(line["mass_g"], rel=1e-5)
    if name not in (
        "almond-prune-torte",
        "gluten-free-currant-loaf",
    ):  # whose stated basis no sheet has
        for ratio in ("hydration", "sugar", "fat", "salt"):
            expected = data["total"]["ratios"][ratio]["percent"]
            assert told["total"]["ratios"][ratio]["percent"] == pytest.approx(expected, rel=1e-4)


HOSTILE = ("=1+1", "+cmd|' /C calc'!A0", "@SUM(1)", "-2+3", "\uff1d1+1", "http://example.org")


def test_no_text_of_a_file_becomes_a_formula() -> None:
    lines = [f'{{item: "{text}", amount: 10 g, state: "{text}"}}' for text in HOSTILE]
    text = formula_text("{item: plain flour, amount: 100 g}", *lines)
    for name, value in (("title: Trial", "title: '=HYPERLINK(1)'"), ("part: batter", "part: '@x'"), ("class: loaf-cake", "class: '=2'")):  # fmt: skip
        text = text.replace(name, value)
    content = formulas_xlsx([weigh_text(text)])
    (sheet,) = openpyxl.load_workbook(io.BytesIO(content))
    texts = {}
    for cell in (c for row in sheet.iter_rows() for c in row if c.value is not None):
        if cell.data_type == "f":
            assert OURS.fullmatch(cell.value[1:]), cell.value
        elif isinstance(cell.value, str):
            texts[cell.value] = cell.quotePrefix
    assert {texts[said] for said in (*HOSTILE[:5], "=HYPERLINK(1)", "@x")} == {True}
    assert texts["plain flour"] is False
    with zipfile.ZipFile(io.BytesIO(content)) as inside:
        assert not [name for name in inside.namelist() if "rels" in name and b"example.org" in inside.read(name)]  # fmt: skip


def test_sheets_have_names_of_their_own_and_the_same_bytes() -> None:
    one = weigh_text(formula_text("{item: plain flour, amount: 100 g}"))
    named = [one._replace(formula=one.formula._replace(id=id)) for id in ("history", "a" * 40, "a" * 50, "A" * 40, "b:[c]")]  # fmt: skip
    content = formulas_xlsx(named)
    titles = openpyxl.load_workbook(io.BytesIO(content)).sheetnames
    assert len({title.lower() for title in titles}) == 5
    assert content == formulas_xlsx(named)


def test_what_cannot_be_weighed_is_said(tmp_path: Path) -> None:
    lacking = weigh_text(formula_text("{item: plain flour, amount: 100 g}", "{item: sugar, amount: some}"))  # fmt: skip
    (sheet,) = openpyxl.load_workbook(io.BytesIO(formulas_xlsx([lacking])))
    assert sheet["A4"].value.startswith("Not weighed, and in no sum: sugar. ")
    assert any(str(cell.value).startswith("not weighed: ") for cell in sheet["C"])
    assert live_sheet(weigh_text(formula_text("{item: sugar, amount: some}"))) is None
    done = run_cli("show", "formulas", "--write", str(tmp_path / "x.pdf"), cwd=ROOT)
    assert done.code == 2
    assert "no form is known by that ending; end it in .xlsx" in done.err


def test_cells_to_fill_in_are_open_and_all_others_locked(book: Path) -> None:
    sheet = openpyxl.load_workbook(book)[DEMO[0]]
    assert sheet.protection.sheet
    assert not sheet.protection.password
    for cell in (c for row in sheet.iter_rows() for c in row if c.data_type == "f"):
        assert cell.protection.locked
    assert not sheet.cell(HUNDRED_ROW + 1, 2).protection.locked
    assert not sheet["D17"].protection.locked
