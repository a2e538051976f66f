"""What tasters said, from CSV and workbooks into the record: all right, or nothing written."""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pytest
from openpyxl import Workbook

from perflour.documents.reader import read_document
from tests.trials.test_many_samples import SESSION, bake, drawn, kitchen

__all__ = ["kitchen"]  # the fixture


def template(kitchen: Path) -> list[list[str]]:
    done = bake(kitchen, "sheets", SESSION, "--output", "csv")
    assert done.code == 0
    return list(csv.reader(io.StringIO(done.out)))


def write(kitchen: Path, rows: list[list[str]], delimiter: str = ",") -> str:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter, lineterminator="\n").writerows(rows)
    (kitchen / "said.csv").write_text(text.getvalue(), encoding="utf-8")
    return "said.csv"


def filled(rows: list[list[str]], figure: str = "7") -> list[list[str]]:
    return [rows[0], *([taster, code, *(figure for _ in rest)] for taster, code, *rest in rows[1:])]


def record(kitchen: Path) -> str:
    return (kitchen / SESSION).read_text(encoding="utf-8")


def test_scores_stand_in_the_record_as_typed_by_hand(kitchen: Path) -> None:
    drawn(kitchen, 2, 2, "--attributes", "crumb, flavour")
    before = record(kitchen)
    head, _, answers = before.partition("# What tasters")
    by_hand = head + "".join(
        line[2:].replace(": ,", ": 7,").replace("flavour: }", "flavour: 7}") + "\n"
        for line in answers.splitlines()[1:]
    )
    done = bake(kitchen, "answers", SESSION, write(kitchen, filled(template(kitchen))))
    assert (done.code, done.err) == (0, "")
    assert done.out == f"{SESSION}: 4 rows of answers put in\n"
    assert record(kitchen) == by_hand
    assert bake(kitchen, "check").out == "1 file read, nothing found\n"


@pytest.mark.parametrize(
    ("ask", "figure"), [("ranking", "2"), ("preference", ""), ("duo-trio", "")]
)
def test_ranks_and_choices_too(kitchen: Path, ask: str, figure: str) -> None:
    drawn(kitchen, 3 if ask == "ranking" else 2, 2, "--ask", ask)
    rows = template(kitchen)
    if ask == "ranking":
        rows = filled(rows, figure)
    else:
        order = read_document((kitchen / SESSION).read_bytes(), "f").data["order"]
        rows[1:] = [[row["taster"], row["serve"][-1]] for row in order]
    done = bake(kitchen, "answers", SESSION, write(kitchen, rows))
    assert (done.code, done.err) == (0, "")
    assert bake(kitchen, "check").code == 0
    assert "#" not in record(kitchen)


def test_a_workbook_says_the_same(kitchen: Path) -> None:
    drawn(kitchen, 2, 2)
    rows = template(kitchen)
    book = Workbook()
    page = book.active
    assert page is not None
    page.append(["Taster", "Sample", "Overall"])
    for at, (taster, code, _) in enumerate(rows[1:]):
        page.append([taster, float(code), 6.5 + at / 2])
    book.save(kitchen / "said.xlsx")
    done = bake(kitchen, "answers", SESSION, "said.xlsx")
    assert (done.code, done.err) == (0, "")
    scores = read_document((kitchen / SESSION).read_bytes(), "f").data["scores"]
    assert [[row["taster"], row["code"], row["overall"]] for row in scores] == [
        [taster, code, 6.5 + at / 2] for at, (taster, code, _) in enumerate(rows[1:])
    ]
    assert "no sheet named 'Two'; it has Sheet" in bake(kitchen, "answers", SESSION, "said.xlsx", "--sheet", "Two").err  # fmt: skip


def test_semicolons_and_decimal_commas(kitchen: Path) -> None:
    drawn(kitchen, 2, 1)
    assert bake(kitchen, "answers", SESSION, write(kitchen, filled(template(kitchen), "7,5"), ";")).code == 0  # fmt: skip
    assert record(kitchen).count("overall: 7.5") == 2


