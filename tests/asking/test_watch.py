"""`perflour watch`: the real process, files saved in the ways of editors while it runs."""

from __future__ import annotations

import os
import queue
import signal
import subprocess
import sys
import threading
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest

from tests.conftest import GIT_ENVIRONMENT, formula_text, git

pytestmark = pytest.mark.xdist_group("watch")
#: So long something may take before the test fails; nothing waits for it where all is well.
PATIENCE_S = 30
TEXT = formula_text("{item: plain flour, amount: 200 g}", "{item: sugar, amount: 100 g}", method="[{do: mix, uses: [plain flour, sugar]}]")  # fmt: skip
HOUSE = "house: test kitchen\nclasses:\n  loaf-cake:\n    title: Loaf cake\n    windows:\n      sugar: {low: 30, high: %d, source: made up}\n"


class Watching:
    """The process with what it has printed."""

    def __init__(self, folder: Path, *words: str) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-m", "perflour", "watch", *words],
            cwd=folder,
            env=GIT_ENVIRONMENT,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            # a shell that runs the tests behind it has had Ctrl-C ignored, which is inherited
            preexec_fn=partial(signal.signal, signal.SIGINT, signal.SIG_DFL),
        )
        self.lines: queue.Queue[str] = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        assert self.process.stdout
        for line in self.process.stdout:
            self.lines.put(line)

    def until(self, word: str) -> str:
        """What is printed up to, and with, a line that holds a word."""
        told = ""
        while True:
            try:
                line = self.lines.get(timeout=PATIENCE_S)
            except queue.Empty:
                pytest.fail(f"nothing with {word!r} in:\n{told}")
            told += line
            if word in line:
                return told


@pytest.fixture
def kitchen(repository: Path) -> Path:
    folder = repository / "formulas"
    for name in ("first", "second"):
        (folder / name).mkdir(parents=True)
        (folder / name / "formula.yaml").write_text(TEXT.replace("formula: trial", f"formula: {name}"))  # fmt: skip
    (folder / "house.yaml").write_text(HOUSE % 60)
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "Start")
    return repository


@pytest.fixture
def watching(kitchen: Path) -> Iterator[Watching]:
    made = Watching(kitchen)
    try:
        made.until("watching 2 formulas, 3 files")
        yield made
    finally:
        made.process.kill()
        made.process.wait()


def saved(path: Path, old: str, new: str, in_place: bool = True) -> None:
    """Save a file as editors do: over the old one, or beside it and then in its place."""
    content = path.read_text().replace(old, new)
    assert content != path.read_text()
    target = path if in_place else path.with_name(".formula.yaml.new")
    target.write_text(content)
    os.replace(target, path)


def test_saves_of_all_kinds(kitchen: Path, watching: Watching) -> None:
    formula = kitchen / "formulas" / "first" / "formula.yaml"
    before = files(kitchen)
    saved(formula, "100 g", "110 g")
    told = watching.until("the last commit")
    assert "formulas/first/formula.yaml: saved" in told
    assert "against the state before this save:\n    sugar 100 g -> 110 g: 50.0 % -> 55.0 %, +5.0 % of the batter's flour" in told  # fmt: skip
    assert "against the last commit: the same" in told
    saved(formula, "110 g", "130 g", in_place=False)
    told = watching.until("against the last commit:")
    assert "+10.0 % of the batter's flour" in told
    told += watching.until("+15.0 % of the batter's flour")
    assert "new: formulas/first/formula.yaml:" in told  # over the window
    formula.write_text("formula: [")  # as far as an editor got
    assert "cannot be weighed as it is" in watching.until("cannot be weighed")
    formula.write_text(TEXT.replace("formula: trial", "formula: first"))
    told = watching.until("against the last commit: nothing moved")
    assert "nothing to hold it against" in told
    assert "gone: formulas/first/formula.yaml:" in told
    assert files(kitchen) == before  # nothing is written


def files(folder: Path) -> list[str]:
    return sorted(str(p) for p in folder.rglob("*") if ".git" not in p.parts)


def test_the_house_concerns_all(kitchen: Path, watching: Watching) -> None:
    (kitchen / "formulas" / "house.yaml").write_text(HOUSE % 40)
    told = watching.until("no formula weighs otherwise now")
    assert told.count("new: formulas/first/formula.yaml:") == 1
    assert told.count("new: formulas/second/formula.yaml:") == 1
    (kitchen / "formulas" / "ingredients.yaml").write_text(
        "ingredients:\n  - name: plain flour\n    group: flour\n    counts-as: flour\n    allergens: {us: [wheat], eu: [cereals-gluten]}\n"
    )
    watching.until("formulas/ingredients.yaml: new")


def test_what_goes_and_comes(kitchen: Path, watching: Watching) -> None:
    formula = kitchen / "formulas" / "second" / "formula.yaml"
    content = formula.read_text()
    formula.unlink()
    watching.until("formulas/second/formula.yaml: gone")
    formula.write_text(content)
    assert "against the last commit: nothing moved" in watching.until("the last commit")
    bakes = formula.parent / "bakes"
    bakes.mkdir()
    (bakes / "2026-03-14.yaml").write_text("date: 2026-03-14\n")
    told = watching.until("files concerned")
    assert "formulas/second/bakes/2026-03-14.yaml: new" in told
    assert "new: formulas/second/bakes/2026-03-14.yaml:1:1: error: " in told


def test_it_ends_with_ctrl_c(watching: Watching) -> None:
    watching.process.send_signal(signal.SIGINT)
    watching.until("ended")
    assert watching.process.wait(PATIENCE_S) == 0


@pytest.mark.parametrize(("amount", "code"), [("105 g", 0), ("190 g", 1)])
def test_it_ends_after_so_many_saves(kitchen: Path, amount: str, code: int) -> None:
    watching = Watching(kitchen, "formulas/first", "--saves", "1")
    watching.until("watching 1 formula")
    formula = kitchen / "formulas" / "first" / "formula.yaml"
    os.utime(formula)  # touched, not changed
    saved(formula, "100 g", amount)
    watching.until("the last commit")
    assert watching.process.wait(PATIENCE_S) == code


def test_outside_a_repository(tmp_path: Path) -> None:
    (tmp_path / "formula.yaml").write_text(TEXT)
    watching = Watching(tmp_path, "formula.yaml", "--saves", "1")
    watching.until("watching 1 formula")
    saved(tmp_path / "formula.yaml", "100 g", "110 g")
    assert "against the last commit: " in watching.until("the last commit")
    watching.process.wait(PATIENCE_S)
