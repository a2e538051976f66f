"""Formulas side by side as text, CSV, JSON, HTML and chart: they fit, and tell the same."""

from __future__ import annotations

import csv
import json
import os
import pty
import re
import struct
import subprocess
import sys
from collections import Counter
from pathlib import Path
from random import Random
from typing import Any
from xml.etree import ElementTree

import numpy as np
import pytest
import yaml
from lxml import etree, html

from perflour.compare.apart import apart, ratio_rows
from perflour.compare.collect import Collected, Compared, collect
from perflour.compare.table import KINDS, Row, SideBySide, side_by_side
from perflour.plain import markdown
from perflour.report.compare.chart import ratio_chart
from perflour.report.compare.data import side_by_side_csv, side_by_side_json
from perflour.report.compare.html import side_by_side_html
from perflour.report.compare.markdown import side_by_side_markdown
from perflour.report.compare.output import chart_png, chart_svg
from perflour.report.compare.table import (
    ODD,
    cell_text,
    likeness,
    name_text,
    side_by_side_text,
    value_text,
)
from tests.compare.test_side_by_side import BUN, table_of, with_line, written
from tests.conftest import ROOT, formula_text, run_cli, weigh_text

GOLDEN = ROOT / "tests" / "golden"
DEMO = str(ROOT / "formulas")
HEAD, TAIL = 4, 6  # columns of the CSV before and after those of the formulas


@pytest.fixture(scope="module")
def demo() -> SideBySide:
    return side_by_side(collect([DEMO]))


@pytest.fixture(scope="module")
def fifty() -> SideBySide:
    """Fifty invented loaves with long ids, each of up to fourteen ingredients in three units."""
    chance = Random(1788)
    items = ("granulated sugar", "dark brown sugar", "butter", "sunflower oil", "egg", "whole milk", "sour cream", "baking powder", "baking soda", "salt", "walnuts", "dates", "cinnamon", "cocoa")  # fmt: skip
    texts = []
    for at in range(50):
        lines = [f"{{item: all-purpose flour, amount: {chance.randint(200, 900)} g}}"]
        for item in chance.sample(items, chance.randint(3, len(items))):
            amount = chance.choice((f"{chance.randint(2, 300)} g", "1 1/2 cup", "2 tbsp"))
            lines.append(f"{{item: {item}, amount: {amount}}}")
        lines.append("{item: mystery paste, amount: 20 g}")
        trial = f"the-long-named-trial-loaf-of-saltmarsh-lane-{at + 1}"
        texts.append(formula_text(*lines).replace("formula: trial", f"formula: {trial}"))
    return table_of(*texts)


@pytest.mark.parametrize(
    ("source", "said"),
    [
        ("A card, 1960", "A card, 1960"),
        ("", "no source said"),
        (f"A card, {'1960, ' * 30}harbour", f"A card, {'1960, ' * 15}…"),
    ],
)
def test_a_reference_is_marked_as_one_wherever_formulas_are_listed(source: str, said: str) -> None:
    other = formula_text(*BUN, extra=f"citation: {source}\n" if source else "").replace(
        "status: draft", "status: reference"
    )
    table = table_of(formula_text(*BUN), other)
    text = " ".join(side_by_side_text(table).split())
    assert f" f1.yaml Trial; a reference: {said} " in text
    assert f"2. f1.yaml: Trial; a reference: {said}\n" in side_by_side_markdown(table)
    assert f"Trial; a reference: {said}</li>" in side_by_side_html(table)
    rows = json.loads(side_by_side_json(table))["formulas"]
    assert [(row["status"], row["citation"]) for row in rows] == [
        ("draft", None),
        ("reference", source or None),
    ]


# --- text -----------------------------------------------------------------------------------------


def test_golden_text_of_the_demo(demo: SideBySide) -> None:
    """To renew it: `COLUMNS=80 perflour compare formulas > tests/golden/side-by-side.txt`.

    No line of it was checked by hand: figures are held by tests/compare (odd ones by scipy, the rest
    by hand) and tests/balance, here only that they do not change unseen.
    """
    expected = (GOLDEN / "side-by-side.txt").read_text(encoding="utf-8")
    assert side_by_side_text(demo) == expected


