"""Charts take no settings from the folder they run in, which may be a stranger's commit."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.conftest import formula_text, git, run_cli

SETTINGS = "text.usetex: True\nfont.size: 40\nsvg.fonttype: path\nbackend: module://evil\n"


@pytest.fixture
def kitchen(repository: Path) -> Path:
    for at, grams in enumerate((500, 400)):
        folder = repository / "formulas" / f"loaf-{at}"
        folder.mkdir(parents=True)
        lines = (
            f"{{item: all-purpose flour, amount: {grams} g}}",
            "{item: granulated sugar, amount: 90 g}",
        )
        text = formula_text(*lines).replace("formula: trial", f"formula: loaf-{at}")
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "First")
    path = repository / "formulas" / "loaf-0" / "formula.yaml"
    path.write_text(path.read_text().replace("90 g", "120 g"))
    git(repository, "commit", "-qam", "Second")
    return repository


COMMANDS = [("compare", "formulas", "--output", "svg"), ("changelog", "--output", "html")]


@pytest.mark.parametrize("words", COMMANDS)
@pytest.mark.parametrize("way", ["settings", "no text", "endless"])
def test_a_committed_settings_file_is_not_read(
    kitchen: Path, words: tuple[str, ...], way: str
) -> None:
    plain = run_cli(*words, cwd=kitchen)
    assert "<svg" in plain.out
    if way == "endless":
        (kitchen / "matplotlibrc").symlink_to("/dev/zero")
    else:
        content = SETTINGS.encode() if way == "settings" else b"\xff\xfe\x00"
        (kitchen / "matplotlibrc").write_bytes(content)
    assert run_cli(*words, cwd=kitchen) == plain


@pytest.mark.parametrize("words", COMMANDS)
def test_nor_are_a_persons_own(
    kitchen: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    from tests import conftest

    plain = run_cli(*words, cwd=kitchen)
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "matplotlibrc").write_text("font.size: 40\n")
    environment = {**conftest.GIT_ENVIRONMENT, "MPLCONFIGDIR": os.fspath(tmp_path / "own")}
    monkeypatch.setattr(conftest, "GIT_ENVIRONMENT", environment)
    assert run_cli(*words, cwd=kitchen) == plain
