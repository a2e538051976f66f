"""What a clone lacks is named, each with what to do; one that is set up has nothing to say."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import GIT_ENVIRONMENT, git, run_cli


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A kitchen with everything, its hooks installed by pre-commit itself."""
    folder = tmp_path / "saltmarsh-lane"
    run_cli("new", "kitchen", str(folder), cwd=tmp_path)
    words = [sys.executable, "-m", "pre_commit", "install"]
    environment = {**GIT_ENVIRONMENT, "PRE_COMMIT_HOME": str(tmp_path / "home")}
    subprocess.run(words, cwd=folder, env=environment, check=True, capture_output=True)
    return folder


def test_a_clone_that_is_set_up(kitchen: Path) -> None:
    done = run_cli("check-setup", cwd=kitchen)
    assert (done.code, done.err) == (0, "")
    lines = done.out.splitlines()
    assert all(line.startswith("ok ") for line in lines)
    assert [line[9:20].strip() for line in lines] == ["git", "repository", "history", "house file", "house file", "schemas", "git drivers", "hooks", "extras"]  # fmt: skip
    assert run_cli("check-setup", cwd=kitchen / "formulas").out == done.out


def forget_hooks(kitchen: Path) -> None:
    (kitchen / ".git" / "hooks" / "pre-commit").unlink()


def set_hooks_elsewhere(kitchen: Path) -> None:
    git(kitchen, "config", "core.hooksPath", ".githooks")


def name_no_hooks(kitchen: Path) -> None:
    (kitchen / ".pre-commit-config.yaml").write_text("repos: []\n", encoding="utf-8")


def age_a_schema(kitchen: Path) -> None:
    (kitchen / "schema" / "bake.schema.json").write_text("{}\n", encoding="utf-8")


def lose_a_schema(kitchen: Path) -> None:
    (kitchen / "schema" / "formula.schema.json").unlink()


def break_the_house(kitchen: Path) -> None:
    (kitchen / "formulas" / "house.yaml").write_text("house: [\n", encoding="utf-8")


def lose_the_house(kitchen: Path) -> None:
    (kitchen / "formulas" / "house.yaml").unlink()
    run_cli("git-setup", cwd=kitchen)


def lose_a_driver(kitchen: Path) -> None:
    git(kitchen, "config", "--unset", "merge.perflour.driver")


@pytest.mark.parametrize(
    ("harm", "told"),
    [
        (forget_hooks, "hooks        not installed in this clone; run pre-commit install"),
        (set_hooks_elsewhere, "hooks        not installed in this clone; run pre-commit install"),
        (name_no_hooks, "hooks        no perflour in .pre-commit-config.yaml; name our hooks"),
        (
            age_a_schema,
            "schemas      not those of this perflour: bake.schema.json; delete these and",
        ),
        (lose_a_schema, "schemas      not there: formula.schema.json; run perflour new kitchen"),
        (break_the_house, "house file   formulas/house.yaml has 1 error; run perflour lint"),
        (lose_the_house, "house file   no house.yaml; run perflour new kitchen"),
        (lose_a_driver, "git drivers  git config merge.perflour.driver: nothing of perflour; run"),
    ],
)
def test_what_is_missing_is_named_alone(
    kitchen: Path, harm: Callable[[Path], None], told: str
) -> None:
    harm(kitchen)
    done = run_cli("check-setup", cwd=kitchen)
    missing = [line for line in done.out.splitlines() if line.startswith("missing")]
    assert (done.code, len(missing), done.err) == (1, 1, ""), done.all
    assert missing[0].startswith(f"missing  {told}")


def test_what_to_do_mends_the_schemas(kitchen: Path) -> None:
    age_a_schema(kitchen)
    lose_a_schema(kitchen)
    found = run_cli("check-setup", "--output", "json", cwd=kitchen)
    assert [row["found"] for row in json.loads(found.out) if not row["well"]] == [
        "not there: formula.schema.json",
        "not those of this perflour: bake.schema.json",
    ]
    (kitchen / "schema" / "bake.schema.json").unlink()
    run_cli("new", "kitchen", cwd=kitchen)
    assert run_cli("check-setup", cwd=kitchen).code == 0


def test_a_shallow_clone_and_a_fresh_one(kitchen: Path, tmp_path: Path) -> None:
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-q", "--no-verify", "-m", "One")
    git(kitchen, "commit", "-q", "--no-verify", "--allow-empty", "-m", "Two")
    git(tmp_path, "clone", "-q", "--depth", "1", f"file://{kitchen}", "shallow")
    done = run_cli("check-setup", cwd=tmp_path / "shallow")
    assert done.code == 1
    assert "missing  history      a part of it only; run git fetch --unshallow" in done.out
    assert done.out.count("run perflour git-setup") == 5  # the attributes came with the clone


@pytest.mark.parametrize(
    ("script", "told"),
    [
        (None, "missing  git  not on the PATH; install git, 2.31 or newer\n"),
        ("echo git version 2.30.1", "missing  git  version 2.30.1; install git 2.31 or newer\n"),
    ],
)
def test_no_git_or_an_old_one(tmp_path: Path, script: str | None, told: str) -> None:
    if script:
        (tmp_path / "git").write_text(f"#!/bin/sh\n{script}\n", encoding="utf-8")
        (tmp_path / "git").chmod(0o755)
    words = [sys.executable, "-m", "perflour", "check-setup"]
    environment = {**os.environ, "PATH": str(tmp_path)}
    done = subprocess.run(words, cwd=tmp_path, env=environment, capture_output=True, check=False)
    assert (done.returncode, done.stdout.decode(), done.stderr) == (1, told, b"")


def test_outside_a_repository(tmp_path: Path) -> None:
    done = run_cli("check-setup", cwd=tmp_path)
    assert done.code == 1
    assert "missing  repository  none here; run perflour new kitchen" in done.out