def test_two_tables_one_after_the_other(kitchen: Path) -> None:
    """Comments and keys of one's own stay; lines to fill in go as they are filled in."""
    drawn(kitchen, 2, 3)
    path = kitchen / SESSION
    path.write_text(record(kitchen) + "# dry weather\nabsent: [T3]\nnotes: Warm day.  # 24 °C\n", encoding="utf-8")  # fmt: skip
    rows = filled(template(kitchen))
    first = [rows[0], *(row for row in rows[1:] if row[0] == "T1"), ["T2", rows[1][1], ""]]
    done = bake(kitchen, "answers", SESSION, write(kitchen, first))
    assert done.out == f"{SESSION}: 2 rows of answers put in, 1 without any left out; 2 are still to come\n"  # fmt: skip
    text = record(kitchen)
    assert "# dry weather" in text and "notes: Warm day.  # 24 °C" in text
    assert text.count("#   - {taster: T2") == 2 and "taster: T3, code" not in text
    second = [rows[0], *(row for row in rows[1:] if row[0] == "T2")]
    assert bake(kitchen, "answers", SESSION, write(kitchen, second)).code == 0
    text = record(kitchen)
    assert "to fill in" not in text and "Still to come" not in text and "# dry weather" in text
    assert bake(kitchen, "check").code == 0
    again = bake(kitchen, "answers", SESSION, write(kitchen, second))
    assert again.code == 1
    assert "said.csv:2:1: error: taster T2 said this already; keep one" in again.err
    assert record(kitchen) == text


WRONG = [
    (2, 1, "999", "3:2: error: taster T1 was not served 999 [session-inconsistent]"),
    (2, 1, "", "3:2: error: the row names no sample; write its blind code [answer-unreadable]"),
    (2, 0, "", "3:1: error: the row names no taster; write one [answer-unreadable]"),
    (2, 0, "T9", "3:1: error: taster T9 is not in the order; check the name [session-inconsistent]"),
    (2, 2, "10", "3:3: error: '10' is no score from 1 to 9; write one, or leave the cell empty [answer-unreadable]"),
    (2, 2, "0", "3:3: error: '0' is no score from 1 to 9; write one, or leave the cell empty [answer-unreadable]"),
    (2, 2, "good", "3:3: error: 'good' is no score from 1 to 9; write one, or leave the cell empty [answer-unreadable]"),
    (2, 3, "sweet", "3:4: error: 'sweet' stands in a column without a heading; move or remove it [answer-unreadable]"),
]  # fmt: skip


@pytest.mark.parametrize(("row", "column", "cell", "told"), WRONG)
def test_one_wrong_cell_and_nothing_is_written(
    kitchen: Path, row: int, column: int, cell: str, told: str
) -> None:
    drawn(kitchen, 2, 2)
    before = record(kitchen)
    rows = filled(template(kitchen))
    rows[row][column:] = [cell, *rows[row][column + 1 :]]
    done = bake(kitchen, "answers", SESSION, write(kitchen, rows))
    assert (done.code, done.out) == (1, "")
    assert done.err.splitlines() == [
        f"said.csv:{told}",
        "1 file read: 1 error in 1",
        f"{SESSION}: nothing is written; mend the table and ask again",
    ]
    assert record(kitchen) == before


REFUSED = [
    ("taster,code\nT1,745\n", "said.csv:1:1: no column for overall; the first row names the columns: taster, code, overall"),
    ("taster,code,overall,remarks\n", "said.csv:1:4: the heading 'remarks' is no column of this session (taster, code, overall); mend or remove it"),
    ("taster,code,overall,overall\n", "said.csv:1:4: the heading 'overall' stands there twice; mend or remove it"),
    ("taster,code,overall\n", "said.csv: holds no answers; fill in a figure or code in some row"),
    ("taster,code,overall\nT1,745,\n", "said.csv: holds no answers; fill in a figure or code in some row"),
    ("", "said.csv: holds no rows; check the file and the sheet"),
    ("PK nothing", "said.csv: no workbook that can be read; save it as .xlsx or CSV"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "message"), REFUSED)
def test_says_why_a_table_is_none(kitchen: Path, text: str, message: str) -> None:
    drawn(kitchen, 2, 2)
    before = record(kitchen)
    (kitchen / "said.csv").write_text(text, encoding="utf-8")
    done = bake(kitchen, "answers", SESSION, "said.csv")
    assert (done.code, done.out, done.err) == (2, "", f"perflour: {message}\n")
    assert record(kitchen) == before


def test_twelve_samples_of_twelve_tasters(kitchen: Path) -> None:
    drawn(kitchen, 12, 12, "--attributes", "crumb, crust, flavour")
    done = bake(kitchen, "answers", SESSION, write(kitchen, filled(template(kitchen))))
    assert done.out == f"{SESSION}: 144 rows of answers put in\n"
    assert bake(kitchen, "check").code == 0
