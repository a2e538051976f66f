"""What a branch changed, of the files of its two ends: what git tells of them, or left to git to tell."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.release.branch import changes_of_trees
from perflour.system import git as ours
from tests.conftest import examples, git

PATHS = ("a/formula.yaml", "a.b", "a/b", "B/é.yaml", "z", "a b/c", "a/b/c", "line\nend/x")
#: What a file holds and is: nothing where it is not there.
FILES = st.dictionaries(st.sampled_from(PATHS), st.sampled_from(["one", "two", "one executable", "link"]))  # fmt: skip


def _commit(repository: Path, files: dict[str, str]) -> str:
    git(repository, "rm", "-rqf", "--ignore-unmatch", ".")
    for name, what in files.items():
        path = repository / name
        path.parent.mkdir(parents=True, exist_ok=True)
        if what == "link":
            path.symlink_to("nowhere")
        else:
            path.write_text(what.split()[0])
            path.chmod(0o755 if "executable" in what else 0o644)
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Files", "--allow-empty")
    return git(repository, "rev-parse", "HEAD").strip()


def _possible(files: dict[str, str]) -> dict[str, str]:
    """Without what would lie below a file."""
    return {path: what for path, what in files.items() if not any(path.startswith(f"{other}/") for other in files)}  # fmt: skip


@examples(40)
@given(FILES, FILES)
def test_the_changes_are_those_that_git_tells(
    tmp_path_factory: pytest.TempPathFactory, before: dict[str, str], after: dict[str, str]
) -> None:
    repository = tmp_path_factory.mktemp("trees")
    git(repository, "init", "-q", "-b", "main")
    start, end = (_commit(repository, _possible(files)) for files in (before, after))
    handle = ours.find_repository(repository)
    told = changes_of_trees(ours.tree(handle, start), ours.tree(handle, end))
    if told is None:
        held = [set(_possible(files)) for files in (before, after)]
        assert held[0] - held[1] and held[1] - held[0]
    else:
        assert told == ours.ask_changes(handle, [start, end], ["."])()


def test_another_repository_within_is_left_to_git(repository: Path) -> None:
    trees = []
    for sha in ("1" * 40, "2" * 40):
        git(repository, "update-index", "--add", "--cacheinfo", f"160000,{sha},within")
        git(repository, "commit", "-qm", "Within")
        trees.append(ours.tree(ours.find_repository(repository), "HEAD"))
    assert changes_of_trees(*trees) is None
    assert changes_of_trees(trees[0], trees[0]) == []


def test_names_that_are_no_text_stand_in_the_order_of_git(repository: Path) -> None:
    start = _commit(repository, {"a": "one"})
    for name in (b"\xff", b"\xc3\xa9", b"b"):
        Path(os.fsdecode(os.path.join(os.fsencode(repository), name))).write_text("one")
    git(repository, "add", "-A")
    git(repository, "commit", "-qm", "Names")
    handle = ours.find_repository(repository)
    told = changes_of_trees(*(ours.tree(handle, commit) for commit in (start, "HEAD")))
    assert told == ours.ask_changes(handle, [start, "HEAD"], ["."])()
    assert told and len(told) == 3
