"""Work on several cores gives what one core gives, by fork and, where there is none, by other Pythons."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest

from perflour import cli
from perflour.result import CannotRun
from perflour.system import parallel
from tests.conftest import formula_text

FILES = 320


def doubled(group: Sequence[int]) -> list[int]:
    return [2 * one for one in group]


def refused_seven(group: Sequence[int]) -> list[int]:
    if 7 in group:
        raise CannotRun("seven")
    return list(group)


@pytest.fixture(params=["fork", "other Pythons"])
def start(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> str:
    if request.param != "fork":
        monkeypatch.delattr(os, "fork")
    return str(request.param)


def test_outcomes_keep_the_order_of_the_items(start: str) -> None:
    items = range(1000)
    assert parallel.spread_out_groups(doubled, items, 3) == [2 * one for one in items]
    assert parallel.spread_out(abs, items, 2) == list(items)


def test_what_work_raises_is_raised_here(start: str) -> None:
    with pytest.raises(CannotRun, match="seven"):
        parallel.spread_out_groups(refused_seven, range(1000), 3)


def test_work_that_cannot_be_sent_is_done_here(start: str) -> None:
    kept = {"by": 3}
    found = parallel.spread_out_groups(lambda group: [one * kept["by"] for one in group], range(1000), 2)  # fmt: skip
    assert found == [3 * one for one in range(1000)]


def test_lint_says_the_same_without_fork(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    """Hundreds of files, some of them wrong; a module of the folder that is called like one of ours is no part of it."""
    for number in range(FILES):
        amount = "500 g" if number % 7 else "500 gram-ish"
        text = formula_text(f"{{item: flour, amount: {amount}}}")
        folder = tmp_path / f"roll-{number}"
        folder.mkdir()
        (folder / "formula.yaml").write_text(text.replace("trial", folder.name), encoding="utf-8")
    for name in ("pickle.py", "subprocess.py", "perflour.py"):
        (tmp_path / name).write_text("raise SystemExit('the folder of the files is no place for modules')\n")  # fmt: skip
    monkeypatch.chdir(tmp_path)
    told = []
    begun: list[list[str]] = []
    usual = subprocess.Popen
    for gone in (False, True):
        if gone:
            monkeypatch.delattr(os, "fork")
            monkeypatch.setattr(subprocess, "Popen", lambda words, **said: (begun.append(words), usual(words, **said))[1])  # fmt: skip
        code = cli.main(["lint", "--forget", "--jobs", "2", "."])
        told.append((code, capfdbinary.readouterr()))
    assert told[0] == told[1]
    assert told[0][0] == 1
    assert [words[0] for words in begun if words[0] == sys.executable] == [sys.executable]
