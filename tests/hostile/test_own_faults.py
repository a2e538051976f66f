"""Input that once ended in a fault of our own: one clear line, or a true table, and never a traceback."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest

from perflour.result import CannotRun
from perflour.system import writing
from perflour.system.destination import write_report
from tests.conftest import formula_text, git, run_cli, run_python

LEVAIN = """\
formula: trial
title: Trial
class: loaf-cake
status: testing
parts:
  - part: levain
    kind: preferment
    ingredients:
      - {{item: all-purpose flour, amount: 100 g}}
      - {{item: water, amount: 100 g}}
  - part: dough
    kind: dough
    ingredients:
      - {{part: levain, amount: {share}}}
      - {{item: {other}, amount: {amount}}}
method:
  - {{do: mix, uses: [levain, {other}]}}
"""
COMMANDS: list[tuple[str, ...]] = [
    ("lint",), ("show",), ("show", "--output", "json"), ("contents",), ("compare",), ("cost",), ("plan", "--make", "trial=2"),
    ("scale", "formula.yaml", "--times", "1/3"), ("scale", "formula.yaml", "--flour", "1 kg", "--output", "formula"),
    ("draft", "--all", "--output", "html"), ("format", "--check"),
]  # fmt: skip
SHARES = (
    "some",
    "rest",
    "1 cup",
    "200 %",
    "0 %",
    "1/3",
    "1e308 g",
    "99999999999999999999 kg",
    "to taste",
)
AMOUNTS = ("500 g", "1e-300 g", "0.0000001 g", "1e300 g", "0 g", "1/0 g", ".inf g")


def assert_no_fault(folder: Path, *words: str) -> None:
    done = run_cli(*words, cwd=folder)
    assert done.code in (0, 1, 2), (words, done.all)
    assert "fault of our own" not in done.all, (words, done.all)
    assert "Traceback" not in done.all, (words, done.all)


@pytest.mark.parametrize("other", ["all-purpose flour", "butter"])
@pytest.mark.parametrize(
    ("share", "amount"), [(s, "500 g") for s in SHARES] + [("rest", a) for a in AMOUNTS[1:]]
)
def test_amounts_that_mean_little(tmp_path: Path, share: str, amount: str, other: str) -> None:
    text = LEVAIN.format(share=share, amount=amount, other=other)
    (tmp_path / "formula.yaml").write_text(text, encoding="utf-8")
    for words in COMMANDS:
        assert_no_fault(tmp_path, *words)


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("house.yaml", "house: S\nscale-resolution: 5e-324\n"),
        ("house.yaml", "house: S\nscale-resolution: 1000\n"),
        ("ingredients.yaml", "ingredients:\n  - {name: marsh meal, group: flour, measures: [{per: 1 cup, grams: 1e-300, source: s}]}\n"),
    ],
)  # fmt: skip
def test_figures_that_no_kitchen_has(tmp_path: Path, name: str, text: str) -> None:
    (tmp_path / "formula.yaml").write_text(formula_text("{item: marsh meal, amount: 2 cup}"))
    (tmp_path / name).write_text(text)
    for words in COMMANDS:
        assert_no_fault(tmp_path, *words)


@pytest.mark.parametrize("command", ["lint", "show", "changelog", "diff", "import", "draft"])
@pytest.mark.parametrize("option", ["--output=--", "--title=--", "--write=--"])
def test_an_option_without_a_value(repository: Path, command: str, option: str) -> None:
    done = run_cli(command, option, cwd=repository)
    assert (done.code, done.err) == (2, f"perflour: {option}: no value behind =; write one\n")


@pytest.mark.parametrize("words", [("lint",), ("show", "-"), ("new", "kitchen"), ("git-setup",)])
def test_a_folder_that_is_gone(tmp_path: Path, words: tuple[str, ...]) -> None:
    gone = tmp_path / "gone"
    gone.mkdir()
    here = os.getcwd()
    os.chdir(gone)
    try:
        gone.rmdir()
        done = run_python(*words, cwd=Path("/proc/self/cwd"))
    finally:
        os.chdir(here)
    assert (done.code, done.err.count("\n")) == (2, 1), done.all
    assert done.err.startswith("perflour: the folder this runs in is gone;")


@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EROFS, errno.EACCES, errno.EDQUOT])
def test_a_disk_that_takes_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """The old file stays, and nothing is left beside it."""

    def refuses(handle: int) -> None:
        raise OSError(number, os.strerror(number))

    report = tmp_path / "report.md"
    report.write_text("old")
    monkeypatch.setattr(writing.os, "fsync", refuses)
    with pytest.raises(CannotRun, match=r"report\.md: cannot be written \("):
        write_report(str(report), b"new", ())
    assert report.read_text() == "old"
    assert os.listdir(tmp_path) == ["report.md"]


def test_undo_leaves_what_was_there_byte_for_byte(repository: Path) -> None:
    attributes, config = repository / ".gitattributes", repository / ".git" / "config"
    for before in (
        None,
        b"",
        b"*.txt text",
        b"*.txt text\r\n\r\n",
        b"# \xff\n\n\n",
        b"formula.yaml diff=mine\n",
    ):
        attributes.unlink(missing_ok=True)
        if before is not None:
            attributes.write_bytes(before)
        was = git(repository, "config", "--local", "--list"), config.read_bytes()
        assert run_cli("git-setup", cwd=repository).code == 0
        run_cli("git-setup", "--undo", cwd=repository)
        assert (attributes.read_bytes() if attributes.exists() else None) == before
        assert (git(repository, "config", "--local", "--list"), config.read_bytes()) == was


@pytest.mark.parametrize("name", ["p" * 300, "a\0b", "p" * 5000])
def test_names_of_photos_that_no_file_has(repository: Path, name: str) -> None:
    (repository / "formula.yaml").write_text(formula_text("{item: all-purpose flour, amount: 1 g}"))
    if "\0" not in name:
        assert_no_fault(
            repository, "bake", "new", ".", "--baker", "A", "--verdict", "keep", "--photo", name
        )
    bakes = repository / "bakes"
    bakes.mkdir()
    escaped = name.replace("\0", "\\0")
    (bakes / "2026-03-14.yaml").write_text(
        f'date: 2026-03-14\nformula: trial\nof: 0f3a9c21b7de\nbaker: A\nverdict: keep\nphotos: [{{file: "{escaped}"}}]\n'
    )
    assert_no_fault(repository, "bake", "check")


@pytest.mark.parametrize("words", [("show",), ("changelog",), ("bake", "list"), ("bake", "sheets"), ("diff",), ("git-setup", "--house"), ("bake", "new"), ("release", "prepare", "1", "--into")])  # fmt: skip
def test_a_name_longer_than_a_file_can_have(repository: Path, words: tuple[str, ...]) -> None:
    done = run_cli(*words, "n" * 400, cwd=repository)
    assert (done.code, done.err.count("\n"), "fault" in done.err) == (2, 1, False), done.all


TWICE = LEVAIN.replace("part: levain\n    kind", "part: dough\n    kind").format(
    share="100 g", amount="500 g", other="all-purpose flour"
)


def test_two_parts_of_one_name_are_never_weighed_as_one(tmp_path: Path) -> None:
    """The second stood for the first, whose ingredients were in no table and no shopping list."""
    (tmp_path / "formula.yaml").write_text(TWICE, encoding="utf-8")
    for words in COMMANDS[:-1]:  # format writes what is there
        done = run_cli(*words, cwd=tmp_path)
        assert done.code in (1, 2), (words, done.all)
        assert "a second part is called 'dough'; give each its own name" in done.all, words
