"""`perflour history`: one figure through real git histories, held against the changelog's own figures."""

from __future__ import annotations

import csv
import io
import json
from pathlib import Path
from typing import Any

import pytest

from tests.conftest import ROOT, git, run_cli

TEXT = """\
formula: trial
title: "Trial =1+1"
class: loaf-cake
status: draft
parts:
  - part: batter
    ingredients:
      - {{item: plain flour, amount: 200 g}}
      - {{item: white sugar, amount: {sugar}}}
{more}method:
  - {{do: bake, at: {at}, for: 20 min}}
"""


def text(sugar: str = "100 g", more: str = "", at: str = "180 °C") -> str:
    return TEXT.format(sugar=sugar, more=f"      - {more}\n" if more else "", at=at)


@pytest.fixture
def formula(repository: Path) -> Path:
    """Iterations 1 to 6: cut, not read, with a stranger, the stranger renamed, hotter; the work tree is 7."""
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    path = folder / "formula.yaml"
    for content in (
        text(),
        text("80 g"),
        "formula: [",
        text("80 g", "{item: zorblax pase, amount: 20 g}"),
        text("80 g", "{item: zorblax paste, amount: 20 g}"),
        text("80 g", "{item: zorblax paste, amount: 20 g}", "200 °C"),
    ):
        path.write_text(content)
        git(repository, "add", "-A")
        git(repository, "commit", "-q", "-m", "Change")
    path.write_text(text("90 g", "{item: zorblax paste, amount: some}", "200 °C"))
    return path


def told(formula: Path, *what: str) -> tuple[int, dict[str, Any]]:
    done = run_cli("history", str(formula), *what, "--output", "json", cwd=formula.parent)
    return done.code, json.loads(done.out)


def values(line: dict[str, Any]) -> list[float | None]:
    return [s.get("value") if s["is_there"] else s["is_there"] for s in line["stands"]]


def moves(line: dict[str, Any]) -> list[float | None]:
    return [m["by"] for s in line["stands"] for m in s["moved"]]


def test_a_line_through_time(formula: Path) -> None:
    code, data = told(formula, "sugar", "zorblax paste", "bake at")
    sugar, paste, oven = data["figures"]
    assert code == 1  # one was not read, another is not weighed
    assert values(sugar) == [50, 40, None, 40, 40, 40, 45]
    assert moves(sugar) == pytest.approx([-10, 0, 0, 0, 5])  # over the one that was not read
    assert sugar["stands"][3]["moved"][0]["against_iteration"] == 2
    assert "50.0 % -> 40.0 %, -10.0 % of the batter's flour" in sugar["stands"][1]["moved"][0]["said"][0]  # fmt: skip
    assert paste["names"] == ["zorblax paste", "zorblax pase"]
    assert values(paste) == [False, False, None, 10, 10, 10, None]
    assert moves(paste) == pytest.approx([0, 10, 0, 0, None])
    assert values(oven) == [180, 180, None, 180, 180, 200, 200]
    assert moves(oven) == pytest.approx([0, 0, 0, 20, 0])


def test_a_terminal_is_told_what_is_not_known(formula: Path) -> None:
    done = run_cli("history", str(formula), "zorblax paste", cwd=formula.parent, columns=200)
    rows = {line.split()[0]: line for line in done.out.splitlines() if line.strip()[:1].isdigit()}
    assert "none" in rows["1"]
    assert "not read" in rows["3"]
    assert "not committed" in rows["7"]
    assert "3: could not be read: formulas/trial/formula.yaml:" in done.out
    assert "5: zorblax pase now called zorblax paste" in done.out
    assert "7: not known: no weight is known of zorblax paste" in done.out
    assert "one ingredient under 2 names: zorblax paste, zorblax pase" in done.out


def test_gaps_are_no_points(formula: Path) -> None:
    page = run_cli("history", str(formula), "sugar", "--output", "html", cwd=formula.parent).out
    assert '<th scope="row">3</th><td>–</td>' in page
    svg = run_cli("history", str(formula), "sugar", "--output", "svg", cwd=formula.parent).out
    assert "iteration: 3" not in svg
    assert "iteration: 4" in svg
    rows = csv.DictReader(io.StringIO(run_cli("history", str(formula), "sugar", "--output", "csv", cwd=formula.parent).out))  # fmt: skip
    assert [row["value"] for row in rows][:3] == ["50.0", "40.0", ""]


def test_without_a_name_the_ratios_that_moved_most(formula: Path) -> None:
    _, data = told(formula)
    assert data["moved_most"]
    assert [line["figure"] for line in data["figures"]] == ["sugar", "total-sugar"]


def test_a_merge_is_told_against_both(repository: Path) -> None:
    path = repository / "formulas" / "trial" / "formula.yaml"
    path.parent.mkdir(parents=True)

    def commit(content: str) -> None:
        path.write_text(content)
        git(repository, "add", "-A")
        git(repository, "commit", "-q", "-m", "Change")

    commit(text())
    git(repository, "switch", "-q", "-c", "hot")
    commit(text(at="200 °C"))
    git(repository, "switch", "-q", "main")
    commit(text("80 g"))
    git(repository, "merge", "-q", "--no-commit", "-s", "ours", "hot")
    commit(text("80 g", at="200 °C"))
    _, data = told(path, "sugar")
    last = data["figures"][0]["stands"][-1]["moved"]
    assert {m["against_iteration"]: round(m["by"]) for m in last} == {2: 0, 3: -10} or {
        m["against_iteration"]: round(m["by"]) for m in last
    } == {3: 0, 2: -10}
    text_told = run_cli("history", str(path), "sugar", cwd=repository).out
    assert "-10.0 against " in text_told


@pytest.mark.parametrize(
    "name", ["oat-date-loaf", "rye-ginger-cookie", "peach-cardamom-crumb-cake"]
)
def test_figures_are_the_changelogs(name: str) -> None:
    """Of each ingredient of the demo at each iteration, to the 0.01 % that the changelog keeps."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    folder = f"formulas/{name}"
    log = json.loads(run_cli("changelog", folder, "--output", "json", cwd=ROOT).out)["formulas"][0]
    items = sorted({item for i in log["iterations"] for item in i["percent_of_basis"]})
    done = run_cli("history", folder, *items, "--output", "json", cwd=ROOT)
    lines = {line["figure"]: line for line in json.loads(done.out)["figures"]}
    for item in items:
        line = lines.get(item) or lines[item.replace(" ", "-")]  # a ratio of the same name
        for iteration, stand in zip(log["iterations"], line["stands"], strict=True):
            expected = iteration["percent_of_basis"].get(item)
            assert stand["is_there"] == (expected is not None or line["kind"] == "ratio")
            assert stand["value"] == pytest.approx(expected or 0.0, abs=0.006), item


@pytest.mark.parametrize(
    ("what", "said"),
    [
        ("sugarr", "did you mean 'sugar'"),
        ("saffron", "was in no iteration of it"),
        ("proof for", "is no ratio, ingredient or figure"),
    ],
)
def test_what_is_not_understood(formula: Path, what: str, said: str) -> None:
    done = run_cli("history", str(formula), what, cwd=formula.parent)
    assert done.code == 2
    assert said in done.err