def test_golden_csv_of_the_demo(demo: SideBySide) -> None:
    """To renew it: `perflour compare formulas --output csv > tests/golden/side-by-side.csv`."""
    with (GOLDEN / "side-by-side.csv").open(encoding="utf-8", newline="") as file:
        expected = list(csv.reader(file))
    found = csv_rows(demo)
    assert len(found) == len(expected)
    for row, golden in zip(found, expected, strict=True):
        assert [as_number(cell) for cell in row] == [
            pytest.approx(n, rel=1e-9) if isinstance(n, float) else n
            for n in map(as_number, golden)
        ]


def csv_rows(table: SideBySide) -> list[list[str]]:
    return list(csv.reader(side_by_side_csv(table).splitlines()))


def as_number(cell: str) -> float | str:
    try:
        return float(cell)
    except ValueError:
        return cell


@pytest.mark.parametrize("width", [50, 80, 132, 200])
@pytest.mark.parametrize("by", ["ingredient", "group"])
def test_fifty_formulas_fit_the_terminal(fifty: SideBySide, width: int, by: str) -> None:
    text = side_by_side_text(fifty, by, width)
    assert max(map(len, text.splitlines())) <= width
    heads = re.findall(r"^%  +(.+)$", text, re.MULTILINE)
    numbers = [word for head in heads for word in head.split() if word.isdigit()]
    assert numbers == [str(at) for at in range(1, 51)]
    assert " ".join(heads).split()[-5:] == ["median", "low-high", "in", "odd", "one"]
    for column in fifty.columns:
        assert column.label in text


def test_a_wide_table_is_one(fifty: SideBySide) -> None:
    text = side_by_side_text(fifty, width=sys.maxsize)
    assert len(re.findall(r"^%  ", text, re.MULTILINE)) == 1


def test_short_ids_stand_at_the_heads() -> None:
    texts = [formula_text(*BUN).replace("trial", name) for name in ("plain", "rich", "sweet")]
    text = side_by_side_text(table_of(*texts))
    assert re.search(r"^% +plain +rich +sweet +median +low-high +in +odd one$", text, re.MULTILINE)
    assert "nearest: plain and rich, 0.0 points apart" in text


SIGNS = """\
–   none, or none in the base (dough or batter); counts as 0 in the sums by kind
*   far from the others: 0.6745 x distance from the median / median distance is
    beyond a limit that hangs on how many values there are (4.96 for 8, 4.02 for
    20, 3.77 for 50), or 0.7979 x distance / mean distance where the median one
    is 0; and the distance is beyond two measuring spreads
+   too low: some of it has no mass, or no known composition
?   it is there, or may be, but could not be weighed
~   in percent of its own basis
in  how many formulas have it; of an ingredient, median and range are theirs
"""


def test_every_sign_is_explained_and_only_signs_that_are_used() -> None:
    plain = [with_line(f"{{item: salt, amount: {g} g}}") for g in (8, 9, 10, 11, 9, 10, 11, 60)]
    text = side_by_side_text(table_of(*plain), width=100)
    assert re.search(r"^  table salt +1.60 .* +12.00\*", text, re.MULTILINE)
    text = side_by_side_text(table_of(*plain))
    assert [line[0] for line in SIGNS.splitlines() if f"\n{line}\n" not in text] == list("+?~")
    nuts = ("{item: almond meal, amount: 200 g}", "{item: egg, amount: 1 can}")
    loose = formula_text(*nuts, "{item: figgy jam, amount: 20 g}", extra="basis: [almond meal]\n")
    text = side_by_side_text(table_of(*plain, loose))
    assert SIGNS in text
    assert re.search(r"^f8.yaml~ +Trial; in percent of almond meal; not weighed: egg$", text, re.MULTILINE)  # fmt: skip
    assert re.search(r"^  egg +20\.0 .*\?", text, re.MULTILINE)


ODD_VALUES = (
    (7, 60, "odd values: not judged below 8 formulas"),
    (8, 11, "odd values: no row has 8 values that are not all alike"),
    (8, 60, "odd values: 2 rows were judged in which more than half of the values are alike; there the chance is not known"),
)  # fmt: skip


