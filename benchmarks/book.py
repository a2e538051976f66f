"""A cookbook in print, held against the typesetter alone on plain tables of the same formulas.

    python benchmarks/book.py [--formulas 10 100 300] [--rounds 3]

The formulas are those of the demo, again and again under other names. "Plain tables" is a process that loads typst and
sets a title and a table of amounts, names and percentages for each formula, from data that lies ready: no file is
read, nothing weighed, no text set, and there is neither contents nor index. "All texts" sets every text of the
book beside these tables, one below the other, which is the least that a typesetter does for such a book. The bar is 4
times the plain tables of 100 formulas, in CPU time. It is not reached: all texts take two to three times the plain
tables by themselves, and "weighed and checked", which is `draft --output json`, takes two times; what the least would
be stands in docs/performance.md.
Typst sets pages on all cores, so that wall time depends on the machine; both are of whole processes, medians of
interleaved rounds.
"""

from __future__ import annotations

import argparse
import json
import os
import re
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

from measuring import ROOT, process, seconds
from release_log import PERFLOUR

BAR = 4
PLAIN = """\
#let book = json(bytes(sys.inputs.book))
#set page(paper: "a4")
#for chapter in book.chapters { for entry in chapter.pages {
  heading(entry.title)
  for part in entry.tables {
    table(columns: book.columns + 2, ..part.rows.map(row => (..row.amounts, row.name, row.percent)).flatten())
  }
  if sys.inputs.texts == "all" {
    for step in entry.steps { enum.item(step) }
    for said in (entry.headnote, entry.table_note, ..entry.kitchen_notes, ..entry.cautions) { par(said) }
    for list in (..entry.facts, ..entry.allergens) { par(list.label + ": " + list.text) }
  }
  pagebreak(weak: true)
} }
"""
SET = """\
import sys, typst
book, plain = (open(name, encoding="utf-8").read() for name in ("book.json", "plain.typ"))
typst.compile(plain.encode(), output="plain.pdf", ignore_system_fonts=True, sys_inputs={"book": book, "texts": sys.argv[1]})
"""
DATA = """\
import json
from perflour.cookbook.book import Selection, draft
from perflour.report.cookbook.pdf import _data
from perflour.report.cookbook.printed.book import printed_book
print(json.dumps(_data(printed_book(draft(["formulas"], Selection()).book))))
"""


def lay_out(folder: Path, formulas: int) -> None:
    """A kitchen of so many approved formulas, and the data of its book."""
    texts = [path.read_text(encoding="utf-8") for path in sorted(ROOT.glob("formulas/*/formula.yaml"))]  # fmt: skip
    own = [text for text in texts if "status: reference" not in text]
    (folder / "formulas").mkdir(parents=True)
    for name in ("house.yaml", "ingredients.yaml"):
        (folder / "formulas" / name).write_bytes((ROOT / "formulas" / name).read_bytes())
    for number in range(formulas):
        path = folder / "formulas" / f"formula-{number}" / "formula.yaml"
        path.parent.mkdir()
        path.write_text(renamed(own[number % len(own)], number), encoding="utf-8")
    (folder / "plain.typ").write_text(PLAIN, encoding="utf-8")
    done = subprocess.run([sys.executable, "-c", DATA], cwd=folder, capture_output=True, check=True)
    (folder / "book.json").write_text(json.dumps(json.loads(done.stdout)), encoding="utf-8")


def renamed(text: str, number: int) -> str:
    """A formula under a name and a title of its own, approved."""
    text = re.sub(r"^formula: .*$", f"formula: formula-{number}", text, flags=re.M)
    text = re.sub(r"^title: (.*)$", rf"title: \1 {number}", text, flags=re.M)
    return re.sub(r"^status: .*$", "status: approved", text, flags=re.M)


def cpu_seconds(run: Callable[[], object]) -> tuple[float, float]:
    """CPU time of a run's processes, and what the clock says."""
    before = os.times()
    wall = seconds(run)
    after = os.times()
    return after.children_user + after.children_system - before.children_user - before.children_system, wall  # fmt: skip


def measured(folder: Path, rounds: int) -> dict[str, tuple[float, float]]:
    """Medians of CPU and wall by run, interleaved; the first round does not count."""
    runs = {
        "book": process([*PERFLOUR, "draft", "--write", "book.pdf"], folder),
        "plain tables": process([sys.executable, "-c", SET, "tables"], folder),
        "all texts": process([sys.executable, "-c", SET, "all"], folder),
        "weighed and checked": process([*PERFLOUR, "draft", "--output", "json"], folder),
    }
    took: dict[str, list[tuple[float, float]]] = {name: [] for name in runs}
    for _ in range(rounds + 1):
        for name, run in runs.items():
            took[name].append(cpu_seconds(run))
    return {
        name: (statistics.median(cpu for cpu, _ in of[1:]), statistics.median(wall for _, wall in of[1:]))
        for name, of in took.items()
    }  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--formulas", type=int, nargs="+", default=[10, 100, 300])
    parser.add_argument("--rounds", type=int, default=3)
    options = parser.parse_args()
    print(f"| formulas | | book | plain tables | ratio (bar {BAR}) | all texts | ratio | weighed and checked |\n| --- | --- | --- | --- | --- | --- | --- | --- |")  # fmt: skip
    for formulas in options.formulas:
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            lay_out(folder, formulas)
            took = measured(folder, options.rounds)
        for at, kind in enumerate(("CPU", "wall")):
            book, plain, texts, weighed = (of[at] for of in took.values())
            print(f"| {formulas} | {kind} s | {book:.2f} | {plain:.2f} | {book / plain:.1f} | {texts:.2f} | {book / texts:.1f} | {weighed:.2f} |")  # fmt: skip


if __name__ == "__main__":
    main()
