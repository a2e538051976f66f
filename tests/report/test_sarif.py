"""The SARIF log of lint, against the standard: SARIF 2.1.0, OASIS, sections named beside each check."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import jsonschema
import pytest

from perflour.lint.rules.described import described_rules
from perflour.report.rules import rule_text
from tests.conftest import ROOT, formula_text, git, run_cli

BAD = formula_text("{item: flour, amount: 3 cupps}", "{item: water, amount: 60 C}", "{item: flouur, amount: 2 g}")  # fmt: skip
SCHEMA = ROOT / "tests" / "published" / "oasis" / "sarif-schema-2.1.0.json"
PAGES = "https://git.example.org/kitchen/perflour/docs/rules"


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository with a formula in a folder whose name has a space, and a house."""
    put(repository, BAD)
    (repository / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    return repository


def put(kitchen: Path, text: str, name: str = "a folder/trial/formula.yaml") -> None:
    path = kitchen / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")


def run_of(folder: Path, *paths: str, stdin: bytes = b"") -> dict[str, Any]:
    """The one run of a log (3.13, 3.14)."""
    done = run_cli("lint", "--output", "sarif", "--", *paths, cwd=folder, stdin=stdin)
    assert done.code in (0, 1), done.err
    log = json.loads(done.out)
    assert log["version"] == "2.1.0"
    assert log["$schema"].endswith("sarif-schema-2.1.0.json")
    (run,) = log["runs"]
    return dict(run)


def location_of(result: dict[str, Any]) -> dict[str, Any]:
    return dict(result["locations"][0]["physicalLocation"])


def marks_of(run: dict[str, Any]) -> list[str]:
    return [result["partialFingerprints"]["perflourResult/v1"] for result in run["results"]]


def test_every_rule_is_explained(kitchen: Path) -> None:
    """3.49: ids once each, help in words; without an address no helpUri, which must be absolute (3.49.12)."""
    rules = run_of(kitchen, "a folder")["tool"]["driver"]["rules"]
    assert [rule["id"] for rule in rules] == [rule.id for rule in described_rules()]
    assert [rule["help"]["text"] for rule in rules] == list(map(rule_text, described_rules()))
    assert not any("helpUri" in rule for rule in rules)


@pytest.mark.parametrize("pages", [PAGES, f"{PAGES}/"])
def test_the_house_says_where_the_pages_of_rules_are(kitchen: Path, pages: str) -> None:
    house = kitchen / "house.yaml"
    house.write_text(f"house: Saltmarsh Lane\nrule-pages: {pages}\n", encoding="utf-8")
    rules = run_of(kitchen, "a folder")["tool"]["driver"]["rules"]
    uris = {rule["id"]: rule["helpUri"] for rule in rules}
    assert uris["salt-missing"] == f"{PAGES}/salt-missing.md"
    assert uris["broken-yaml"] == f"{PAGES}/README.md#reading"
    docs = Path(__file__).parents[2] / "docs" / "rules"
    names = {unquote(urlsplit(uri).path).rpartition("/")[2] for uri in uris.values()}
    assert names == {path.name for path in docs.glob("*.md")}


@pytest.mark.parametrize("pages", ["docs/rules", "file:///docs/rules", "https://x.example/a b"])
def test_what_is_no_address_is_told(kitchen: Path, pages: str) -> None:
    house = kitchen / "house.yaml"
    house.write_text(f"house: Saltmarsh Lane\nrule-pages: {pages}\n", encoding="utf-8")
    run = run_of(kitchen, "house.yaml")
    assert [result["ruleId"] for result in run["results"]] == ["not-as-schema"]


def test_results_name_rule_level_and_message(kitchen: Path) -> None:
    """3.27: the index is that of the rule."""
    run = run_of(kitchen, "a folder")
    rules = run["tool"]["driver"]["rules"]
    told = {"unknown-unit", "wrong-dimension", "unknown-ingredient"}
    assert told <= {result["ruleId"] for result in run["results"]}
    for result in run["results"]:
        assert rules[result["ruleIndex"]]["id"] == result["ruleId"]
        assert result["level"] in ("note", "warning", "error")
        assert result["message"]["text"]


@pytest.mark.parametrize(
    ("text", "rule", "region"),
    [
        (BAD, "unknown-unit", "3 cupps"),
        (BAD, "unknown-ingredient", "flouur"),
        (BAD.replace("3 cupps", "'3 cupps'"), "unknown-unit", "'3 cupps'"),
        (BAD.replace("flouur", "flöuur"), "unknown-ingredient", "flöuur"),
        (BAD.replace("status: draft", "status: reference  # theirs"), "reference-without-source", "status: reference"),
        (BAD.replace("method: []", "method: [{do: bake, for: 9 min, until: firm}]"), "bake-without-temperature", "{do: bake, for: 9 min, until: firm}"),
        (BAD.replace("method: []", "method:\n  - {do: bake,\n     for: 9 min, until: firm}"), "bake-without-temperature", None),
        (BAD.replace("method: []", "method:\n  - do: bake\n    for: 9 min\n"), "bake-without-temperature", "do: bake"),
        (BAD.replace("title: Trial", "title: [Trial"), "broken-yaml", None),
        (BAD.replace("title: Trial\n", ""), "not-as-schema", "formula: trial"),
        (BAD.replace("\n", "\r\n"), "unknown-unit", "3 cupps"),
    ],
)  # fmt: skip
def test_a_region_holds_what_is_meant(
    kitchen: Path, text: str, rule: str, region: str | None
) -> None:
    """3.30: the end column is the one behind the last sign."""
    put(kitchen, text)
    results = run_of(kitchen, "a folder")["results"]
    found = next(location_of(r)["region"] for r in results if r["ruleId"] == rule)
    assert set(found) == {"startLine", "startColumn", "endLine", "endColumn"}
    start, end = (found["startLine"], found["startColumn"]), (found["endLine"], found["endColumn"])
    assert start <= end
    if region is not None:
        assert start[0] == end[0]
        line = text.splitlines()[start[0] - 1]
        assert line[start[1] - 1 : end[1] - 1] == region


@pytest.mark.parametrize("below", [".", "a folder", "a folder/trial"])
def test_paths_are_told_from_the_top_of_the_repository(kitchen: Path, below: str) -> None:
    """3.4.4 and 3.14.14: relative to a base that is an absolute address with a slash at its end."""
    run = run_of(kitchen / below, str(kitchen / "a folder"))
    base = run["originalUriBaseIds"]["REPOSITORY"]["uri"]
    assert base == f"{kitchen.resolve().as_uri()}/"
    for result in run["results"]:
        told = location_of(result)["artifactLocation"]
        assert told == {"uri": "a%20folder/trial/formula.yaml", "uriBaseId": "REPOSITORY"}
        assert os.path.isfile(unquote(urlsplit(base + told["uri"]).path))


def test_a_file_elsewhere_and_standard_input_have_no_base(kitchen: Path, tmp_path_factory: pytest.TempPathFactory) -> None:  # fmt: skip
    other = tmp_path_factory.mktemp("elsewhere") / "formula.yaml"
    other.write_text(BAD, encoding="utf-8")
    (told, *_) = run_of(kitchen, str(other))["results"]
    assert location_of(told)["artifactLocation"] == {"uri": other.resolve().as_uri()}
    (told, *_) = run_of(kitchen, "-", stdin=BAD.encode())["results"]
    assert location_of(told)["artifactLocation"]["description"] == {"text": "standard input"}


def test_outside_of_a_repository_the_base_is_the_working_folder(tmp_path: Path) -> None:
    put(tmp_path, BAD, "formulas/trial/formula.yaml")
    run = run_of(tmp_path, "formulas")
    assert run["originalUriBaseIds"]["REPOSITORY"]["uri"] == f"{tmp_path.resolve().as_uri()}/"
    assert {location_of(r)["artifactLocation"]["uri"] for r in run["results"]} == {
        "formulas/trial/formula.yaml"
    }


@pytest.mark.parametrize(
    ("change", "same"),
    [
        (lambda text: "# one\n# more line\n" + text, True),
        (lambda text: text.replace("      - {item: water", "\n      # colder\n      - {item: water"), True),
        (lambda text: text.replace("{item: ", "{note: weighed,   item: "), True),
        (lambda text: text.replace("flouur", "flouuur"), False),
        (lambda text: text.replace("cupps", "spoonz"), False),
    ],
)  # fmt: skip
def test_a_fingerprint_stays_where_lines_move(kitchen: Path, change: Any, same: bool) -> None:
    before = marks_of(run_of(kitchen, "a folder"))
    put(kitchen, change(BAD))
    after = marks_of(run_of(kitchen, "a folder"))
    assert (before == after) == same
    assert len(set(after)) == len(after)


def test_alike_results_are_told_apart_and_a_run_from_below_knows_them(kitchen: Path) -> None:
    text = formula_text(*["{item: flouur, amount: 2 g}"] * 3)
    put(kitchen, text)
    marks = marks_of(run_of(kitchen, "a folder"))
    assert len(set(marks)) == len(marks) >= 3
    assert marks_of(run_of(kitchen / "a folder", "trial")) == marks


def test_what_is_wrong_with_a_house_is_in_the_log(kitchen: Path) -> None:
    house = kitchen / "house.yaml"
    house.write_text("house: Saltmarsh Lane\nunits: [scoop = ?]\n", encoding="utf-8")
    run = run_of(kitchen, "a folder")
    told = next(r for r in run["results"] if r["ruleId"] == "own-unit-unreadable")
    assert location_of(told)["artifactLocation"]["uri"] == "house.yaml"


@pytest.mark.parametrize("stdin", [b"", BAD.encode()])
@pytest.mark.parametrize("house", ["", f"rule-pages: {PAGES}\n"])
def test_the_log_is_valid_against_the_oasis_schema(kitchen: Path, house: str, stdin: bytes) -> None:
    """With its formats: what is said to be an address is one."""
    (kitchen / "house.yaml").write_text(f"house: Saltmarsh Lane\n{house}", encoding="utf-8")
    put(kitchen, "formula: [", "b/formula.yaml")
    git(kitchen, "add", "-A")
    shape = json.loads(SCHEMA.read_text(encoding="utf-8"))
    validator = jsonschema.validators.validator_for(shape)
    paths = ["a folder", "b"] if not stdin else ["-"]
    done = run_cli("lint", "--output", "sarif", "--", *paths, cwd=kitchen, stdin=stdin)
    checker = jsonschema.FormatChecker()
    checker.checks("uri", ValueError)(lambda uri: bool(urlsplit(uri).scheme))
    checker.checks("uri-reference", ValueError)(lambda uri: " " not in uri and bool(urlsplit(uri)))
    validator(shape, format_checker=checker).validate(json.loads(done.out))
