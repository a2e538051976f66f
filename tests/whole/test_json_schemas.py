"""What commands print with --output json, by the real command line, against the schemas in schema/."""

from __future__ import annotations

import json
import os
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from tests.conftest import ROOT, git, run_cli
from tests.history.test_changelog import bake, commit
from tests.release.test_policy import kitchen

__all__ = ["kitchen"]  # the fixture

SPAN = "HEAD^{/^Record the fourth round}..HEAD"
#: By schema: what prints it, on the demo.
COMMANDS: dict[str, list[tuple[str, ...]]] = {
    "bakes": [("bake", "list", "formulas/oat-date-loaf"), ("bake", "list", "formulas")],
    "changelog": [("changelog", "formulas"), ("changelog", "formulas/oat-date-loaf")],
    "compare": [
        ("compare", "formulas"),
        ("compare", "formulas", "--by", "group"),
        ("compare", "formulas/oat-date-loaf", "--to", "formulas/rye-ginger-cookie"),
    ],
    "diff": [("diff", *SPAN.split(".."))],
    "find": [
        ("find", "sugar > 40", "bake time < 99", "--with", "egg", "--words", "bake"),
        ("find", "total-water > 83.5"),
    ],
    "history": [
        ("history", "formulas/oat-date-loaf", "sugar", "soak for", "egg"),
        ("history", "formulas/rye-ginger-cookie"),
    ],
    "middle": [
        ("middle", "formulas"),
        ("middle", "formulas", "--best", "3", "--weights", "scores", "--by", "overall"),
        ("middle", "formulas", "--ours", "formulas/oat-date-loaf"),
    ],
    "release": [("release", SPAN), ("release", "HEAD")],
    "review": [("review", SPAN)],
    "trial-plan": [
        (
            "trial",
            "plan",
            "formulas/oat-date-loaf",
            "--vary",
            "egg=30..40",
            "--vary",
            "bake at=165..180 °C",
            "--bakes",
            "4",
            "--tasters",
            "3",
            "--dry-run",
        )
    ],
    "trials": [("trial", "list", "formulas")],
}


def validator(name: str) -> Any:
    data = json.loads((ROOT / "schema" / f"{name}.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(data)
    for example in data["examples"]:
        jsonschema.Draft202012Validator(data).validate(example)
    return jsonschema.Draft202012Validator(data)


@pytest.mark.parametrize(
    ("name", "words"), [(name, words) for name, rows in COMMANDS.items() for words in rows]
)
def test_the_demo_prints_what_the_schema_says(name: str, words: tuple[str, ...]) -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    done = run_cli(*words, "--output", "json", cwd=ROOT)
    assert done.code in (0, 1), done.err
    data = json.loads(done.out, parse_constant=lambda sign: pytest.fail(f"{sign} is no JSON"))
    assert isinstance(data["format"], int)
    validator(name).validate(data)  # which says the number


def test_a_merge_ahead_is_as_the_schema_says(kitchen: Path) -> None:
    for branch, sugar in (("work", 150), ("main", 90)):
        git(kitchen, "switch", "-q", branch)
        path = kitchen / "formulas/rye-loaf/formula.yaml"
        path.write_text(path.read_text().replace("120 g", f"{sugar} g"))
        commit(kitchen, "Change")
    told = json.loads(run_cli("review", "main..work", "--output", "json", cwd=kitchen).out)
    assert told["merges"]
    validator("review").validate(told)


def test_a_changelog_with_records_of_all_kinds_is_as_the_schema_says(kitchen: Path) -> None:
    folder = kitchen / "formulas/plain-loaf"
    bake(folder, "2026-03-18", "f" * 12, "change", "amended: [{date: 2026-03-20, by: N, because: typing error}]\nphotos: [{file: crumb.jpg, shows: cut face}]\n")  # fmt: skip
    (folder / "bakes/2026-03-19.yaml").write_text("verdict: [\n")
    done = run_cli("changelog", "--output", "json", cwd=kitchen)
    told = json.loads(done.out)
    lost = told["formulas"][0]["bakes_of_no_revision"][-1]
    assert (lost["photos"], lost["amended"]) == (["cut face"], ["2026-03-20 by N: typing error"])
    assert (done.code, len(told["formulas"][0]["not_read"])) == (1, 1)
    validator("changelog").validate(told)


def test_every_schema_of_an_output_is_listed() -> None:
    page = (ROOT / "docs" / "reference.md").read_text(encoding="utf-8")
    for name in sorted(os.listdir(ROOT / "schema")):
        assert f"schema/{name}" in page, f"run: python tools/maintain/write_reference.py ({name})"
