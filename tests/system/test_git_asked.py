"""git at work while other work is done: it answers as it does when it is waited for."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from perflour.result import CannotRun
from perflour.system import blobs
from perflour.system import git as ours
from perflour.system.blobs import Blobs, read_blobs
from perflour.system.opening import MOST_BYTES
from tests.conftest import git

#: More than a pipe holds, of names and of contents.
MANY = 3000
REVISIONS = ("HEAD", "HEAD~1", "main", "first", "HEAD^{/Second}", "@", "main@{0}")
ODD = (
    "nowhere", "", "-x", "--all", "^main", "main..first", "main...first", "HEAD^@", "HEAD^!", "HEAD HEAD", "a.txt", "HEAD:a.txt", "a\0b",
)  # fmt: skip


@pytest.fixture
def two_commits(repository: Path) -> Path:
    for name, text in (("first", "a"), ("Second", "b")):
        (repository / "a.txt").write_text(text)
        git(repository, "add", "-A")
        git(repository, "commit", "-qm", name)
    git(repository, "tag", "first", "HEAD~1")
    return repository


@pytest.mark.parametrize("revision", REVISIONS)
def test_commits_are_those_that_git_verifies_one_by_one(revision: str, two_commits: Path) -> None:
    found, commits = ours.find_with_commits(two_commits, ("HEAD", revision))
    assert found == ours.find_repository(two_commits)
    assert commits == [ours.commit_or_none(found, name) for name in ("HEAD", revision)]


@pytest.mark.parametrize("revision", ODD)
def test_what_names_no_commit_is_left_to_be_asked_for_alone(
    revision: str, two_commits: Path
) -> None:
    for revisions in ((revision, "HEAD"), ("HEAD", revision)):
        found, commits = ours.find_with_commits(two_commits, revisions)
        assert (found, commits) == (ours.find_repository(two_commits), None)


def test_a_folder_that_is_gone_has_the_repository_above_it(two_commits: Path) -> None:
    gone = two_commits / "formulas" / "gone"
    assert ours.find_with_commits(gone, ("HEAD",))[0] == ours.find_repository(two_commits)


def test_git_reads_and_prints_more_than_a_pipe_holds(repository: Path) -> None:
    texts = [f"{number}\n" * 300 for number in range(MANY)]
    handle = ours.find_repository(repository)
    marks = repository / "marks"  # git says how it calls them
    loaded = [f"blob\nmark :{n}\ndata {len(t)}\n{t}\n" for n, t in enumerate(texts, 1)]
    subprocess.run(
        ["git", "fast-import", "--quiet", f"--export-marks={marks}"],
        cwd=repository, input="".join(loaded).encode(), check=True,
    )  # fmt: skip
    names = dict(line.split() for line in marks.read_text().splitlines())
    wanted = {names[f":{n}"]: text.encode() for n, text in enumerate(texts, 1)}
    assert sum(map(len, texts)) > 1 << 21
    held = Blobs(handle)
    held.ask(list(wanted)[:2000])
    held.ask(list(wanted)[1000:])
    assert dict(held.of(())) == wanted == read_blobs(handle, wanted)


@pytest.fixture
def odd_blobs(two_commits: Path) -> Path:
    """A file that is as large as may be, one that is too large, and one that is torn."""
    for name, text in (("large", b"x" * MOST_BYTES), ("larger", b"y" * (MOST_BYTES + 1)), ("torn", b"torn"), ("empty", b"")):  # fmt: skip
        (two_commits / name).write_bytes(text)
    git(two_commits, "add", "-A")
    git(two_commits, "commit", "-qm", "Odd")
    sha = git(two_commits, "rev-parse", "HEAD:torn").strip()
    torn = two_commits / ".git/objects" / sha[:2] / sha[2:]
    torn.chmod(0o644)
    torn.write_bytes(b"no object")
    return two_commits


ASKED: tuple[tuple[str, ...], ...] = (
    ("HEAD:a.txt", "HEAD:large", "HEAD:empty"),
    ("HEAD:a.txt", "HEAD:larger", "HEAD:empty"),
    ("HEAD:a.txt", "HEAD", "HEAD:empty"),
    ("HEAD:a.txt", "HEAD:no such file", "HEAD:empty"),
    ("HEAD:a.txt", "HEAD:torn", "HEAD:empty"),
    ("nowhere", "HEAD:empty"),
    ("HEAD:empty", "HEAD:large", "HEAD~1:a.txt", "HEAD:empty"),
)


@pytest.mark.parametrize("most", [blobs.MOST_TOGETHER, 100])
@pytest.mark.parametrize("names", ASKED, ids=" ".join)
def test_blobs_read_at_once_are_those_that_are_sorted_out_first(
    names: tuple[str, ...], most: int, odd_blobs: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(blobs, "MOST_TOGETHER", most)
    handle = ours.find_repository(odd_blobs)

    def told(read: Callable[[], dict[str, bytes]]) -> dict[str, bytes] | str:
        try:
            return read()
        except CannotRun as refused:
            return str(refused)

    wanted = list(dict.fromkeys(names))
    assert told(lambda: read_blobs(handle, names)) == told(lambda: blobs._sorted_out(handle, wanted))  # fmt: skip


def test_what_goes_wrong_is_told_when_the_answer_is_asked_for(two_commits: Path) -> None:
    handle = ours.find_repository(two_commits)
    answer = ours.ask_tree(handle, "nowhere")
    files = ours.ask_tree(handle, "HEAD")
    with pytest.raises(CannotRun, match="git ls-tree failed: Not a valid object name nowhere"):
        answer()
    assert list(files()[0]) == ["a.txt"]


def test_files_of_a_name_are_found_wherever_they_lie(repository: Path) -> None:
    """What git says of the pattern that spells it out."""
    asked = ("log", "--format=", "--raw", "-z", "--no-abbrev", "-M", "HEAD", "--")
    for held in (
        ("formula.yaml/x", "formula.yaml/formula.yaml", "a/formula.yaml", "a/my-formula.yaml"),
        ("formula.yaml", "a/b c/formula.yaml", "my-formula.yaml", "a/formula.yaml.bak", "é\n/formula.yaml"),
    ):  # fmt: skip
        git(repository, "rm", "-rqf", "--ignore-unmatch", ".")
        for name in held:
            (repository / name).parent.mkdir(parents=True, exist_ok=True)
            (repository / name).write_text("a\nb\nc\n")
        git(repository, "add", "-A")
        git(repository, "commit", "-qm", "Held")
    found = ours.find_repository(repository)
    commits, _ = ours.graph(found, git(repository, "rev-parse", "HEAD").strip(), "formula.yaml")
    spelt_out = git(repository, *asked, ":(top,glob)**/formula.yaml").split("\0")
    told = {path for commit in commits for c in commit.changes for path in (c.old_path, c.new_path)}
    assert told == {
        field for field in spelt_out if field and not field.lstrip("\n").startswith(":")
    }
    assert {"formula.yaml", "formula.yaml/formula.yaml", "é\n/formula.yaml"} <= told
