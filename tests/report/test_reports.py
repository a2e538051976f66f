"""Lint output for machines, the baker's table, and rounding."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from perflour.documents.schema import schema
from perflour.kitchen.figures import grams, percent, signed, spread_text
from tests.conftest import ROOT, formula_text, run_cli

BAD = formula_text(
    "{item: flouur, amount: 100 g}", "{item: salt, amount: 1 pinch}", method="[{do: bake}]"
)


def test_lint_json_and_lines_tell_the_same(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(BAD, encoding="utf-8")
    data = json.loads(run_cli("lint", "f.yaml", "--output", "json", cwd=tmp_path).out)
    lines = run_cli("lint", "f.yaml", "--output", "lines", cwd=tmp_path).out.splitlines()
    rows = [
        f"{r['path']}:{r['line']}:{r['column']}: {r['level']}: {r['message']} [{r['rule']}]"
        for r in data["results"]
    ]
    assert lines[:-1] == rows
    assert lines[-1].startswith("1 file read: ")


SMALL = formula_text("{item: flour, amount: 3 cupps}", "{item: water, amount: 60 C}")


def test_lint_text_shows_the_line_with_a_caret(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(SMALL, encoding="utf-8")
    assert (
        run_cli("lint", "f.yaml", cwd=tmp_path).out
        == """\
f.yaml:8:31: error: unknown unit 'cupps' in '3 cupps', did you mean 'cups'?; use a unit such as g, ml, tsp, cup, large or each [unknown-unit]
          - {item: flour, amount: 3 cupps}
                                  ^
f.yaml:9:31: error: '60 C' of water: °C measures a temperature, not an amount; write a mass, a measure or a count [wrong-dimension]
          - {item: water, amount: 60 C}
                                  ^
1 file read: 2 errors in 1
     1 unknown-unit
     1 wrong-dimension
"""
    )


def test_a_long_line_is_cut_around_the_caret(tmp_path: Path) -> None:
    text = SMALL.replace("title: Trial", f"title: {'long ' * 30}").replace(
        "amount: 3 cupps", f"note: {'x' * 150}, amount: 3 cupps"
    )
    (tmp_path / "f.yaml").write_text(text, encoding="utf-8")
    lines = run_cli("lint", "f.yaml", cwd=tmp_path).out.splitlines()
    shown, caret = lines[1:3]
    assert len(shown) <= 104
    assert shown[caret.index("^") :].startswith("3 cupps}")


def test_lint_markdown_is_by_file(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(SMALL, encoding="utf-8")
    assert (
        run_cli("lint", "f.yaml", "--output", "markdown", cwd=tmp_path).out
        == """\
**1 file read: 2 errors in 1**

### f.yaml

- line 8, error: unknown unit 'cupps' in '3 cupps', did you mean 'cups'?; use a unit such as g, ml, tsp, cup, large or each (`unknown-unit`)
- line 9, error: '60 C' of water: °C measures a temperature, not an amount; write a mass, a measure or a count (`wrong-dimension`)
"""
    )


def test_lint_reads_standard_input(tmp_path: Path) -> None:
    outcome = run_cli("lint", "-", cwd=tmp_path, stdin=BAD.encode())
    assert outcome.code == 1
    assert (
        "<stdin>:8:16: error: 'flouur' is not in the catalogue; did you mean 'all-purpose flour'? Else add it to ingredients.yaml [unknown-ingredient]\n"
        in outcome.out
    )


def test_fail_at_settles_the_exit_code(tmp_path: Path) -> None:
    text = formula_text(
        "{item: flour, amount: 100 g}",
        method="[{do: preheat, to: 175 °C}, {do: bake, uses: [flour], at: 175 °C, for: 20 min, until: golden}]",
    )
    (tmp_path / "f.yaml").write_text(text, encoding="utf-8")
    assert [
        run_cli("lint", "f.yaml", "--fail-at", level, cwd=tmp_path).code
        for level in ("error", "warning", "note")
    ] == [0, 0, 1]


PUBLISHED = sorted((ROOT / "tests/published").glob("*/*/formula.yaml"))


def test_show_json_is_valid_against_its_schema() -> None:
    for path in PUBLISHED:
        data = json.loads(run_cli("show", str(path), "--output", "json", cwd=ROOT).out)
        jsonschema.Draft202012Validator(schema("balance")).validate(data)
        assert {"item", "amount", "mass_g", "mass_spread_g", "percent", "percent_spread"} <= set(
            data["parts"][0]["ingredients"][0]
        )


def test_show_prints_the_bakers_table() -> None:
    """Outside: hydration, salt, yeast and prefermented flour (wildyeastblog.com, Baker's Percentage, part 4, see
    test_balance). By hand: 1,368 = 468 + 900 g, 2,340 = 900 + 468 + 9 + 27 + 936 g, total water 68.4 + 11.9 % (water
    of flour, USDA SR27 20081). Total fat and sugar, and the layout: as first printed.
    """
    path = "tests/published/worked/poolish-baguette/formula.yaml"
    assert run_cli("show", path, cwd=ROOT).out == (
        ROOT / "tests/golden/poolish-baguette.txt"
    ).read_text(encoding="utf-8")


def test_show_fits_eighty_columns() -> None:
    for path in PUBLISHED:
        table = run_cli("show", str(path), cwd=ROOT).out.split("\nbasis ")[0].split("\n", 1)[1]
        assert max(map(len, table.splitlines())) <= 80


@pytest.mark.parametrize(
    ("value", "resolution", "text"),
    [(1280.4, 1, "1,280"), (12.34, 1, "12.3"), (12.34, 5, "12.5"), (1283, 5, "1,285"), (0.3, 1, "0.3"), (0.004, 1, "0.004"), (0, 1, "0.0")],
)  # fmt: skip
def test_grams_are_rounded_to_the_scale(value: float, resolution: float, text: str) -> None:
    assert grams(value, resolution) == text


def test_percentages_are_rounded_as_bakers_do() -> None:
    assert [percent(66.666), percent(1.966, fine=True), percent(0.0123), percent(0)] == [
        "66.7",
        "1.97",
        "0.012",
        "0.0",
    ]
    assert [signed(12), signed(-0.5, fine=True), signed(0)] == ["+12.0", "-0.50", "+0.0"]


def test_a_spread_is_never_told_in_powers_of_ten() -> None:
    assert [spread_text(v) for v in (0.0042, 0.135, 12.7, 99.4, 99.6, 214, 1234)] == ["0.0042", "0.14", "13", "99", "100", "214", "1,234"]  # fmt: skip
