"""The tutorial is typed as it is printed, from an empty folder, and its end is a release log.

A text block shows what the commands before it print; a line of three dots stands for any lines.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.conftest import GIT_ENVIRONMENT, ROOT
from tests.whole.pages import blocks_of, shown_in

pytestmark = pytest.mark.xdist_group("tutorial")  # it is typed once

pytestmark = pytest.mark.xdist_group("tutorial")  # it is typed once

PAGE = ROOT / "docs" / "tutorial.md"
#: perflour says 1 where it found something; from anything else that is a failure.
STRICT = """trap 'code=$?; case "$code $BASH_COMMAND" in "1 perflour "*) ;; *) exit $code ;; esac' ERR
"""


def run_block(block: str, folder: Path, binaries: Path) -> tuple[int, str, Path]:
    """Type a block in a folder: exit code, what it printed, the folder one is in afterwards."""
    environment = {**GIT_ENVIRONMENT, "PATH": f"{binaries}{os.pathsep}{os.environ['PATH']}"}
    where = binaries / "where"
    done = subprocess.run(
        ["bash", "-c", f'{STRICT}{block}pwd > "{where}"\n'],
        cwd=folder,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        check=False,
    )
    after = where.read_text(encoding="utf-8").strip() if done.returncode == 0 else str(folder)
    return done.returncode, done.stdout.decode(), Path(after)


@pytest.fixture(scope="module")
def typed(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[tuple[str, str]], Path]:
    """Every text block with what was printed before it, and the folder at the end."""
    binaries = tmp_path_factory.mktemp("bin")
    script = binaries / "perflour"
    script.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m perflour "$@"\n', encoding="utf-8")
    script.chmod(0o755)
    folder, printed, compared = tmp_path_factory.mktemp("empty"), "", []
    for block in blocks_of(PAGE.read_text(encoding="utf-8")):
        if block.language == "sh":
            code, printed, folder = run_block(block.content, folder, binaries)
            assert code == 0, f"{block.content}\n{printed}"
            assert "Traceback" not in printed
        elif block.language == "text":
            compared.append((block.content, printed))
    return compared, folder


def test_the_outputs_shown_are_what_is_printed(
    typed: tuple[list[tuple[str, str]], Path],
) -> None:
    compared, _ = typed
    assert len(compared) >= 6
    for shown, printed in compared:
        assert shown_in(shown, printed), f"{shown}\nis not in\n{printed}"


def test_the_end_is_a_release_log_that_names_the_formula(
    typed: tuple[list[tuple[str, str]], Path],
) -> None:
    _, folder = typed
    log = (folder / "releases" / "2026.1.md").read_text(encoding="utf-8")
    assert "Harbour muffins" in log


@pytest.mark.parametrize("name", ["10-plain-muffins", "17-three-grain-fruit-muffins"])
def test_the_recipes_are_the_published_ones(name: str) -> None:
    text = (ROOT / "tests" / "published" / "text" / f"{name}.txt").read_text(encoding="utf-8")
    assert text in PAGE.read_text(encoding="utf-8")


def test_a_shown_line_that_was_not_printed_is_noticed() -> None:
    assert shown_in("a\n...\nc\n", "a\nb\nc\n")
    assert not shown_in("a\nc\n", "a\nb\nc\n")
    assert not shown_in("c\n...\na\n", "a\nb\nc\n")