@pytest.mark.parametrize(("formulas", "last_salt", "said"), ODD_VALUES)
def test_it_is_said_what_chance_alone_does(formulas: int, last_salt: int, said: str) -> None:
    texts = [*[with_line("{item: salt, amount: 11 g}")] * (formulas - 1), with_line(f"{{item: salt, amount: {last_salt} g}}")]  # fmt: skip
    table = table_of(*texts)
    assert f"\n\n{said}\n\n" in side_by_side_text(table, width=sys.maxsize)
    assert f"- {said}\n" in side_by_side_markdown(table)
    assert f"<p>{said}</p>" in side_by_side_html(table)


def test_rows_judged_are_counted_by_how_they_were(demo: SideBySide) -> None:
    data = json.loads(side_by_side_json(demo))
    ways = Counter(row["judged_by"] for row in data["rows"])
    assert data["odd_values"] == {
        "fewest_values": 8,
        "rows_with_one_by_chance_percent": 5.0,
        "rows_judged": ways["median distance"],
        "rows_mostly_alike": ways["mean distance"],
    }
    assert (
        "odd values: a value is called odd in about 1 row in 20 by chance alone, where values spread as "
        f"normal ones do; {ways['median distance']} rows were judged"
    ) in side_by_side_text(demo, width=sys.maxsize).splitlines()
    assert not any(row["odd"] for row in data["rows"] if row["judged_by"] is None)


def test_a_basis_that_is_not_whole_is_told() -> None:
    """Rye flour by the can has no mass: what is 100 % is too little."""
    text = side_by_side_text(
        table_of(formula_text(*BUN), with_line("{item: rye flour, amount: 1 can}")), width=500
    )
    assert "100 % may be too low for that, and every percentage too high" in text


# --- CSV and JSON -----------------------------------------------------------------------------------


def test_csv_and_json_hold_the_exact_values(demo: SideBySide) -> None:
    data: dict[str, Any] = json.loads(side_by_side_json(demo))
    head, *rows = csv_rows(demo)
    assert head[HEAD:-TAIL] == [f["label"] for f in data["formulas"]]
    for row, line, told in zip(demo.rows, rows, data["rows"], strict=True):
        exact = [cell.value for cell in row.cells]
        assert [float(c) if c else None for c in line[HEAD:-TAIL]] == exact == told["values"]
        assert [float(c) if c else None for c in line[-TAIL:-3]] == [
            row.median,
            row.low,
            row.high,
        ]
        assert (told["median"], told["in"], line[-3]) == (row.median, row.count, str(row.count))
        assert [o["formula"] for o in told["odd"]] == [head[HEAD + o.at] for o in row.outliers]
        assert told["spreads"] == [cell.spread for cell in row.cells]
    distances = data["distances"]
    assert distances["matrix"] == [list(row) for row in demo.distances.matrix]
    assert distances["odd_one_out"]["formula"] == "almond-prune-torte"
    assert distances["kinds"] == list(KINDS)
    assert data["turn"] is None
    assert {f["formula"]: f["basis_is_flour"] for f in data["formulas"]} == {
        f["label"]: f["label"] not in ("almond-prune-torte", "gluten-free-currant-loaf")
        for f in data["formulas"]
    }


def test_a_name_is_no_formula_for_a_spreadsheet() -> None:
    table = table_of(formula_text(*BUN, "{item: '=1+1', amount: 20 g}"), formula_text(*BUN))
    assert any(row[2] == "'=1+1" for row in csv_rows(table))
    assert not any(cell.startswith("=") for row in csv_rows(table) for cell in row)


# --- the turn -----------------------------------------------------------------------------------------


