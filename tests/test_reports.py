"""Lint output for machines, the baker's table, and rounding."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from perflour.report.numbers import grams, percent, signed
from perflour.schema import schema

from .conftest import REFERENCE, ROOT, formula_text, run_cli

BAD = formula_text(
    "{item: flouur, amount: 100 g}", "{item: salt, amount: 1 pinch}", method="[{do: bake}]"
)


def sarif_of(folder: Path) -> dict[str, Any]:
    path = folder / "a folder" / "trial" / "formula.yaml"
    path.parent.mkdir(parents=True)
    path.write_text(BAD, encoding="utf-8")
    outcome = run_cli("lint", "a folder", "--output", "sarif", cwd=folder)
    assert outcome.code == 1
    return dict(json.loads(outcome.out))


def test_sarif_has_what_the_standard_asks(tmp_path: Path) -> None:
    """SARIF 2.1.0 (OASIS), by hand: sections 3.13 log, 3.14 run, 3.27 result, 3.49 rules."""
    log = sarif_of(tmp_path)
    assert log["version"] == "2.1.0"
    assert log["$schema"].endswith("sarif-schema-2.1.0.json")
    (run,) = log["runs"]
    rules = run["tool"]["driver"]["rules"]
    assert len({rule["id"] for rule in rules}) == len(rules)
    assert run["results"]
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["level"] in ("none", "note", "warning", "error")
        assert result["message"]["text"]
        location = result["locations"][0]["physicalLocation"]
        assert location["artifactLocation"]["uri"] == "a%20folder/trial/formula.yaml"
        assert location["region"]["startLine"] >= 1
        assert location["region"]["startColumn"] >= 1


@pytest.mark.skipif(not REFERENCE.is_dir(), reason="the OASIS schema is not on this machine")
def test_sarif_is_valid_against_the_oasis_schema(tmp_path: Path) -> None:
    shape = json.loads((REFERENCE / "sarif-schema-2.1.0.json").read_text(encoding="utf-8"))
    validator = jsonschema.validators.validator_for(shape)
    validator(shape).validate(sarif_of(tmp_path))


def test_lint_json_and_text_tell_the_same(tmp_path: Path) -> None:
    (tmp_path / "f.yaml").write_text(BAD, encoding="utf-8")
    data = json.loads(run_cli("lint", "f.yaml", "--output", "json", cwd=tmp_path).out)
    text = run_cli("lint", "f.yaml", cwd=tmp_path).out.splitlines()
    rows = [
        f"{r['path']}:{r['line']}:{r['column']}: {r['level']}: {r['message']} [{r['rule']}]"
        for r in data["results"]
    ]
    assert text[:-1] == rows
    assert (
        text[-1]
        == f"1 file read: {sum(r['level'] == 'error' for r in data['results'])} errors, {sum(r['level'] == 'warning' for r in data['results'])} warnings, {sum(r['level'] == 'note' for r in data['results'])} note in 1".replace(
            " 0 notes,", ""
        ).replace(", 0 note", "")
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
