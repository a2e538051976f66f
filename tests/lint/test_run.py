"""Long runs: several cores and the cache give what one core without a cache gives."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from perflour.lint.check import check_inputs
from perflour.lint.run import check_names
from perflour.result import LONGEST_QUOTED, CannotRun, Place, Result, with_lines
from perflour.system import progress
from perflour.system.files import named_paths, read_input
from perflour.system.parallel import ENOUGH_ITEMS, spread_out
from tests.conftest import formula_text, git, run_cli

FILES = ENOUGH_ITEMS + 7


@pytest.fixture
def kitchen(repository: Path) -> Path:
    """A repository long enough for forks and cache; every third formula has something to say."""
    for number in range(FILES):
        path = repository / "formulas" / f"trial-{number}" / "formula.yaml"
        path.parent.mkdir(parents=True)
        item = "flouur" if number % 3 == 0 else "flour"
        text = formula_text(
            f"{{item: {item}, amount: {100 + number} g}}", "{item: salt, amount: 2 g}"
        )
        path.write_text(
            text.replace("formula: trial", f"formula: trial-{number}"), encoding="utf-8"
        )
    (repository / "formulas" / "house.yaml").write_text("house: Trial kitchen\n", encoding="utf-8")
    return repository


def cached(kitchen: Path) -> list[Path]:
    """What is kept by content; tests/lint/test_unchanged.py looks at what is kept by sign."""
    return sorted((kitchen / ".git" / "perflour").glob("lint-*"))


def lint(kitchen: Path, *words: str) -> str:
    return run_cli("lint", "--output", "json", *words, cwd=kitchen).out


def test_cores_and_cache_change_no_result(kitchen: Path) -> None:
    plain = lint(kitchen, "--forget", "--jobs", "1")
    assert len({r["path"] for r in json.loads(plain)["results"]}) == -(-FILES // 3)
    assert not cached(kitchen)
    for words in (["--forget", "--jobs", "3"], [], [], ["--jobs", "2"]):
        assert lint(kitchen, *words) == plain
    assert len(cached(kitchen)) == 1


def test_files_of_any_kind_and_kitchen_together_are_as_each_alone(kitchen: Path) -> None:
    """In a row as they stand, with every way a file can be wrong and a second house among them."""
    other = kitchen / "formulas" / "other"
    for name, text in (
        ("house.yaml", "house: Another\nrules: {unknown-ingredient: 'off'}\n"),
        ("a/formula.yaml", formula_text("{item: flouur, amount: 1 g}").replace("formula: trial", "formula: a")),
        ("broken/formula.yaml", "formula: [\n"),
        ("unknown/formula.yaml", "formula: unknown\n"),
        ("prices.yaml", "currency: EUR\nprices: 3\n"),
        ("a/bakes/2026-03-14.yaml", "date: soon\n"),
    ):  # fmt: skip
        (other / name).parent.mkdir(parents=True, exist_ok=True)
        (other / name).write_text(text, encoding="utf-8")
    sources = [read_input(path) for path in named_paths([str(kitchen / "formulas")])]
    alone = [check_inputs([source])[0] for source in sources]
    assert check_inputs(sources) == alone
    assert sum(map(bool, alone)) == -(-FILES // 3) + 4


def test_a_result_quotes_its_line(kitchen: Path) -> None:
    """Also of standard input, which cannot be read a second time, and from the cache."""
    path = kitchen / "formulas" / "trial-0" / "formula.yaml"
    line = next(ln for ln in path.read_text(encoding="utf-8").split("\n") if "flouur" in ln)
    caret = f"    {line}\n    {' ' * line.index('flouur')}^\n"
    for words in (["formulas"], ["formulas"], ["-"]):
        done = run_cli("lint", *words, cwd=kitchen, stdin=path.read_bytes().replace(b"\n", b"\r\n"))
        assert caret in done.out


def test_of_a_line_without_end_only_the_beginning_is_kept() -> None:
    content = b"x" * 5000 + b"\nshort\n"
    places = ((1, 7, LONGEST_QUOTED), (1, LONGEST_QUOTED + 1, 0), (2, 1, 5), (9, 1, 0))
    results = tuple(Result("r", "note", "m", Place("f", *at)) for *at, _ in places)
    found = with_lines((*results, Result("r", "note", "m", Place("g", 2, 1))), "f", content)
    assert [len(r.line) for r in found] == [*(length for *_, length in places), 0]


CHANGES = {
    "a formula": ("formulas/trial-1/formula.yaml", formula_text("{item: watr, amount: 1 g}").replace("formula: trial", "formula: trial-1")),
    "the house": ("formulas/house.yaml", "house: Trial kitchen\nrules: {unknown-ingredient: note}\n"),
    "ingredients": ("formulas/ingredients.yaml", "ingredients:\n  - {name: flouur, group: flour, counts-as: flour}\n"),
    "a bake": ("formulas/trial-1/bakes/2026-03-14.yaml", "date: soon\n"),
}  # fmt: skip


@pytest.mark.parametrize("what", CHANGES)
def test_what_changed_is_checked_again(what: str, kitchen: Path) -> None:
    before = lint(kitchen)
    name, content = CHANGES[what]
    (kitchen / name).parent.mkdir(exist_ok=True)
    (kitchen / name).write_text(content, encoding="utf-8")
    after = lint(kitchen)
    assert after != before
    assert after == lint(kitchen, "--forget")


@pytest.mark.parametrize("content", [b"", b"{", b"[]", b"\xff"])
def test_a_spoilt_cache_is_no_cache(content: bytes, kitchen: Path) -> None:
    plain = lint(kitchen)
    (cache,) = cached(kitchen)
    cache.write_bytes(content)
    assert lint(kitchen) == plain


def test_the_cache_stays_out_of_the_work_tree(kitchen: Path) -> None:
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "All")
    lint(kitchen)
    assert git(kitchen, "status", "--short") == ""


def test_a_linked_work_tree_keeps_nothing_in_a_repository_around_it(kitchen: Path) -> None:
    git(kitchen, "add", "-A")
    git(kitchen, "commit", "-qm", "All")
    git(kitchen, "worktree", "add", "-q", str(kitchen / "linked"))
    assert json.loads(lint(kitchen / "linked"))["files"] == FILES + 1
    assert not cached(kitchen)


def test_outside_a_repository_nothing_is_kept(kitchen: Path) -> None:
    plain = lint(kitchen)
    (kitchen / ".git").rename(kitchen / "gone")
    assert lint(kitchen) == plain
    assert not (kitchen / ".git").exists()


def test_work_is_spread_and_comes_back_in_order() -> None:
    items = list(range(1000))
    assert spread_out(lambda n: n * n, items, 4) == [n * n for n in items]


def test_what_a_child_raises_is_raised() -> None:
    def work(number: int) -> int:
        if number == 501:
            raise CannotRun("five hundred and one")
        return number

    with pytest.raises(CannotRun, match="five hundred and one"):
        spread_out(work, list(range(1000)), 2)


def test_a_file_that_goes_away_is_said_in_one_line(kitchen: Path) -> None:
    with pytest.raises(CannotRun, match="no such file or folder"):
        check_names([str(kitchen / "formulas"), str(kitchen / "none.yaml")])
    assert (
        run_cli("lint", "--jobs", "0", cwd=kitchen).err
        == "perflour lint: argument --jobs: '0' is no number of cores; write one like 2; see perflour lint --help\n"
    )


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_a_bar_on_a_terminal_and_none_in_a_pipe(
    kitchen: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(progress, "LONG_RUN_S", 0.0)
    terminal, pipe = Terminal(), io.StringIO()
    monkeypatch.setattr("sys.stderr", pipe)
    numbers = range(ENOUGH_ITEMS)
    assert spread_out(str, numbers, 1) == list(map(str, numbers)) and pipe.getvalue() == ""
    monkeypatch.setattr("sys.stderr", terminal)
    assert spread_out(str, numbers, 1) == list(map(str, numbers))
    assert "% |" in terminal.getvalue()
    terminal.truncate(0)
    spread_out(str, numbers[: ENOUGH_ITEMS // 2], 1)
    assert terminal.getvalue() == ""
    assert run_cli("lint", cwd=kitchen).err == ""