def test_what_turns_one_into_another_is_told_in_figures(tmp_path: Path) -> None:
    rich = with_line("{item: butter, amount: 150 g}")
    a, b = written(tmp_path, a=formula_text(*BUN), b=rich)
    table = side_by_side(collect([a], b))
    text = side_by_side_text(table)
    turn = text[text.index("what would turn") :].splitlines()
    assert turn[0] == "what would turn a.yaml into b.yaml"
    assert any(
        "butter 75 g -> 150 g: 15.0 % -> 30.0 %, +15.0 % of the batter's flour" in line
        for line in turn
    )
    data = json.loads(side_by_side_json(table))["turn"]
    assert (data["from"], data["into"]) == ("a.yaml", "b.yaml")
    told = " ".join(" ".join(turn).split())
    assert all(change["text"] in told for change in data["changes"])


def test_nothing_to_turn_and_two_kinds_of_basis(tmp_path: Path) -> None:
    nuts = formula_text("{item: almond meal, amount: 200 g}", extra="basis: [almond meal]\n")
    a, b, c = written(tmp_path, a=formula_text(*BUN), b=formula_text(*BUN), c=nuts)
    same = side_by_side_text(side_by_side(collect([a], b)))
    assert same.endswith(
        "what would turn a.yaml into b.yaml\n  nothing: the figures are the same\n"
    )
    other = side_by_side_text(side_by_side(collect([a], c)), width=200)
    assert (
        "what would turn a.yaml into c.yaml (in percent of its base's flour -> percent of almond meal)"
        in other
    )


# --- HTML ---------------------------------------------------------------------------------------------


def cells_of(page: str) -> list[list[etree._Element]]:
    """The rows of the wide table, without those that name a section."""
    (table,) = html.fromstring(page).xpath("//table[@id='side-by-side']")
    return [list(row) for row in table.iter("tr") if row.get("class") != "section"]


def test_the_page_holds_the_values_of_the_csv(demo: SideBySide) -> None:
    head, *rows = cells_of(side_by_side_html(demo))
    csv_head, *csv_lines = csv_rows(demo)
    count = len(demo.columns)
    labels = [cell.text.removesuffix(" ~") for cell in head[2 : 2 + count]]
    assert labels == csv_head[HEAD:-TAIL]
    told = {(row.section, row.name): line for row, line in zip(demo.rows, csv_lines, strict=True)}
    assert len(rows) == len(told)
    for cells, row in zip(rows, shown_in_page(demo), strict=True):
        line = told[row.section, row.name]
        assert cells[0].text.split(",")[0] == line[2]
        assert [c.get("data-value", "") for c in cells[2 : 2 + count + 4]] == line[HEAD:-2]
        shown = cells[2 : 2 + count]
        marked = {at for at, c in enumerate(shown) if "odd" in c.get("class", "").split()}
        assert marked == row.odd == {at for at, c in enumerate(shown) if "*" in (c.text or "")}


def shown_in_page(table: SideBySide) -> list[Row]:
    """The rows in the order of the page: section by section, what sets the formulas apart first."""
    sections = dict.fromkeys(row.section for row in table.rows)
    return [
        row
        for section in sections
        for row in sorted(
            (r for r in table.rows if r.section == section), key=lambda r: -round(apart(r), 6)
        )
    ]


def test_a_tint_says_how_far_a_value_is_from_the_median_and_never_alone(demo: SideBySide) -> None:
    """Against numpy: distances from the median in mean distances, scaled as those of normal values."""
    _, *rows = cells_of(side_by_side_html(demo))
    tinted = 0
    for cells, row in zip(rows, shown_in_page(demo), strict=True):
        values = [np.nan if cell.value is None else cell.value for cell in row.cells]
        away = np.array(values) - np.nanmedian(values) if any(c.value is not None for c in row.cells) else np.zeros(len(values))  # fmt: skip
        usual = np.nanmean(abs(away)) / np.sqrt(2 / np.pi)
        for at, cell in enumerate(cells[2 : 2 + len(values)]):
            found = re.findall(r"(up|down)-(\d)", cell.get("class", ""))
            signs = re.findall("[▲▼]+", cell.text or "")
            if not found:
                assert not signs
                # near enough, or measuring or what could not be counted may be all of it
                may_be = row.cells[at].too_low or any(c.spread for c in row.cells)
                few = np.count_nonzero(~np.isnan(values)) < 3
                assert may_be or few or np.isnan(away[at]) or not usual or abs(away[at]) < usual
                continue
            ((way, steps),) = found
            assert signs == [("▲" if way == "up" else "▼") * int(steps)]
            assert (way == "up") == (away[at] > 0)
            assert int(steps) == sum(abs(away[at]) / usual >= step - 1e-4 for step in (1, 2, 3))
            tinted += 1
    assert tinted > 30


