"""What `diff` compares in a repository: formulas renamed and swapped, a house that changed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.conftest import formula_text, git, run_cli

ONE = formula_text("{item: flour, amount: 300 g}", "{item: butter, amount: 120 g}")
OTHER = formula_text("{item: rye flour, amount: 500 g}", "{item: water, amount: 400 g}")


@pytest.fixture
def kitchen(repository: Path) -> Path:
    for name, text in (("one", ONE), ("other", OTHER)):
        path = repository / "formulas" / name / "formula.yaml"
        path.parent.mkdir(parents=True)
        path.write_text(text.replace("formula: trial", f"formula: {name}"), encoding="utf-8")
    (repository / "formulas" / "house.yaml").write_text("house: Trial\n", encoding="utf-8")
    commit(repository)
    return repository


def commit(repository: Path) -> None:
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Change it")


def told(repository: Path, *words: str) -> dict[str, list[str]]:
    done = run_cli("diff", *words, "--output", "json", cwd=repository)
    formulas = json.loads(done.out)["formulas"]
    return {f["formula"]: [c["kind"] for c in f["changes"]] for f in formulas}


@pytest.mark.parametrize("words", [(), ("HEAD~1", "HEAD")])
def test_two_formulas_that_took_each_others_name(kitchen: Path, words: tuple[str, ...]) -> None:
    one, other = (kitchen / "formulas" / name for name in ("one", "other"))
    one.rename(kitchen / "formulas" / "third")
    other.rename(one)
    (kitchen / "formulas" / "third").rename(other)
    for folder in (one, other):
        path = folder / "formula.yaml"
        text = path.read_text(encoding="utf-8").splitlines(keepends=True)
        path.write_text(f"formula: {folder.name}\n" + "".join(text[1:]), encoding="utf-8")
    if words:
        commit(kitchen)
    assert told(kitchen, *words) == {"one": ["header"], "other": ["header"]}
    out = run_cli("diff", *words, cwd=kitchen).out
    assert "one: renamed from other" in out and "other: renamed from one" in out


def test_a_renamed_formula_is_no_new_one(kitchen: Path) -> None:
    git(kitchen, "mv", "formulas/one", "formulas/first")
    path = kitchen / "formulas" / "first" / "formula.yaml"
    path.write_text(
        path.read_text(encoding="utf-8").replace("formula: one", "formula: first"), encoding="utf-8"
    )
    commit(kitchen)
    assert told(kitchen, "HEAD~1", "HEAD") == {"first": ["header"]}


def test_a_house_that_changed_is_said_once_and_changes_no_formula(kitchen: Path) -> None:
    (kitchen / "formulas" / "house.yaml").write_text(
        "house: Trial\ncup-habit: dipped\n", encoding="utf-8"
    )
    done = run_cli("diff", cwd=kitchen)
    assert (done.code, done.out) == (1, "")
    assert done.err.count("formulas/house.yaml differs as well: both sides are weighed with") == 1
