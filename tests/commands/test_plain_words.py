"""Words that are read without argparse say what argparse reads in them."""

from __future__ import annotations

import random

import pytest

from perflour.cli import _COMMANDS, _module
from perflour.commands.parser import Parser
from perflour.commands.plain_words import read_plainly
from tests.conftest import times

#: Words that no command knows, and what argparse takes in ways of its own.
ODD = ("formulas", "a b", "", "-", "--", "-x", "--forg", "--output=json", "-qv", "-1", "--no", "nowhere", "error", "json", "7")  # fmt: skip


def by_argparse(name: str, words: list[str]) -> dict[str, object] | None:
    """What argparse reads; None where it refuses or helps."""
    parser = Parser(prog=name)
    _module(name).describe(parser)
    try:
        return vars(parser.parse_args(words))
    except SystemExit:
        return None


def words_of(name: str) -> list[str]:
    """The options of a command and what they may be."""
    parser = Parser(prog=name)
    _module(name).describe(parser)
    choices = [str(c) for action in parser._actions for c in action.choices or ()]
    return [*parser._option_string_actions, *choices]


@pytest.mark.parametrize("name", _COMMANDS)
def test_whatever_is_read_plainly_argparse_reads_to_the_same(name: str) -> None:
    known, chance = words_of(name), random.Random(name)
    for _ in range(times(60)):
        pool = [*known, *ODD, *("formulas",) * 8]
        words = [chance.choice(pool) for _ in range(chance.randrange(5))]
        plain = read_plainly(_module(name).describe, words)
        if plain is not None:
            assert vars(plain) == by_argparse(name, words), words


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("lint", []),
        ("lint", ["formulas", "other.yaml", "-"]),
        ("lint", ["--fail-at", "error", "-q", "--jobs", "2", "one.yaml"]),
        ("lint", ["one.yaml", "--output", "json", "--baseline", "known.json"]),
        ("show", ["--per", "piece", "--wide", "one.yaml"]),
        ("diff", ["HEAD~1"]),
        ("git-sheet", ["one.yaml"]),
        ("changelog", ["formulas", "--output", "markdown", "--by", "commit", "--jobs", "1"]),
        ("changelog", ["--check"]),
        ("review", ["main..HEAD", "--output", "json", "--fail-at", "never"]),
        ("review", ["--whole", "main..HEAD"]),
        ("git-merge", ["a", "b", "c", "formulas/a/formula.yaml", "--marker-size", "9"]),
    ],
    ids=str,
)
def test_usual_words_are_read_plainly(name: str, words: list[str]) -> None:
    plain = read_plainly(_module(name).describe, words)
    assert plain is not None
    assert vars(plain) == by_argparse(name, words)


def test_what_excludes_each_other_is_left_to_argparse() -> None:
    words = ["formulas", "--check", "--write"]
    assert read_plainly(_module("changelog").describe, words) is None
    assert by_argparse("changelog", words) is None


@pytest.mark.parametrize(
    "words",
    [
        ["--help"],
        ["--fail-at", "never"],
        ["--fail-at"],
        ["--jobs", "0"],
        ["--jobs", "-1"],
        ["--out", "json"],
        ["--output=json"],
        ["-qv"],
        ["a.yaml", "--forget", "b.yaml"],
    ],
    ids=" ".join,
)
def test_what_takes_an_answer_is_left_to_argparse(words: list[str]) -> None:
    assert read_plainly(_module("lint").describe, words) is None
