"""The hooks for other repositories, run by pre-commit itself in one of them."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from .conftest import GIT_ENVIRONMENT, ROOT, formula_text, git

BAKE = 'date: 2026-03-14\nformula: trial\nof: "0f3a9c21b7de"\nbaker: N\nverdict: keep\n'


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where pre-commit keeps the environment it builds, once for all tests here."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs this repository's git")
    return tmp_path_factory.mktemp("pre-commit")


def run_hooks(kitchen: Path, home: Path) -> subprocess.CompletedProcess[str]:
    git(kitchen, "add", "-A")
    command = [sys.executable, "-m", "pre_commit", "run", "--all-files", "--color", "never"]
    environment = {**GIT_ENVIRONMENT, "PRE_COMMIT_HOME": str(home)}
    return subprocess.run(
        command, cwd=kitchen, env=environment, capture_output=True, text=True, check=False
    )


def test_hooks_judge_and_format_another_repository(repository: Path, home: Path) -> None:
    revision = git(ROOT, "rev-parse", "HEAD").strip()
    hooks = "".join(
        f"      - id: {id}\n" for id in ("perflour-lint", "perflour-format", "perflour-bake-record")
    )
    config = f"repos:\n  - repo: {ROOT}\n    rev: {revision}\n    hooks:\n{hooks}"
    (repository / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    folder = repository / "formulas" / "trial"
    (folder / "bakes").mkdir(parents=True)
    formula = folder / "formula.yaml"
    formula.write_text(formula_text("{item: flouur, amount: 100 grams}"), encoding="utf-8")
    (folder / "bakes" / "2026-03-14.yaml").write_text(
        BAKE.replace("keep", "maybe"), encoding="utf-8"
    )

    done = run_hooks(repository, home)
    assert done.returncode == 1, done.stderr
    assert (
        "formulas/trial/formula.yaml:8:16: error: 'flouur' is not in the catalogue" in done.stdout
    )
    assert "files were modified by this hook" in done.stdout
    assert 'formulas/trial/bakes/2026-03-14.yaml:5:10: error: `verdict` is "maybe"' in done.stdout

    formula.write_text(
        formula.read_text(encoding="utf-8").replace("flouur", "flour"), encoding="utf-8"
    )
    (folder / "bakes" / "2026-03-14.yaml").write_text(BAKE, encoding="utf-8")
    done = run_hooks(repository, home)
    assert done.returncode == 0, done.stdout
