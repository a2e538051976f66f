"""A tasting session asked for again after a run was killed at any step of it: continued, never doubled."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest

from perflour.system.writing import UNFINISHED, write_file, write_new
from perflour.trials.session_request import SessionSaid, record_session
from perflour.trials.tasting_sheets import tasting_sheets
from tests.conftest import formula_text, git
from tests.killed import steps_of


@pytest.fixture
def kitchen(repository: Path) -> Path:
    for name in ("one", "two"):
        folder = repository / "formulas" / name
        folder.mkdir(parents=True)
        text = formula_text("{item: flour, amount: 100 g}").replace(
            "formula: trial", f"formula: {name}"
        )
        (folder / "formula.yaml").write_text(text, encoding="utf-8")
    (repository / "formulas" / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "Begin")
    return repository


def leftovers(folder: Path) -> list[Path]:
    return list(folder.rglob(f"*{UNFINISHED}"))


@pytest.mark.parametrize("links", [True, False], ids=["with hard links", "without"])
@pytest.mark.parametrize("before", [True, False], ids=["before", "behind"])
@pytest.mark.parametrize("seed", [None, 7])
def test_asked_again_after_a_kill_at_every_step_there_is_one_session(
    seed: int | None, before: bool, links: bool, kitchen: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    if not links:
        monkeypatch.setattr(os, "link", refused)
    monkeypatch.chdir(kitchen)
    samples = ["formulas/one", "formulas/two"]
    said = SessionSaid(samples=samples, tasters="A, B", date="2026-03-21", seed=seed)
    sessions = kitchen / "formulas" / "sessions"
    for _ in steps_of(lambda: record_session(said), before):
        told = git(kitchen, "status", "--porcelain", "-uall").split()[1::2]
        assert told in ([], ["formulas/sessions/2026-03-21.yaml"])
        recorded = record_session(said)
        assert [path.name for path in sessions.iterdir()] == ["2026-03-21.yaml"]
        assert tasting_sheets(str(recorded.path))
        assert leftovers(kitchen) == []
        recorded.path.unlink()


def refused(*_: object) -> None:
    raise PermissionError(1, "no links here")


def test_what_was_asked_otherwise_or_is_tasted_is_another_session(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(kitchen)
    said = SessionSaid(["formulas/one", "formulas/two"], "A, B", date="2026-03-21")
    first = record_session(said).path
    for other in (
        SessionSaid(said.samples, "A, B, C", date=said.date),
        SessionSaid(said.samples[::-1], "A, B", date=said.date),
        SessionSaid(said.samples, "A, B", date=said.date, question="Which?"),
    ):
        assert record_session(other).is_new
    assert record_session(said) == (first, False)
    with first.open("a", encoding="utf-8") as file:
        file.write("absent: [A]\n")
    assert record_session(said).is_new


@pytest.mark.parametrize("write", [write_file, write_new])
def test_a_run_takes_away_what_no_living_run_holds(
    write: Callable[[Path, bytes], None], repository: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    import fcntl

    for folder in (repository, tmp_path_factory.mktemp("no repository")):
        write(folder / "first", b"1")
        work = repository / ".git" / "perflour" if folder == repository else folder
        handle, dead = tempfile.mkstemp(dir=work, suffix=UNFINISHED)
        os.close(handle)
        held, alive = tempfile.mkstemp(dir=work, suffix=UNFINISHED)
        fcntl.flock(held, fcntl.LOCK_EX)
        write(folder / "second", b"2")
        assert (folder / "second").read_bytes() == b"2"
        assert [str(path) for path in leftovers(folder)] == [alive] and dead != alive
        os.close(held)
        write(folder / "third", b"3")
        assert leftovers(folder) == []


def test_a_file_is_written_beside_where_the_git_folder_cannot_hold_it(
    repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The work tree may be on another disk than its git folder."""
    replace = os.replace

    def apart(source: Path, target: Path) -> None:
        if ".git" in str(source):
            raise OSError(18, "Invalid cross-device link")
        replace(source, target)

    monkeypatch.setattr(os, "replace", apart)
    write_file(repository / "a", b"1")
    assert (repository / "a").read_bytes() == b"1"
    assert leftovers(repository) == []
