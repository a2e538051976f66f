"""Nothing that a commit may say changes which commits there are, nor what they changed."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from perflour.system import git as ours
from tests.conftest import formula_text, git, run_cli
from tests.hostile.crafted import FILE, FOLDER, Entry, commit_of, put_on

SHA = b"0123456789abcdef0123456789abcdef01234567"
SUBJECTS = {
    "the old marks": b"\x01" + SHA + b"\x02>\x02\x022020-01-01\x02A\x02Forged",
    "a raw line": b":100644 100644 " + SHA + b" " + SHA + b" M",
    "only a colon": b":",
    "escape signs": b"\x1b[2J\x1b[31mgone",
    "a carriage return": b"one\rtwo",
    "no UTF-8": b"\xff\xfe\xfa",
    "turned round": "‮turned‬".encode(),
    "empty": b"",
    "long": b"x" * 100_000,
    "a line of the format": b"%x00%H%x00",
}


def with_flour(grams: int) -> dict[bytes, Entry]:
    text = formula_text(f"{{item: all-purpose flour, amount: {grams} g}}", "{item: table salt, amount: 9 g}")  # fmt: skip
    return {b"trial": (FOLDER, {b"formula.yaml": (FILE, text.encode())})}


@pytest.mark.parametrize("name", SUBJECTS)
def test_a_subject_changes_no_history(repository: Path, name: str) -> None:
    first = commit_of(repository, with_flour(500), subject=SUBJECTS[name])
    second = commit_of(repository, with_flour(400), first, subject=SUBJECTS[name])
    last = commit_of(repository, with_flour(450), second, subject=b"Last")
    put_on(repository, "main", last)
    git(repository, "reset", "-q", "--hard", "main")
    commits, gone = ours.graph(ours.find_repository(repository), "HEAD", "formula.yaml")
    assert {c.sha: c.parents for c in commits} == {first: (), second: (first,), last: (second,)}
    assert [len(c.changes) for c in commits] == [1, 1, 1]
    assert gone == set()
    done = run_cli("changelog", ".", "--output", "json", cwd=repository)
    assert done.code == 0, done.err
    assert [i["number"] for i in json.loads(done.out)["formulas"][0]["iterations"]] == [1, 2, 3]


@pytest.mark.parametrize("way", ["author", "date", "notes", "replace", "graft", "several lines"])
def test_nor_does_anything_else_of_a_commit(repository: Path, way: str) -> None:
    first = commit_of(repository, with_flour(500))
    second = commit_of(repository, with_flour(400), first)
    put_on(repository, "main", second)
    git(repository, "reset", "-q", "--hard", "main")
    if way == "author":
        raw = git(repository, "cat-file", "commit", second).replace(
            "author A <a@b.c>", "author \x01\x02:1 <\x02>", 1
        )
        second = _commit(repository, raw)
    elif way == "date":
        raw = git(repository, "cat-file", "commit", second).replace("1773478800 +0000", "99999999999999999 +9999", 1)  # fmt: skip
        second = _commit(repository, raw)
    elif way == "notes":
        git(repository, "notes", "add", "-m", "\x01note\x02", second)
        git(repository, "config", "notes.displayRef", "*")
    elif way == "replace":
        git(repository, "replace", second, commit_of(repository, with_flour(100), first, subject=b"Forged"))  # fmt: skip
    elif way == "graft":
        (repository / ".git" / "info").mkdir(exist_ok=True)
        (repository / ".git" / "info" / "grafts").write_text(f"{second}\n")
    else:
        second = commit_of(repository, with_flour(400), first, subject=b"Try\nand\nmore\n\nbody")
        put_on(repository, "main", second)
    commits, _ = ours.graph(ours.find_repository(repository), "HEAD", "formula.yaml")
    assert {c.sha: c.parents for c in commits} == {first: (), second: (first,)}
    assert [len(c.changes) for c in commits] == [1, 1]
    done = run_cli("changelog", ".", cwd=repository)
    assert done.code == 0, done.err
    assert "Forged" not in done.all


def _commit(repository: Path, raw: str) -> str:
    from tests.hostile import crafted

    sha = crafted._object(repository, "commit", raw.encode())
    put_on(repository, "main", sha)
    return sha


@pytest.mark.parametrize(
    ("variable", "value"),
    [
        ("GIT_EXTERNAL_DIFF", "false"),
        ("GIT_DIFF_OPTS", "--unified=0"),
        ("GIT_NAMESPACE", "elsewhere"),
        ("GIT_REPLACE_REF_BASE", "refs/heads/"),
        ("GIT_SHALLOW_FILE", "/dev/null"),
        ("GIT_TRACE", "1"),
        ("GIT_LITERAL_PATHSPECS", "0"),
        ("GIT_ICASE_PATHSPECS", "1"),
        ("GIT_DEFAULT_HASH", "sha256"),
    ],
)
def test_a_persons_variables_of_git_change_no_result(
    repository: Path, monkeypatch: pytest.MonkeyPatch, variable: str, value: str
) -> None:
    first = commit_of(repository, with_flour(500))
    put_on(repository, "main", commit_of(repository, with_flour(400), first))
    git(repository, "reset", "-q", "--hard", "main")
    plain = ours.graph(ours.find_repository(repository), "HEAD", "formula.yaml")
    monkeypatch.setenv(variable, value)
    assert ours.graph(ours.find_repository(repository), "HEAD", "formula.yaml") == plain
    assert ours.tree(ours.find_repository(repository), "HEAD")[0]


def test_a_folder_that_looks_like_a_repository_starts_nothing(repository: Path) -> None:
    """A bare repository inside a commit, whose settings name a program."""
    git(repository, "commit", "-q", "--allow-empty", "-m", "First")
    bare = repository / "formulas" / "inner"
    bare.mkdir(parents=True)
    git(bare, "init", "-q", "--bare", ".")
    started = repository / "started"
    with (bare / "config").open("a") as config:
        config.write(f'[core]\n\tfsmonitor = "touch {started}; false"\n\tworktree = .\n\tbare = false\n')  # fmt: skip
    (bare / "formula.yaml").write_text(formula_text("{item: all-purpose flour, amount: 1 g}"))
    for words in (("diff",), ("lint",), ("changelog",), ("review", "HEAD..HEAD"), ("check-setup",)):
        run_cli(*words, cwd=bare)
        run_cli(*words, cwd=repository)
    assert not started.exists()
