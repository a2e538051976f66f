"""docs/python.md is one script: its blocks run in order and print what the page shows."""

from __future__ import annotations

import contextlib
import inspect
import io
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

import perflour
from tests.conftest import ROOT

pytestmark = pytest.mark.xdist_group("mypy")

PAGE = ROOT / "docs" / "python.md"
FENCE = re.compile(r"^```(python|text)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


def test_the_script_prints_what_the_page_shows(monkeypatch: pytest.MonkeyPatch) -> None:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    monkeypatch.chdir(ROOT)
    blocks = FENCE.findall(PAGE.read_text(encoding="utf-8"))
    names: dict[str, Any] = {}
    printed, compared, told_all = "", 0, False
    for language, content in blocks:
        if language == "text":
            assert printed == content
            compared += 1
            continue
        with contextlib.redirect_stdout(io.StringIO()) as out:
            exec(compile(content, str(PAGE), "exec"), names)
        printed = out.getvalue()
        told_all |= "oat-date-loaf" in printed  # of every formula of the demo
    assert compared >= 5
    assert told_all


def script() -> str:
    """The page as one script."""
    blocks = FENCE.findall(PAGE.read_text(encoding="utf-8"))
    return "\n".join(content for language, content in blocks if language == "python")


def test_the_script_uses_every_name_that_can_be_called() -> None:
    called = set(re.findall(r"\bperflour\.(\w+)\(", script()))
    assert called == {n for n in perflour.__all__ if inspect.isfunction(getattr(perflour, n))}


def test_the_script_is_typed(tmp_path: Path) -> None:
    """As strictly as the package itself, whose settings and cache this takes."""
    (tmp_path / "right.py").write_text(script(), encoding="utf-8")
    (tmp_path / "wrong.py").write_text("import perflour\n\nperflour.weigh(3)\n", encoding="utf-8")
    files = [str(tmp_path / name) for name in ("right.py", "wrong.py")]
    words = [sys.executable, "-m", "mypy", "--no-error-summary", *files]
    done = subprocess.run(words, cwd=ROOT, capture_output=True, text=True, check=False)
    (error,) = done.stdout.splitlines()
    assert re.search(
        r'wrong\.py:3: error: Argument 1 to "weigh" has incompatible type "int"', error
    )
