"""docs/python.md is one script: its blocks run in order and print what the page shows."""

from __future__ import annotations

import contextlib
import io
import re
from typing import Any

import pytest

from tests.conftest import ROOT

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
