"""The kitchen that most tests of reviews and of their pages begin in."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import git
from tests.history.test_changelog import commit
from tests.release.test_release import loaf

NAME = "plain-loaf"


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    """A repository with one formula on main, and a branch to work on."""
    git(tmp_path, "init", "-q", "-b", "main")
    write(tmp_path, NAME, loaf(status="testing"))
    commit(tmp_path, "Start the loaf")
    git(tmp_path, "switch", "-q", "-c", "work")
    return tmp_path


def write(top: Path, name: str, text: str) -> Path:
    folder = top / "formulas" / name
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "formula.yaml").write_text(text, encoding="utf-8")
    return folder
