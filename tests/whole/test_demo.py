"""The demo formulas of Saltmarsh Lane: clean, in the house format, with a history that ties up."""

from __future__ import annotations

import json

import pytest

from perflour.kitchen.house import kitchen_for
from tests.conftest import ROOT, git, run_cli

FORMULAS = sorted(path.parent for path in (ROOT / "formulas").glob("*/formula.yaml"))
#: The demo keeps one untidied draft, so that lint has something to say.
UNTIDY = "formulas/caraway-cream-biscuit/formula.yaml"


def test_lint_finds_only_what_the_draft_is_meant_to_show() -> None:
    results = json.loads(run_cli("lint", "--output", "json", cwd=ROOT).out)["results"]
    assert {r["path"] for r in results} == {UNTIDY}
    assert {r["rule"] for r in results} == {
        "listed-never-used",
        "no-cooling",
    }
    assert run_cli("lint", "--fail-at", "error", cwd=ROOT).code == 0


def test_formulas_are_in_the_house_format() -> None:
    assert run_cli("format", "--check", cwd=ROOT).out == ""


def test_the_demo_covers_the_job() -> None:
    sheets = [
        json.loads(run_cli("show", str(f), "--output", "json", cwd=ROOT).out) for f in FORMULAS
    ]
    classes = {s["class"] for s in sheets}
    assert len(sheets) >= 6
    assert {
        "lean-bread",
        "crumb-cake",
        "flourless-torte",
        "gluten-free-cake",
        "drop-cookie",
        "loaf-cake",
    } <= classes
    assert classes <= set(kitchen_for(str(FORMULAS[0] / "formula.yaml")).house.classes)
    assert any(part["kind"] == "preferment" for s in sheets for part in s["parts"])
    amounts = " ".join(
        line["amount"] for s in sheets for part in s["parts"] for line in part["ingredients"]
    )
    for unit in ("cup", "large", "pinch", "can", " g"):
        assert unit in amounts


@pytest.mark.skipif(
    not (ROOT / ".git").exists()
    or git(ROOT, "rev-parse", "--is-shallow-repository").strip() == "true",
    reason="needs the repository's whole history",
)
def test_two_formulas_have_five_iterations_and_every_bake_is_of_a_revision() -> None:
    data = json.loads(run_cli("changelog", "--output", "json", cwd=ROOT).out)["formulas"]
    iterations = sorted(len(f["iterations"]) for f in data)
    assert len([n for n in iterations if n >= 5]) >= 2
    assert [f["bakes_of_no_revision"] for f in data] == [[]] * len(data)
    cookie = next(f for f in data if f["formula"] == "rye-ginger-cookie")
    verdicts = {b["verdict"] for i in cookie["iterations"] for b in i["bakes"]}
    assert verdicts == {"keep", "change", "reject"}
    assert any(i["same_as_iteration"] for i in cookie["iterations"])
    assert any(not i["bakes"] for i in cookie["iterations"])
