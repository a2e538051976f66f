"""Setting a repository up for ratios, undoing it, and the commands that are written."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from perflour.setup.git import MARK, PATTERN, with_block, without_block
from tests.conftest import GIT_ENVIRONMENT, ROOT, formula_text, git, run_cli

KEYS = (
    "diff.perflour.textconv",
    "diff.perflour.xfuncname",
    "merge.perflour.name",
    "merge.perflour.driver",
)
BLOCK = f"{MARK.decode()}\n{PATTERN.decode()}\n"


def config(repository: Path) -> str:
    return git(repository, "config", "--local", "--list")


def attributes(repository: Path) -> Path:
    return repository / ".gitattributes"


def test_it_says_what_it_did_and_does_it_once(repository: Path) -> None:
    first = run_cli("git-setup", cwd=repository)
    assert (first.code, first.err) == (0, "")
    assert first.out == (
        ".gitattributes: formula.yaml diff=perflour merge=perflour (commit it: it holds for everybody)\n"
        "git config diff.perflour.textconv\n"
        "git config diff.perflour.xfuncname\n"
        "git config merge.perflour.name\n"
        "git config merge.perflour.driver\n"
        ".git/perflour/sheets: sheets that were shown are kept here\n"
        "ratio sheets by no house.yaml; name one by --house\n"
    )
    assert attributes(repository).read_text(encoding="utf-8") == BLOCK
    state = config(repository), attributes(repository).read_bytes()
    again = run_cli("git-setup", cwd=repository)
    assert (again.code, again.out) == (0, "already set up\n")
    assert (config(repository), attributes(repository).read_bytes()) == state


@pytest.mark.parametrize(
    "present",
    [
        None,
        b"* text=auto\n",
        b"*.png binary\n\n# ours",
        b"* text=auto\r\n*.bat eol=crlf\r\n",
        b"*.yaml diff=other\n",
    ],
)
def test_undo_removes_exactly_what_was_added(present: bytes | None, repository: Path) -> None:
    if present is not None:
        attributes(repository).write_bytes(present)
    git(repository, "config", "merge.other.driver", "true")
    before = config(repository)
    assert run_cli("git-setup", cwd=repository).code == 0
    folder = repository / "formulas" / "trial"
    folder.mkdir(parents=True)
    found = git(repository, "check-attr", "diff", "merge", "--", "formulas/trial/formula.yaml")
    assert found.count(": perflour\n") == 2
    undone = run_cli("git-setup", "--undo", cwd=folder)
    assert (undone.code, undone.err) == (0, "")
    assert undone.out == (
        ".gitattributes: removed formula.yaml diff=perflour merge=perflour\n"
        + "".join(f"git config: removed {key}\n" for key in KEYS)
        + ".git/perflour/sheets: removed\n"
    )
    assert config(repository) == before
    assert attributes(repository).exists() == (present is not None)
    if present is not None:
        assert attributes(repository).read_bytes() == present
    assert run_cli("git-setup", "--undo", cwd=repository).out == "was not set up\n"


@given(
    st.lists(st.sampled_from([b"a b=c", b"# x", b"", b"formula.yaml diff=x"]), max_size=4),
    st.sampled_from([b"\n", b"\r\n"]),
    st.booleans(),
    st.sampled_from([b"", b"more diff\n"]),
)
def test_the_lines_come_and_go_byte_for_byte(
    lines: list[bytes], end: bytes, ended: bool, later: bytes
) -> None:
    content = end.join(lines) + (end if ended and lines else b"")
    with_ours = with_block(content)
    assert PATTERN in with_ours.splitlines()
    assert with_block(b"", is_new=True) + later == BLOCK.encode() + later
    assert without_block(with_ours) == content
    if with_ours.endswith(b"\n"):  # what somebody wrote below stays
        assert without_block(with_ours + later) == content + later


def test_check_says_what_is_missing(repository: Path) -> None:
    bare = run_cli("git-setup", "--check", cwd=repository)
    assert bare.code == 1
    assert bare.out.splitlines()[:2] == [
        ".gitattributes: nothing of perflour; run git-setup",
        "git config diff.perflour.textconv: nothing of perflour; run git-setup",
    ]
    assert not attributes(repository).exists()
    run_cli("git-setup", cwd=repository)
    ready = run_cli("git-setup", "--check", cwd=repository)
    assert (ready.code, ready.out) == (0, "set up\n")
    git(repository, "config", "merge.perflour.driver", "false")
    other = run_cli("git-setup", "--check", cwd=repository)
    assert (other.code, other.out) == (
        1,
        "git config merge.perflour.driver: is not what would be set now; run git-setup again\n",
    )


@pytest.mark.parametrize("words", [(), ("--undo",), ("--check",)])
def test_outside_a_repository_it_cannot_run(words: tuple[str, ...], tmp_path: Path) -> None:
    outcome = run_cli("git-setup", *words, cwd=tmp_path)
    assert (outcome.code, outcome.out) == (2, "")
    assert "not in a git repository" in outcome.err
    assert list(tmp_path.iterdir()) == []


def test_an_attributes_file_that_cannot_be_read_is_said(repository: Path) -> None:
    attributes(repository).mkdir()
    outcome = run_cli("git-setup", cwd=repository)
    assert (outcome.code, outcome.out) == (2, "")
    assert outcome.err.startswith(f"perflour: {attributes(repository)}: cannot be read (")


def house(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "house.yaml").write_text("house: Saltmarsh Lane\n", encoding="utf-8")


def test_the_one_house_is_found_and_one_of_several_is_named(repository: Path) -> None:
    house(repository / "our bakes")
    found = run_cli("git-setup", cwd=repository)
    assert found.out.endswith("ratio sheets by our bakes/house.yaml\n")
    assert "for_git()' 'our bakes' /" in config(repository)
    house(repository / "more")
    several = run_cli("git-setup", cwd=repository)
    assert several.out == (
        "git config diff.perflour.textconv\nratio sheets by no house.yaml; name one by --house\n"
    )
    named = run_cli("git-setup", "--house", ".", cwd=repository / "more")
    assert named.out.endswith("ratio sheets by more/house.yaml\n")
    house(repository / "formulas")
    usual = run_cli("git-setup", cwd=repository)
    assert usual.out.endswith("ratio sheets by formulas/house.yaml\n")
    wrong = run_cli("git-setup", "--house", "none", cwd=repository)
    assert (wrong.code, wrong.err) == (
        2,
        "perflour: none: no house.yaml in it; name the folder that holds it\n",
    )


def test_a_python_in_an_oddly_named_folder_is_quoted(repository: Path) -> None:
    """Set up by a Python whose path has blanks, a quote and a percent sign; git runs it for all."""
    odd = repository / "it's 100 %O odd" / "python"
    odd.parent.mkdir()
    odd.symlink_to(sys.executable)
    paths = os.pathsep.join([str(ROOT / "tools"), *(path for path in sys.path if path)])
    environment = {**GIT_ENVIRONMENT, "PYTHONPATH": paths}

    def run(*words: str) -> subprocess.CompletedProcess[bytes]:
        return subprocess.run(
            words, cwd=repository, capture_output=True, env=environment, check=False
        )

    def commit(amounts: tuple[str, str], message: str) -> None:
        lines = zip(("flour", "butter"), amounts, strict=True)
        text = formula_text(*(f"{{item: {item}, amount: {amount}}}" for item, amount in lines))
        (repository / "formula.yaml").write_text(text, encoding="utf-8")
        git(repository, "add", "formula.yaml", ".gitattributes")
        git(repository, "commit", "-q", "-m", message)

    done = run(str(odd), "-m", "perflour", "git-setup")
    assert done.returncode == 0, done.stderr.decode()
    assert "s 100 %%O odd/python" in git(repository, "config", "merge.perflour.driver")
    commit(("100 g", "50 g"), "base")
    git(repository, "checkout", "-q", "-b", "other")
    commit(("100 g", "60 g"), "butter")
    assert b"+     60.0 %  batter: butter\n" in run("git", "show").stdout
    git(repository, "checkout", "-q", "main")
    commit(("110 g", "50 g"), "flour")
    merged = run("git", "merge", "-q", "-m", "both", "other")
    assert merged.returncode == 0, merged.stderr.decode()
    text = (repository / "formula.yaml").read_text(encoding="utf-8")
    assert "{item: flour, amount: 110 g}" in text
    assert "{item: butter, amount: 60 g}" in text


def test_nothing_is_imported_from_the_tree_that_is_shown(repository: Path) -> None:
    """A file in the repository that is named like a module must not be run by `git diff`."""
    run_cli("git-setup", cwd=repository)
    for name in ("yaml.py", "perflour.py", "json.py"):
        (repository / name).write_text("raise SystemExit('ran')\n", encoding="utf-8")
    text = formula_text("{item: flour, amount: 100 g}", "{item: butter, amount: 50 g}")
    (repository / "formula.yaml").write_text(text, encoding="utf-8")
    git(repository, "add", "-A")
    git(repository, "commit", "-q", "-m", "A trial")
    assert "+     50.0 %  batter: butter\n" in git(repository, "show", "--", "formula.yaml")
