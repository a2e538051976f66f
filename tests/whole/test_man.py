"""The manual page: fresh, read by the machine's own formatter without a warning, and with every command."""

from __future__ import annotations

import shutil
import subprocess
import sys

import pytest

from perflour.cli import _COMMANDS, _OF_GIT, _TASKS
from tests.conftest import ROOT

sys.path.insert(0, str(ROOT / "tools" / "maintain"))
from write_man import PAGE, page, roff


def test_the_page_is_fresh() -> None:
    assert PAGE.read_text(encoding="utf-8") == page(), "run: python tools/maintain/write_man.py"


@pytest.mark.skipif(not shutil.which("groff"), reason="needs groff")
def test_it_is_typeset_without_a_warning_and_tells_every_command() -> None:
    words = ["groff", "-man", "-Kutf8", "-Tutf8", "-P-cbou", "-ww", "-rLL=80n", str(PAGE)]
    done = subprocess.run(words, capture_output=True, check=True)
    assert done.stderr == b""
    lines = [" ".join(line.split()) for line in done.stdout.decode().splitlines()]
    assert not any(name in line for name in _OF_GIT for line in lines)
    for task, names in _TASKS.items():
        assert f"TO {task.upper()}" in lines
        assert all(f"perflour {name}" in lines for name in names)
    for line in (
        "--fail-at error|warning|note",
        "lowest level that makes the exit code 1 (default: warning)",
        "perflour lint formulas/caraway-cream-biscuit",
        "perflour bake new",
    ):
        assert line in lines
    assert len(_COMMANDS) > 20


def test_text_is_no_markup() -> None:
    assert roff(".so /etc/passwd") == "\\&.so /etc/passwd"
    assert roff("'a \\fB") == "\\&\\(aqa \\efB"
    assert roff("--fix") == "\\-\\-fix"