def test_two_formulas_have_no_middle_and_no_tint() -> None:
    page = side_by_side_html(
        table_of(formula_text(*BUN), with_line("{item: butter, amount: 99 g}"))
    )
    assert not re.findall(r'class="(?:up|down)-', page) and "▲" not in page


def test_rows_come_in_the_order_of_what_sets_formulas_apart() -> None:
    """By hand: of three buns salt is 8, 8, 16 (off the median by 8 / 3, of 16: 0.17), butter 75, 75, 90 (5 of 90: 0.06)."""
    salty = [("8", "75"), ("8", "75"), ("16", "90")]
    table = table_of(*(formula_text("{item: bread flour, amount: 500 g}", f"{{item: salt, amount: {salt} g}}", f"{{item: butter, amount: {butter} g}}") for salt, butter in salty))  # fmt: skip
    by_name = {row.name: apart(row) for row in table.rows if row.section == "ingredient"}
    assert by_name == pytest.approx({"bread flour": 0, "table salt": 8 / 3 / 16, "unsalted butter": 5 / 90}, abs=1e-4)  # fmt: skip
    rows = cells_of(side_by_side_html(table))
    names = [row[0].text for row in rows]
    assert names.index("table salt") < names.index("unsalted butter") < names.index("bread flour")


def test_a_phone_has_each_formula_against_the_median(demo: SideBySide) -> None:
    cards = html.fromstring(side_by_side_html(demo)).xpath("//div[@class='cards']/section")
    assert [card.find("h3").text.removesuffix(" ~") for card in cards] == [c.label for c in demo.columns]  # fmt: skip
    for at, card in enumerate(cards):
        told = [[cell.text for cell in row] for row in card.iter("tr") if row.get("class") != "section"]  # fmt: skip
        wanted = [row for row in shown_in_page(demo) if row.section != "ingredient" or cell_text(row, row.cells[at]) != "–"]  # fmt: skip
        assert [line[0] for line in told[1:]] == [name_text(row) for row in wanted]
        for line, row in zip(told[1:], wanted, strict=True):
            assert (line[1] or "").split(" ")[0].rstrip("*") == cell_text(row, row.cells[at])
            assert (line[2] or "") == ("" if row.median is None else value_text(row, row.median))


def test_the_page_needs_no_network_and_no_script(demo: SideBySide) -> None:
    text = side_by_side_html(demo)
    page = html.fromstring(text)
    links = page.xpath("//@src | //@href | //@action")
    assert links == [] and "url(" not in text and "@import" not in text
    assert "default-src 'none'" in text
    assert {"svg", "table", "thead", "script"} <= {one.tag for one in page.iter()}
    assert re.search(r"tbody th.*position: sticky; left: 0", text, re.DOTALL)
    assert "@media print" in text


def test_names_and_titles_are_escaped() -> None:
    hostile = "<script>alert(1)</script> & \"co\" 'x' $a_b$"
    line = "{item: '<img src=x onerror=alert(2)>', amount: 20 g}"
    text = formula_text(*BUN, line).replace("title: Trial", f"title: {json.dumps(hostile)}")
    formulas = [
        Compared(
            f"<b>{at}</b>$x^2$.yaml", f"/<b>{at}</b>$x^2$&.yaml", weigh_text(text + f"# {at}\n")
        )
        for at in range(3)
    ]
    more = weigh_text(text.replace("20 g", "90 g"))
    formulas.append(Compared("<b>3</b>", "/<b>3</b>", more))
    table = side_by_side(Collected(tuple(formulas), (), frozenset()))
    page = side_by_side_html(table)
    assert "<img" not in page
    assert "alert(1)</script>" not in page
    assert page.count("<script>") == 1
    svg = ElementTree.fromstring(chart_svg(table, "", False))
    assert any((said.get("aria-label") or "").startswith("<b>0</b>$x^2$&.yaml;") for said in svg.iter())  # fmt: skip


