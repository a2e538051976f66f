"""The hooks for other repositories, run by pre-commit itself in one of them.

Needed: this repository with its git, and an index that pip installs packages from, for the environment that
pre-commit builds.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.conftest import GIT_ENVIRONMENT, ROOT, formula_text, git, run_cli

sys.path.insert(0, str(ROOT / "tools" / "compiled"))
from built_of import PARTS, PLACE, built_of
from make import NAME

pytestmark = pytest.mark.xdist_group("hooks")  # the environment of the hooks is built once

BAKE = 'date: 2026-03-14\nformula: trial\nof: "0f3a9c21b7de"\nbaker: N\nverdict: keep\n'
LINES = ("{item: flour, amount: 300 g}", "{item: dark brown sugar, amount: 180 g}")
CHANGELOG = "formulas/trial/CHANGELOG.md"


class Hooks(NamedTuple):
    """The repository that holds the hooks, and where pre-commit keeps the environment it builds."""

    repository: Path
    revision: str
    home: Path

    def config(self, *names: str) -> str:
        listed = "".join(f"      - id: {name}\n" for name in names)
        return (
            f"repos:\n  - repo: {self.repository}\n    rev: {self.revision}\n    hooks:\n{listed}"
        )

    def run(self, kitchen: Path, *command: str) -> subprocess.CompletedProcess[str]:
        """Run a command in which hooks may run."""
        # Of thousands of modules in the environment, the hooks load a few hundred.
        environment = {
            **GIT_ENVIRONMENT,
            "PRE_COMMIT_HOME": str(self.home),
            "PIP_COMPILE": "0",
        }
        return subprocess.run(
            command, cwd=kitchen, env=environment, capture_output=True, text=True, check=False
        )


@pytest.fixture(scope="module")
def hooks(tmp_path_factory: pytest.TempPathFactory) -> Hooks:
    """These files as they are now, committed in a clone; built once for all tests here."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs this repository with its .git: pre-commit clones the hooks from it")
    folder = tmp_path_factory.mktemp("hooks") / "perflour"
    git(ROOT, "clone", "-q", str(ROOT), str(folder))
    for name in ("tools", "schema"):
        ignored = shutil.ignore_patterns("__pycache__")
        shutil.copytree(ROOT / name, folder / name, dirs_exist_ok=True, ignore=ignored)
    for name in (".pre-commit-hooks.yaml", "pyproject.toml"):
        shutil.copy(ROOT / name, folder / name)
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "--allow-empty", "-m", "As it is now")
    revision = git(folder, "rev-parse", "HEAD").strip()
    return Hooks(folder, revision, tmp_path_factory.mktemp("pre-commit"))


def run_hooks(kitchen: Path, hooks: Hooks) -> subprocess.CompletedProcess[str]:
    git(kitchen, "add", "-A")
    words = ("-m", "pre_commit", "run", "--all-files", "--color", "never")
    return hooks.run(kitchen, sys.executable, *words)


