"""Folders written whole or not at all, also where a run was killed."""

from __future__ import annotations

from pathlib import Path

import pytest

from perflour.system.writing import UNFINISHED, write_new_folder
from tests.conftest import git

FILES = {"trial.yaml": b"trial: a\n", "a-1/formula.yaml": b"formula: a-1\n"}


def written(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}  # fmt: skip


@pytest.mark.parametrize("in_repository", [True, False])
def test_a_folder_is_there_with_all_its_files(in_repository: bool, tmp_path: Path) -> None:
    if in_repository:
        git(tmp_path, "init", "-q")
    write_new_folder(tmp_path / "trial", FILES)
    assert written(tmp_path / "trial") == FILES
    assert not list(tmp_path.rglob(f"*{UNFINISHED}"))
    modes = {p.stat().st_mode & 0o777 for p in tmp_path.glob("trial/**/*.yaml")}
    assert modes == {0o644}


@pytest.mark.parametrize("empty", [True, False])
def test_nothing_is_written_over_a_folder(empty: bool, tmp_path: Path) -> None:
    (tmp_path / "trial").mkdir()
    if not empty:
        (tmp_path / "trial" / "note.txt").write_bytes(b"mine")
    with pytest.raises(FileExistsError):
        write_new_folder(tmp_path / "trial", FILES)
    assert written(tmp_path) == ({} if empty else {"trial/note.txt": b"mine"})


def test_a_file_that_cannot_be_written_leaves_nothing(tmp_path: Path) -> None:
    with pytest.raises(OSError, match="a-1"):
        write_new_folder(tmp_path / "trial", {"a-1": b"x", **FILES})
    assert not (tmp_path / "trial").exists() and not list(tmp_path.rglob(f"*{UNFINISHED}"))


def test_what_a_killed_run_left_is_taken_away(tmp_path: Path) -> None:
    left = tmp_path / f".trial.abc{UNFINISHED}"
    left.mkdir()
    (left / "trial.yaml").write_bytes(b"half")
    write_new_folder(tmp_path / "trial", FILES)
    assert written(tmp_path) == {f"trial/{name}": content for name, content in FILES.items()}
