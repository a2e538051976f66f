"""A committed file whose name is an option is a file: to real pre-commit, and on the command line."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.conftest import ROOT, formula_text, git, run_cli
from tests.whole.test_hooks import Hooks, hooks, run_hooks

__all__ = ["hooks"]  # a fixture

WRONG = formula_text("{item: flouur, amount: 100 g}")
STRANGE = "--write-baseline=a/formula.yaml"


def put(repository: Path, name: str) -> None:
    path = repository / name
    path.parent.mkdir(parents=True)
    path.write_text(WRONG, encoding="utf-8")


def test_a_file_called_like_an_option_does_not_turn_hooks_green(
    repository: Path, hooks: Hooks
) -> None:
    config = hooks.config("perflour-lint", "perflour-format", "perflour-changelog-fresh")
    (repository / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    put(repository, STRANGE)
    put(repository, "formulas/trial/formula.yaml")
    done = run_hooks(repository, hooks)
    assert done.returncode == 1
    assert f"{STRANGE}:8:16: error: 'flouur' is not in the catalogue" in done.stdout
    assert "formulas/trial/formula.yaml:8:16: error" in done.stdout
    assert not (repository / "a").exists()
    assert git(repository, "status", "--porcelain", "--untracked-files").count("?? ") == 0


@pytest.mark.parametrize(
    "page", [".pre-commit-hooks.yaml", ".pre-commit-config.yaml", "tools/perflour/data/kitchen/pre-commit-config.yaml"]
)  # fmt: skip
def test_every_entry_that_is_given_files_ends_with_two_dashes(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    entries = [
        block for block in re.split(r"(?m)^ *#? *- id: ", text)[1:] if "entry: perflour" in block
    ]
    assert entries
    for block in entries:
        assert "pass_filenames: false" in block or re.search(r"entry: perflour .* --\n", block)


@pytest.mark.parametrize("words", [("lint",), ("lint", "formulas"), ("format",), ("diff",)])
def test_an_option_that_is_a_file_is_refused_without_dashes(
    repository: Path, words: tuple[str, ...]
) -> None:
    put(repository, STRANGE)
    put(repository, "formulas/trial/formula.yaml")
    done = run_cli(*words, STRANGE, cwd=repository)
    assert (done.code, done.out) == (2, "")
    assert done.err == (
        f"perflour: '{STRANGE}' is a file here, and looks like an option; "
        "write -- before the files, or rename it\n"
    )
    assert not (repository / "a").exists()


def test_after_two_dashes_it_is_a_file(repository: Path) -> None:
    put(repository, STRANGE)
    done = run_cli("lint", "--", STRANGE, cwd=repository)
    assert done.code == 1
    assert "'flouur' is not in the catalogue" in done.out


@pytest.mark.parametrize("words", [("explain",), ("completion", "bash"), ("check-setup",), ("git-setup",)])  # fmt: skip
def test_no_word_behind_dashes_is_passed_over(repository: Path, words: tuple[str, ...]) -> None:
    done = run_cli(*words, "--", "salt-missing", cwd=repository)
    assert (done.code, done.out) == (2, "")
    assert done.err == "perflour: nothing is taken behind -- here; leave -- out\n"