# --- chart ------------------------------------------------------------------------------------------------


def test_the_chart_has_a_dot_for_each_formula_in_each_ratio(demo: SideBySide) -> None:
    panels = ratio_chart(demo).panels
    rows = ratio_rows(demo)
    assert [panel.title for panel in panels] == [row.name for row in rows]
    assert [apart(row) for row in rows] == sorted((apart(row) for row in rows), reverse=True)
    page = html.fromstring(side_by_side_html(demo))
    tables = page.xpath("//figure//table")
    for panel, row, table in zip(panels, rows, tables, strict=True):
        told = [[cell.text or "" for cell in line] for line in table.find("tbody")]
        assert [line[0].lstrip("~+ ") for line in told] == [c.formula.title for c in demo.columns]
        for point, cell, line in zip(panel.points, row.cells, told, strict=True):
            wanted = None if cell.too_low and not cell.value else cell.value or 0.0
            assert point.y == wanted
            assert line[1] == ("–" if wanted is None else f"{wanted:.4g}")
            if cell.value and cell.spread > 0.005:
                assert point.low == pytest.approx(max(0.0, cell.value - 2 * cell.spread))
                assert point.high == pytest.approx(cell.value + 2 * cell.spread)
            else:
                assert (point.low, point.high) == (None, None)


def test_formulas_of_one_class_stand_over_its_windows() -> None:
    """As house.yaml has them; of several classes none."""
    loaves = side_by_side(collect([f"{DEMO}/oat-date-loaf", f"{DEMO}/oat-and-treacle-loaf"]))
    house = yaml.safe_load(Path(DEMO, "house.yaml").read_text("utf-8"))
    windows = house["classes"]["loaf-cake"]["windows"]
    bands = {panel.title: panel.band for panel in ratio_chart(loaves).panels if panel.band}
    said = {"sugar and syrup": "sugar", "fat and oil": "fat", "egg": "egg", "liquid": "liquid", "salt": "salt"}  # fmt: skip
    assert set(bands) == set(said)
    for name, band in bands.items():
        assert (band.low, band.high) == (windows[said[name]]["low"], windows[said[name]]["high"])
    mixed = side_by_side(collect([f"{DEMO}/oat-date-loaf", f"{DEMO}/rye-poolish-loaf"]))
    assert not any(panel.band for panel in ratio_chart(mixed).panels)


def test_the_chart_of_fifty_formulas_names_them_all(fifty: SideBySide) -> None:
    svg = ElementTree.fromstring(chart_svg(fifty, "", False))
    said = {one.get("aria-label", "").split(";")[0] for one in svg.iter()}
    assert {f"+ {column.label}" for column in fifty.columns} <= said | {f"+ {s}" for s in said}
    png = chart_png(fifty, "", False)
    assert png.startswith(b"\x89PNG\r\n\x1a\n")
    width, height = struct.unpack(">II", png[16:24])
    assert 300 < width <= 1563 and 5000 < height <= 30_001


def test_the_chart_is_the_same_bytes_each_time(demo: SideBySide) -> None:
    """In another process as well: no date, no version, no chance."""
    outcome = run_cli("compare", DEMO, "--output", "svg", cwd=ROOT)
    assert outcome.out.encode() == chart_svg(demo, "", False)
    assert chart_png(demo, "", False) == chart_png(demo, "", False)


# --- the command ------------------------------------------------------------------------------------------


def test_the_command_leaves_out_what_is_broken(tmp_path: Path) -> None:
    text = formula_text(*BUN)
    written(tmp_path, a=text, b=text, broken="formula: [")
    outcome = run_cli("compare", "a.yaml", "broken.yaml", "b.yaml", cwd=tmp_path)
    assert outcome.code == 1
    assert outcome.err.startswith("broken.yaml:")
    assert "3 files read: 1 error in 1" in outcome.err
    assert outcome.out.startswith("2 formulas side by side")
    one = run_cli("compare", "a.yaml", cwd=tmp_path)
    assert (one.code, one.out) == (2, "")
    assert one.err == (
        "perflour: only a.yaml is left to compare; name two formulas or more, or their folder\n"
    )
    assert run_cli("compare", "a.yaml", "nowhere.yaml", cwd=tmp_path).code == 2