def test_hooks_judge_and_format_another_repository(repository: Path, hooks: Hooks) -> None:
    names = ("perflour-lint", "perflour-format", "perflour-bake-record")
    config = hooks.config(*names)
    (repository / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    folder = repository / "formulas" / "trial"
    (folder / "bakes").mkdir(parents=True)
    formula = folder / "formula.yaml"
    formula.write_text(formula_text("{item: flouur, amount: 100 grams}"), encoding="utf-8")
    (folder / "bakes" / "2026-03-14.yaml").write_text(
        BAKE.replace("keep", "maybe"), encoding="utf-8"
    )

    done = run_hooks(repository, hooks)
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
    done = run_hooks(repository, hooks)
    assert done.returncode == 0, done.stdout


def test_what_is_installed_says_what_it_is_built_of(repository: Path, hooks: Hooks) -> None:
    """The same digest as of the files and the compiled reader that it was built of."""
    (repository / ".pre-commit-config.yaml").write_text(hooks.config("perflour-lint"), "utf-8")
    run_hooks(repository, hooks)
    (told,) = hooks.home.glob(f"**/site-packages/{PLACE}")
    made = next(told.parents[2].glob(f"{NAME}*"), None)
    assert told.read_text("ascii") == f"{built_of(hooks.repository, made)}\n"


def test_another_content_or_name_is_another_digest(tmp_path: Path) -> None:
    files = {part: tmp_path / part / "inner" / "file.py" for part in PARTS}
    for path in files.values():
        path.parent.mkdir(parents=True)
        path.write_text("1")
    digests = [built_of(tmp_path, None)]
    for path in files.values():
        path.write_text("2")
        digests.append(built_of(tmp_path, None))
        path.rename(path.with_name("other.py"))
        digests.append(built_of(tmp_path, None))
    digests.append(built_of(tmp_path, Path(__file__)))
    assert len({*digests}) == len(digests) == 2 * len(PARTS) + 2
    (tmp_path / PARTS[0] / "one.pyc").write_text("3")
    assert built_of(tmp_path, Path(__file__)) == digests[-1]


@pytest.mark.parametrize(
    ("line", "level", "code"),
    [("{item: egg, amount: 1 each}", "warning", 0), ("{item: egg, amount: 1 eac}", "error", 1)],
)
def test_the_lint_hook_stops_a_commit_for_errors_alone(
    repository: Path, hooks: Hooks, line: str, level: str, code: int
) -> None:
    config = hooks.config("perflour-lint", "perflour-bake-record")
    (repository / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    (folder / "formula.yaml").write_text(formula_text(LINES[0], line), encoding="utf-8")
    levels = [
        row.split(": ")[1] for row in run_cli("lint", "--output", "lines", cwd=repository).out.splitlines()[:-1]
    ]  # fmt: skip
    assert level in levels and ("error" in levels) == (level == "error")
    assert run_hooks(repository, hooks).returncode == code


def test_the_record_hook_asks_for_the_reason_of_a_change(repository: Path, hooks: Hooks) -> None:
    (repository / ".pre-commit-config.yaml").write_text(
        hooks.config("perflour-records-kept"), encoding="utf-8"
    )
    folder = repository / "formulas" / "trial"
    (folder / "bakes").mkdir(parents=True)
    (folder / "formula.yaml").write_text(formula_text(*LINES), encoding="utf-8")
    run_cli("bake", "new", "formulas/trial", "--baker", "N", "--verdict", "keep", "--date", "2026-03-14", cwd=repository)  # fmt: skip
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Bake it")
    assert run_hooks(repository, hooks).returncode == 0
    record = folder / "bakes" / "2026-03-14.yaml"
    kept = record.read_text(encoding="utf-8")
    record.write_text(kept.replace("keep", "reject"), encoding="utf-8")
    git(repository, "add", "-A")
    done = run_hooks(repository, hooks)
    assert done.returncode == 1 and "verdict keep -> reject" in done.stdout
    why = "amended: [{date: 2026-03-20, by: N, because: written down wrongly}]\n"
    record.write_text(kept.replace("keep", "reject") + why, encoding="utf-8")
    git(repository, "add", "-A")
    assert run_hooks(repository, hooks).returncode == 0


@pytest.mark.parametrize(
    "page", [".pre-commit-hooks.yaml", ".pre-commit-config.yaml", "tools/perflour/data/kitchen/pre-commit-config.yaml"]
)  # fmt: skip
def test_every_lint_hook_fails_at_the_level_that_the_docs_say(page: str) -> None:
    entries = re.findall(r"(?m)entry: (perflour lint .*)$", (ROOT / page).read_text("utf-8"))
    assert set(entries) == {"perflour lint --fail-at error --"}
    told = (ROOT / "docs" / "team.md").read_text(encoding="utf-8")
    assert "| `perflour-lint` | before each commit | stops it for errors in" in told
    assert "| `perflour-bake-record` | before each commit | stops it for errors in" in told
    assert "perflour lint --fail-at error\n" in told  # the same in CI


def write_formula(kitchen: Path, sugar_g: int = 180, title: str = "Trial") -> None:
    content = formula_text(*LINES).replace("180 g", f"{sugar_g} g")
    path = kitchen / "formulas" / "trial" / "formula.yaml"
    path.write_text(content.replace("title: Trial", f"title: {title}"), encoding="utf-8")


def commit(kitchen: Path, hooks: Hooks, *words: str) -> subprocess.CompletedProcess[str]:
    """A real commit of everything, with the hook that `pre-commit install` writes."""
    git(kitchen, "add", "-A")
    return hooks.run(kitchen, "git", "commit", *words)


@pytest.fixture
def kitchen(repository: Path, hooks: Hooks) -> Path:
    """A repository with the changelog hook installed, its first formula and changelog committed."""
    config = hooks.config("perflour-changelog-fresh")
    (repository / ".pre-commit-config.yaml").write_text(config, encoding="utf-8")
    installed = hooks.run(repository, sys.executable, "-m", "pre_commit", "install")
    assert installed.returncode == 0, installed.stderr
    (repository / "formulas" / "trial").mkdir(parents=True)
    write_formula(repository)
    started = commit(repository, hooks, "-m", "Start the trial")
    assert started.returncode == 0, started.stderr
    run_cli("changelog", "--write", cwd=repository)
    written = commit(repository, hooks, "-m", "Write the changelog")
    assert written.returncode == 0, written.stderr
    return repository


def test_the_changelog_hook_over_commits_an_amend_and_a_rebase(kitchen: Path, hooks: Hooks) -> None:
    write_formula(kitchen, 216)
    done = commit(kitchen, hooks, "-m", "Raise the sugar")
    assert done.returncode == 0, done.stderr

    write_formula(kitchen, 216, "A better trial")
    done = commit(kitchen, hooks, "-m", "Give it a better name")
    assert done.returncode == 1
    message = (
        f"{CHANGELOG}:1:1: is behind iteration 2; run perflour changelog --write formulas/trial\n"
    )
    assert message in done.stderr

    assert run_cli("changelog", "--write", cwd=kitchen).out == f"{CHANGELOG}\n"
    done = commit(kitchen, hooks, "-m", "Give it a better name")
    assert done.returncode == 0, done.stderr
    first = git(kitchen, "rev-parse", "HEAD")
    assert run_cli("changelog", "--check", cwd=kitchen).code == 0

    later = {"GIT_COMMITTER_DATE": "2026-09-20T12:00:00Z"}
    environment = [f"{name}={value}" for name, value in later.items()]
    done = hooks.run(kitchen, "env", *environment, "git", "commit", "--amend", "--no-edit")
    assert done.returncode == 0, done.stderr
    assert git(kitchen, "rev-parse", "HEAD") != first
    assert run_cli("changelog", "--check", cwd=kitchen).code == 0

    git(kitchen, "checkout", "-q", "-b", "side", "HEAD~2")
    (kitchen / "notes.txt").write_text("Order treacle.\n", encoding="utf-8")
    assert commit(kitchen, hooks, "-m", "Keep a note").returncode == 0
    git(kitchen, "checkout", "-q", "main")
    git(kitchen, "rebase", "-q", "side")
    assert (kitchen / "notes.txt").exists()
    assert run_cli("changelog", "--check", cwd=kitchen).code == 0
    assert run_hooks(kitchen, hooks).returncode == 0


def test_the_changelog_hook_asks_for_a_new_test_bake(kitchen: Path, hooks: Hooks) -> None:
    bakes = kitchen / "formulas" / "trial" / "bakes"
    bakes.mkdir()
    (bakes / "2026-03-14.yaml").write_text(BAKE, encoding="utf-8")
    done = commit(kitchen, hooks, "-m", "Record a bake")
    assert done.returncode == 1
    assert (
        f"{CHANGELOG}:1:1: does not tell of test bake 2026-03-14 as it is recorded;" in done.stderr
    )
    run_cli("changelog", "--write", cwd=kitchen)
    assert commit(kitchen, hooks, "-m", "Record a bake").returncode == 0


def test_the_changelog_hook_in_a_linked_work_tree(kitchen: Path, hooks: Hooks) -> None:
    """There git tells hooks its folder in GIT_DIR, but not where the work tree is."""
    linked = kitchen / "linked"
    git(kitchen, "worktree", "add", "-q", "-b", "side", str(linked))
    write_formula(linked, 216)
    assert commit(linked, hooks, "-m", "Raise the sugar").returncode == 0
    write_formula(linked, 216, "A better trial")
    done = commit(linked, hooks, "-m", "Give it a better name")
    assert f"{CHANGELOG}:1:1: is behind iteration 2;" in done.stderr
    assert run_cli("changelog", "--write", cwd=linked).out == f"{CHANGELOG}\n"
    done = commit(linked, hooks, "-m", "Give it a better name")
    assert done.returncode == 0, done.stderr
