"""What runs beside perflour and what it reaches: git and nothing else, no network, no file elsewhere."""

from __future__ import annotations

import os
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement

from tests.conftest import GIT_ENVIRONMENT, ROOT, git

# Loaded by Python before anything else: writes down what the interpreter is asked to do.
WATCH = """
import os, sys
_told = os.environ["WATCHED"]
def _watch(event, about):
    if event in ("socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto", "urllib.Request"):
        said = f"network {event}"
    elif event in ("subprocess.Popen", "os.exec", "os.system", "os.posix_spawn"):
        said = f"program {about[0]!r}"
    elif event == "open" and isinstance(about[0], (str, bytes)) and about[2] and about[2] & (os.O_WRONLY | os.O_RDWR):
        said = f"writes {os.path.abspath(os.fsdecode(about[0]))}"
    else:
        return
    handle = os.open(_told, os.O_WRONLY | os.O_APPEND | os.O_CREAT) if "_told" not in said else None
    if handle is not None:
        os.write(handle, said.encode() + b"\\n")
        os.close(handle)
_busy = False
def _hook(event, about):
    global _busy
    if not _busy:
        _busy = True
        try:
            _watch(event, about)
        finally:
            _busy = False
sys.addaudithook(_hook)
"""
RECIPE = "Oat loaf\n\n500 g flour\n10 g salt\n\nMix. Bake at 200 C for 40 minutes.\n"
PAGE = (
    '<script type="application/ld+json">{"@context": "https://schema.org", "@type": "Recipe", "name": "Oat loaf",'
    ' "recipeIngredient": ["500 g flour", "10 g salt"], "recipeInstructions": "Mix."}</script>'
    '<img src="https://example.org/loaf.jpg"><link rel="stylesheet" href="https://example.org/page.css">'
)
COMMANDS: list[str] = [
    "lint formulas", "lint --output sarif", "lint --fix", "show formulas/oat-date-loaf", "contents", "format --check",
    "scale formulas/oat-date-loaf --times 2", "scale formulas/oat-date-loaf --pans volume_2_l", "compare formulas --write c.png",
    "compare formulas --write c.html", "cost --packs --make oat-date-loaf=2", "plan --make oat-date-loaf=2 --seconds 1",
    "diff HEAD~1 HEAD", "changelog", "changelog --write", "release HEAD~1..HEAD", "review HEAD~1..HEAD --output markdown",
    "draft --all --write d.pdf", "draft --all --write d.html", "bake list", "bake check", "import recipe.txt --into formulas",
    "import page.html", "import sheet.xlsx", "check-setup", "git-setup", "git-setup --undo", "explain", "completion bash",
    "new formula --help", "bake new formulas/oat-date-loaf --baker A --verdict keep",
]  # fmt: skip


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The demo in a repository of two commits, with things to import."""
    folder = tmp_path_factory.mktemp("kitchen")
    git(folder, "init", "-q", "-b", "main")
    archive = subprocess.run(
        ["git", "archive", "HEAD", "formulas"], cwd=ROOT, capture_output=True, check=True
    ).stdout
    subprocess.run(["tar", "-x"], cwd=folder, input=archive, check=True)
    git(folder, "add", "-A")
    git(folder, "commit", "-qm", "Start")
    formula = folder / "formulas" / "oat-date-loaf" / "formula.yaml"
    formula.write_text(formula.read_text("utf-8") + "# read again\n", "utf-8")
    git(folder, "commit", "-qam", "Read again")
    (folder / "recipe.txt").write_text(RECIPE)
    (folder / "page.html").write_text(PAGE)
    from openpyxl import Workbook

    book = Workbook()
    for row in (("Ingredient", "Qty", "Unit"), ("flour", 500, "g"), ("salt", 10, "g")):
        book.active.append(row)
    book.save(folder / "sheet.xlsx")
    return folder


@pytest.mark.parametrize("command", COMMANDS)
def test_only_git_runs_and_nothing_is_fetched(kitchen: Path, tmp_path: Path, command: str) -> None:
    (tmp_path / "sitecustomize.py").write_text(WATCH)
    told = tmp_path / "told"
    home = tmp_path / "home"
    home.mkdir()
    tools = ROOT / "tools"
    environment = {
        **GIT_ENVIRONMENT, "PYTHONPATH": f"{tmp_path}{os.pathsep}{tools}", "WATCHED": str(told), "HOME": str(home),
        "XDG_CACHE_HOME": str(home), "XDG_CONFIG_HOME": str(home), "TMPDIR": str(home),
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-m", "perflour", *(word.replace("_", " ") for word in command.split())],
        cwd=kitchen,
        env=environment,
        capture_output=True,
        timeout=120,
        check=False,
    )
    assert done.returncode in (0, 1), done.stderr.decode()
    lines = told.read_text().splitlines() if told.exists() else []
    assert not [line for line in lines if line.startswith("network")]
    programs = {line.split("'")[1] for line in lines if line.startswith("program")}
    assert programs <= {"git"}
    allowed = (str(kitchen), str(home), "/dev/null")
    written = [line.removeprefix("writes ") for line in lines if line.startswith("writes")]
    assert not [path for path in written if not path.startswith(allowed)]


def test_the_watch_sees_what_it_is_there_for(tmp_path: Path) -> None:
    (tmp_path / "sitecustomize.py").write_text(WATCH)
    told = tmp_path / "told"
    script = (
        "import socket, subprocess\n"
        "subprocess.run(['true'])\n"
        "try:\n    socket.create_connection(('127.0.0.1', 9), 1)\nexcept OSError: pass\n"
        f"open({str(tmp_path / 'new')!r}, 'w')\n"
    )
    subprocess.run(
        [sys.executable, "-c", script],
        env={**os.environ, "PYTHONPATH": str(tmp_path), "WATCHED": str(told)},
        check=True,
    )
    assert {line.split()[0] for line in told.read_text().splitlines()} == {"network", "program", "writes"}  # fmt: skip


def test_every_library_has_a_bound_and_a_tested_version() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    rows = (ROOT / ".ci" / "tested.txt").read_text("utf-8").splitlines()
    tested = dict(row.split("==") for row in rows if not row.startswith("#"))
    extras = project["optional-dependencies"]
    extra = (*extras["evidence"], *extras["sheets"])
    asked = [Requirement(text) for text in (*project["dependencies"], *extra)]
    assert {library.name for library in asked} == set(tested)
    for library in asked:
        assert any(one.operator == "<" for one in library.specifier), library
        assert library.specifier.contains(tested[library.name]), library
