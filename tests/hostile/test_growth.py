"""Work grows with what there is to do, up to limits that are said; beyond them nothing is tried."""

from __future__ import annotations

import io
import json
import re
import resource
import subprocess
import sys
import zipfile
from collections.abc import Callable
from fractions import Fraction
from math import log
from pathlib import Path

import pytest

from perflour.bakeday import packs
from perflour.diff.difference import difference_between
from perflour.kitchen.house import House
from perflour.kitchen.prices import Pack
from perflour.recipe.spreadsheet import MOST_COLUMNS
from tests.conftest import GIT_ENVIRONMENT, formula_text, run_cli, weigh_text

#: What every command gets along with, whatever the files are, within the limits of their schemas.
CEILING_BYTES = 1 << 30
# An exponent of 1 is time that doubles with the input; what is fixed makes it smaller.
STEEPEST = 1.3
VERBS = ("fold", "whisk", "beat", "stir", "mix", "cream", "rub", "sift")


def lines(number: int, word: str) -> str:
    return formula_text(
        "{item: all-purpose flour, amount: 500 g}",
        *(f"{{item: {word} {n}, amount: {n % 90 + 1} g}}" for n in range(number)),
    )


def steps(number: int, seed: int) -> str:
    order = sorted(range(number), key=lambda n: (n * 7919 * seed) % 10_007)
    rows = (f"\n  - {{do: {VERBS[n % 8]}, note: step {n} until {n * 7 % 100} done}}" for n in order)
    return formula_text("{item: all-purpose flour, amount: 500 g}", method="".join(rows))


def seconds(work: Callable[[], object]) -> float:
    """The least processor time of three runs."""
    found = []
    for _ in range(3):
        before = resource.getrusage(resource.RUSAGE_SELF).ru_utime
        work()
        found.append(resource.getrusage(resource.RUSAGE_SELF).ru_utime - before)
    return min(found)


def test_the_diff_of_unlike_lists_grows_with_them() -> None:
    """Every line was held against every other: 12 s for 1,000 lines."""

    def work(number: int) -> Callable[[], object]:
        sides = [weigh_text(lines(number, word)) for word in ("thing", "other")]
        return lambda: difference_between(*sides, "f", House())

    small, large = seconds(work(600)), seconds(work(2400))
    assert log(large / small) / log(4) < STEEPEST, (small, large)


def test_a_method_has_so_many_steps_and_no_more(tmp_path: Path) -> None:
    for name, seed in (("a", 1), ("b", 2)):
        (tmp_path / f"{name}.yaml").write_text(steps(3000, seed))
    done = run_cli("diff", "a.yaml", "b.yaml", cwd=tmp_path)
    assert "`method` is longer than 300; split it" in done.all
    assert done.code in (1, 2)


def bounded(tmp_path: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """A command in a process that may not take more memory than the ceiling."""

    def limit() -> None:
        resource.setrlimit(resource.RLIMIT_AS, (CEILING_BYTES, CEILING_BYTES))

    return subprocess.run(
        [sys.executable, "-m", "perflour", *words],
        cwd=tmp_path, capture_output=True, text=True, env=GIT_ENVIRONMENT, timeout=60, preexec_fn=limit, check=False,
    )  # fmt: skip


def test_the_most_steps_fit_under_the_ceiling(tmp_path: Path) -> None:
    for name, seed in (("a", 1), ("b", 2)):
        (tmp_path / f"{name}.yaml").write_text(steps(300, seed))
    done = bounded(tmp_path, "diff", "a.yaml", "b.yaml")
    assert (done.returncode, done.stderr) == (1, "")


@pytest.mark.parametrize("unit", ["1 cup plus ", "flour and ", "1 1/2 "])
def test_a_line_of_two_hundred_thousand_signs_is_no_ingredient(tmp_path: Path, unit: str) -> None:
    """1 cup plus 1 cup plus ... took 13 s: each time all that was left was read again."""
    recipe = {"@type": "Recipe", "name": "Loaf", "recipeIngredient": ["2 eggs", unit * 20_000], "recipeInstructions": "Mix."}  # fmt: skip
    (tmp_path / "page.html").write_text(f'<script type="application/ld+json">{json.dumps(recipe)}</script>')  # fmt: skip
    done = run_cli("import", "page.html", cwd=tmp_path)
    assert (done.code, done.out) == (2, "")
    assert "signs in one ingredient line, more than 2,000; write one ingredient a line" in done.err


def workbook(path: Path, part: str, change: Callable[[str], str]) -> None:
    """A workbook of one recipe, with one of its parts changed."""
    from openpyxl import Workbook

    book = Workbook()
    for row in (("Ingredient", "Qty", "Unit"), ("flour", 500, "g"), ("salt", 10, "g")):
        book.active.append(row)
    plain = io.BytesIO()
    book.save(plain)
    with zipfile.ZipFile(plain) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            text = old.read(name).decode()
            new.writestr(name, change(text) if name == part else text)


STYLE = '<xf numFmtId="0" fontId="0" fillId="0" borderId="0"/>'
SHEET = "xl/worksheets/sheet1.xml"
WORKBOOKS: dict[str, tuple[str, Callable[[str], str], str]] = {
    "styles": ("xl/styles.xml", lambda t: re.sub("(<cellXfs[^>]*>)", rf"\1{STYLE * 600_000}", t), "far too large"),
    "names": ("xl/workbook.xml", lambda t: t.replace("</workbook>", "<definedNames>" + '<definedName name="n">Sheet!$A$1</definedName>' * 400_000 + "</definedNames></workbook>"), "far too large"),
    "wide rows": (SHEET, lambda t: t.replace("</sheetData>", '<row r="4"><c r="XFD4"><v>1</v></c></row></sheetData>'), f"columns, more than {MOST_COLUMNS}"),
    "a far row": (SHEET, lambda t: t.replace("</sheetData>", '<row r="1048576"><c r="A1048576"><v>1</v></c></row></sheetData>'), "more than 5000 rows"),
}  # fmt: skip


@pytest.mark.parametrize("name", WORKBOOKS)
def test_workbooks_that_are_no_recipes(tmp_path: Path, name: str) -> None:
    """The far row and the wide one were left out without a word, as the sheet says it is small."""
    part, change, said = WORKBOOKS[name]
    workbook(tmp_path / "book.xlsx", part, change)
    done = bounded(tmp_path, "import", "book.xlsx")
    assert done.returncode == 2
    assert said in done.stderr
    assert done.stderr.count("\n") == 1


def test_packs_are_not_sought_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the time is over nothing is said to be the cheapest."""
    offered = [Pack(str(n), Fraction(n + 1), Fraction(n)) for n in (250, 700, 1300)]
    assert packs.cheapest_packs(offered, Fraction(9_999)) is not None
    monkeypatch.setattr(packs, "LONGEST_S", 1e-9)
    assert packs.cheapest_packs(offered, Fraction(9_999)) is None
