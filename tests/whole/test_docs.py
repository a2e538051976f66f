"""Every command block of README.md and docs/ is run, in a clone of this repository.

Setting up a virtual environment is left out here (`.venv` is the one that runs the tests): .ci/run
runs the README's two commands as they are printed.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from perflour.documents.schema import Kind
from perflour.kitchen.house import Kitchen, kitchen_for
from perflour.lint.check import check_content, check_other
from tests.conftest import GIT_ENVIRONMENT, ROOT

pytestmark = pytest.mark.xdist_group("docs")  # they share a clone

PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").rglob("*.md"))]
SET_UP = re.compile(r"^python3 -m venv \.venv && \.venv/bin/pip install -q (?:-e )?\S+ && ")
FENCE = re.compile(r"^```(\w+)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def blocks(language: str) -> list[tuple[str, str]]:
    """Page and content of every fenced block in a language."""
    found = []
    for page in PAGES:
        text = page.read_text(encoding="utf-8")
        found += [
            (page.relative_to(ROOT).as_posix(), m[2])
            for m in FENCE.finditer(text)
            if m[1] == language
        ]
    return found


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A clone with this tree's files, and the running environment as its .venv."""
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    folder = tmp_path_factory.mktemp("docs") / "perflour"
    subprocess.run(["git", "clone", "-q", str(ROOT), str(folder)], check=True, env=GIT_ENVIRONMENT)
    for name in ("README.md", "DEVELOPERS.md", "docs", "formulas", "schema", "tests", "tools"):
        source, target = ROOT / name, folder / name
        if source.is_dir():
            shutil.copytree(
                source, target, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__")
            )
        else:
            shutil.copy(source, target)
    binaries = folder / ".venv" / "bin"
    binaries.mkdir(parents=True)
    for tool in ("python", "perflour", "pre-commit"):
        script = binaries / tool
        module = {"perflour": "perflour", "pre-commit": "pre_commit"}.get(tool)
        script.write_text(
            f'#!/bin/sh\nexec "{sys.executable}" {f"-m {module} " if module else ""}"$@"\n',
            encoding="utf-8",
        )
        script.chmod(0o755)
    return folder


def run_block(block: str, folder: Path) -> None:
    """Run each line of a block; 1 only says that something was found."""
    environment = {
        **GIT_ENVIRONMENT,
        "PATH": f"{folder / '.venv/bin'}{os.pathsep}{os.environ['PATH']}",
    }
    for line in filter(None, (line.split("  #")[0].strip() for line in block.splitlines())):
        done = subprocess.run(
            ["sh", "-c", line], cwd=folder, env=environment, capture_output=True, check=False
        )
        assert done.returncode in (0, 1), f"{line}\n{done.stderr.decode()}"
        assert b"Traceback" not in done.stderr, line


# The tutorial has a test of its own, which types it in an empty folder.
ONE_BY_ONE = [b for b in blocks("sh") if "pytest" not in b[1] and b[0] != "docs/tutorial.md"]


@pytest.mark.parametrize(("page", "block"), ONE_BY_ONE)
def test_every_command_block_runs(page: str, block: str, clone: Path) -> None:
    run_block(SET_UP.sub("", block), clone)


def test_the_readme_opens_with_two_set_ups_and_ci_runs_both() -> None:
    commands = [block for page, block in blocks("sh") if page == "README.md"]
    assert all(SET_UP.match(command) for command in commands[:2])
    assert "tour.sh" in commands[0]
    assert "pytest" in commands[1]
    ci = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    assert "$(readme_command 1)" in ci
    assert "$(readme_command 2)" in ci


KINDS: dict[str, Kind] = {
    "formula": "formula",
    "house": "house",
    "date": "bake",
    "ingredients": "catalogue",
    "currency": "prices",
}


@pytest.mark.parametrize(
    ("page", "block"), [b for b in blocks("yaml") if not b[0].startswith("docs/rules/")]
)
def test_every_yaml_block_is_what_it_shows(page: str, block: str) -> None:
    kind = KINDS[block.split(":")[0]]
    if kind == "bake" and "\nask:" in block:
        kind = "session"
    if kind == "formula":
        house = kitchen_for(str(ROOT / "formulas" / "x")).house._replace(classes={})
        results = check_content(block.encode(), "block", Kitchen(house, kitchen_for("/").catalogue))
        assert [r.message for r in results] == []
    else:
        assert check_other(block.encode(), "block", kind) == ()


def test_links_between_pages_lead_somewhere() -> None:
    for page in PAGES:
        for target in re.findall(r"\]\((?!https?:)([^)#]+)\)", page.read_text(encoding="utf-8")):
            assert (page.parent / target).exists(), f"{page.name}: {target}"
