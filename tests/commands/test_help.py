"""Help by task, and of each command a sentence, an example that works, its defaults and its exit codes."""

from __future__ import annotations

import argparse
import re
import shlex
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

import pytest

from perflour.cli import _COMMANDS, _OF_GIT, _TASKS, _parser
from perflour.commands.parser import Help
from tests.conftest import ROOT, git, run_cli

pytestmark = pytest.mark.xdist_group("help")  # one clone

ENDING = re.compile(r"\nexample:\n((?:  perflour .+\n)+)\nexit codes:\n((?:  \d  .+\n)+)$")


def parsers(parser: argparse.ArgumentParser) -> Iterator[argparse.ArgumentParser]:
    """Every parser that takes no further word."""
    below = [a for a in parser._actions if isinstance(a, argparse._SubParsersAction)]
    if not below:
        yield parser
    for action in below:
        for command in action.choices.values():
            yield from parsers(command)


TYPED = {parser.prog.removeprefix("perflour "): parser for parser in parsers(_parser(whole=True))}
EXAMPLES = {words: ENDING.search(parser.format_help()) for words, parser in TYPED.items()}


def test_every_command_has_a_task_or_is_called_by_git() -> None:
    named = [name for names in _TASKS.values() for name in names]
    assert sorted([*named, *_OF_GIT]) == sorted(_COMMANDS)


def test_help_tells_the_commands_by_task_and_none_that_git_calls(tmp_path: Path) -> None:
    told = run_cli("--help", cwd=tmp_path).out
    for task, names in _TASKS.items():
        (listed,) = re.findall(rf"^{task}:\n((?:  .+\n)+)", told, re.MULTILINE)
        assert tuple(re.findall(r"^  (\S+)", listed, re.MULTILINE)) == names
    for name in _OF_GIT:
        assert name not in told
        assert run_cli(name, "--help", cwd=tmp_path).code == 0


@pytest.mark.parametrize("words", EXAMPLES)
def test_a_command_tells_its_example_and_exit_codes(words: str) -> None:
    parser, found = TYPED[words], EXAMPLES[words]
    assert found, parser.epilog
    assert re.fullmatch(r"[A-Z][^\n]+\.", parser.description or "")
    codes = re.findall(r"^  (\d)", found[2], re.MULTILINE)
    assert codes in (["0", "1", "2"], ["0", "2"])
    for line in found[1].splitlines():
        assert line.split()[0] == "perflour"
    assert shlex.split(found[1].splitlines()[-1])[1:][: len(words.split())] == words.split()


@pytest.mark.parametrize("name", _COMMANDS)
def test_the_example_of_a_module_is_that_of_its_help(name: str, tmp_path: Path) -> None:
    module = import_module(f"perflour.commands.{_COMMANDS[name][0]}")
    assert f"example:\n  {module.EXAMPLE}\n" in run_cli(name, "--help", cwd=tmp_path).out


def test_every_argument_says_what_it_is_for() -> None:
    for words, parser in TYPED.items():
        for action in parser._actions:
            assert re.match(r"[\w°`']", action.help or ""), (words, action.option_strings)


def test_a_default_is_told_once_and_only_where_it_says_something() -> None:
    parser = argparse.ArgumentParser(formatter_class=Help)
    for name, usual, told in (
        ("--a", "text", "form"),
        ("--b", 0, "number"),
        ("--c", "", "name"),
        ("--d", 0, "cores (default: all)"),
        ("--e", None, "file"),
    ):
        parser.add_argument(name, default=usual, help=told)
    parser.add_argument("--f", action="store_true", help="whether")
    lines = [line.split(maxsplit=2)[2] for line in parser.format_help().splitlines()[-6:-1]]
    assert lines == ["form (default: text)", "number (default: 0)", "name", "cores (default: all)", "file"]  # fmt: skip
    assert parser.format_help().endswith("whether\n")


@pytest.fixture(scope="module")
def clone(tmp_path_factory: pytest.TempPathFactory) -> Path:
    if not (ROOT / ".git").exists():
        pytest.skip("needs the git repository")
    folder = tmp_path_factory.mktemp("help") / "perflour"
    git(ROOT, "clone", "-q", str(ROOT), str(folder))
    session = folder / "formulas/sessions/2026-11-29.yaml"  # as before anybody tasted
    drawn = session.read_text("utf-8").split("scores:")[0]
    session.write_text(drawn, encoding="utf-8")
    (folder / "said.csv").write_text("taster,code,chew,overall\nA,128,5,5\n", encoding="utf-8")
    cookie = (folder / "formulas/rye-ginger-cookie/formula.yaml").read_text("utf-8")
    for side in ("base", "ours"):  # what git hands to git-merge
        (folder / f"{side}.yaml").write_text(cookie, encoding="utf-8")
    theirs = cookie.replace("title: ", "title: A ", 1)
    (folder / "theirs.yaml").write_text(theirs, encoding="utf-8")
    return folder


@pytest.mark.parametrize("words", EXAMPLES)
def test_the_example_works_in_this_repository(words: str, clone: Path) -> None:
    if words == "watch":
        pytest.skip("waits for a save: tests/asking/test_watch.py")
    found = EXAMPLES[words]
    assert found
    for line in found[1].splitlines():
        typed = shlex.split(line)[1:]
        done = run_cli(*typed, cwd=clone)
        assert done.code in (0, 1), done.err
        assert "Traceback" not in done.err
        if words == "git-merge":
            assert "title: A " in (clone / "ours.yaml").read_text("utf-8")
        elif "--write" in typed:
            assert (clone / typed[-1]).stat().st_size > 1000
        else:
            assert done.out.strip(), done.err