def test_the_command_writes_a_file_and_never_a_formula(tmp_path: Path) -> None:
    text = formula_text(*BUN)
    written(tmp_path, a=text, b=text)
    words = ("compare", "a.yaml", "b.yaml")
    outcome = run_cli(*words, "--output", "png", "--write", "chart.png", cwd=tmp_path)
    assert (outcome.code, outcome.out, outcome.err) == (0, "", "")
    assert (tmp_path / "chart.png").read_bytes().startswith(b"\x89PNG")
    for name, problem in (
        ("a.yaml", "the report is about this file; name another with --write"),
        (".", "is no plain file; name a file with --write"),
        ("no/where.csv", "cannot be written (No such file or directory); check the folder"),
    ):
        outcome = run_cli(*words, "--write", name, "--output", "csv", cwd=tmp_path)
        assert (outcome.code, outcome.err) == (2, f"perflour: {name}: {problem}\n")
    assert (tmp_path / "a.yaml").read_text(encoding="utf-8") == text


def test_a_png_is_not_written_to_a_terminal() -> None:
    ours, theirs = pty.openpty()
    done = subprocess.run(
        [sys.executable, "-m", "perflour", "compare", DEMO, "--output", "png"],
        stdout=theirs,
        stderr=subprocess.PIPE,
        cwd=ROOT,
        check=False,
    )
    os.close(theirs)
    os.close(ours)
    assert done.returncode == 2
    assert done.stderr == b"perflour: a PNG is nothing for a terminal; name a file with --write\n"


def test_the_command_reads_standard_input_and_folders(tmp_path: Path) -> None:
    text = formula_text(*BUN)
    outcome = run_cli("compare", "-", DEMO, "--by", "group", cwd=tmp_path, stdin=text.encode())
    assert outcome.code == 0
    assert outcome.out.startswith("9 formulas side by side")
    assert "all-purpose flour" not in outcome.out


def test_the_page_of_the_docs_shows_what_is_printed() -> None:
    """docs/compare.md: the text below a command is its output in 80 columns."""
    page = (ROOT / "docs" / "compare.md").read_text(encoding="utf-8")
    ((command, shown),) = re.findall(r"```sh\n(.*)\n```\n\n```text\n(.*?)```", page, re.DOTALL)
    done = subprocess.run(
        ["sh", "-c", command.replace("perflour", f'"{sys.executable}" -m perflour', 1)],
        cwd=ROOT,
        env={**os.environ, "COLUMNS": "80"},
        capture_output=True,
        check=True,
    )
    assert done.stdout.decode() == shown


def test_markdown_says_what_the_text_says(demo: SideBySide) -> None:
    """Every figure of the text, a row a line of a table, and every sentence below it."""
    lines = side_by_side_markdown(demo).splitlines()
    cells = {tuple(c.strip() for c in line.split("|")[1:-1]) for line in lines if line[:1] == "|"}
    for row in demo.rows:
        values = [cell_text(row, cell) for cell in row.cells]
        marked = [v + (ODD if at in row.odd else "") for at, v in enumerate(values)]
        shown = [markdown(text) for text in (name_text(row), *marked)]
        assert any(list(found[: len(shown)]) == shown for found in cells), row.name
    text = "\n".join(lines)
    for sentence in likeness(demo, [column.label for column in demo.columns]):
        assert f"- {markdown(sentence)}" in lines
    assert all(markdown(column.formula.title) in text for column in demo.columns)
    assert len({line.count("|") for line in lines if line[:1] == "|"}) == 1


def test_markdown_shows_whatever_a_title_says_as_it_is() -> None:
    texts = [formula_text(*BUN), formula_text(*BUN).replace("Trial", "'<b>|`x`'")]
    said = side_by_side_markdown(table_of(*texts))
    assert "\\<b\\>\\|\\`x\\`" in said
