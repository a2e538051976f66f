"""The words of a usual command line, read without argparse, which takes longer to load than they to read.

A command describes itself once, to argparse or to this. Whatever argparse would complain of, complete or help
with is left to it: only words that both read to the same options are read here (docs/performance.md).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from types import SimpleNamespace

from perflour.commands.parts import EVERYWHERE
from perflour.typed import Any

_SWITCH = "store_true"
#: What is told of paths, of a word before them and of an option's value, for them to be read here.
_OF_PATHS = frozenset(("nargs", "metavar", "help"))
_OF_WORD = frozenset(("metavar", "help"))
_OF_OPTIONS = frozenset(("choices", "default", "help", "metavar", "type"))
#: What makes an option count though nobody says it.
_ELSEWHERE = frozenset(("dest", "required", "const"))


class _NotPlain(Exception):
    """Something that argparse is to read."""


class _Taken:
    """What a command takes; a class because commands tell it as they do to a parser of argparse."""

    def __init__(self) -> None:
        self.options: dict[str, tuple[str, dict[str, Any]]] = {}
        self.usual: dict[str, Any] = {}
        self.apart: list[list[str]] = []
        self.first: list[str] = []
        self.paths = ""
        for names, told in EVERYWHERE:
            self.options.update(dict.fromkeys(names, (_field(names), told)))

    def add_argument(self, *names: str, **told: Any) -> None:
        if names[0][0] != "-":
            if not self.paths and told.keys() <= _OF_WORD:
                self.first.append(names[0])
                return
            if self.paths or told.get("nargs") != "*" or not told.keys() <= _OF_PATHS:
                raise _NotPlain
            self.paths = names[0]
            return
        if told.keys() & _ELSEWHERE:
            raise _NotPlain
        field = _field(names)
        self.options.update(dict.fromkeys(names, (field, told)))
        self.usual[field] = told.get("default", False if told.get("action") == _SWITCH else None)

    def add_mutually_exclusive_group(self, **told: Any) -> _Group:
        if told:  # one of them has to be said
            raise _NotPlain
        self.apart.append([])
        return _Group(self, self.apart[-1])

    def __getattr__(self, name: str) -> Any:  # other groups, words behind the command
        raise _NotPlain


class _Group:
    """Options of which only one may be said."""

    def __init__(self, taken: _Taken, fields: list[str]) -> None:
        self.taken, self.fields = taken, fields

    def add_argument(self, *names: str, **told: Any) -> None:
        self.taken.add_argument(*names, **told)
        self.fields.append(_field(names))


def read_plainly(describe: Callable[[Any], None], words: Sequence[str]) -> SimpleNamespace | None:
    """The options of a command in words, as argparse gives them; None where it is to read them."""
    try:
        taken = _Taken()
        describe(taken)
        return SimpleNamespace(**{**taken.usual, **_said(taken, words)})
    except _NotPlain:
        return None


def _said(taken: _Taken, words: Sequence[str]) -> dict[str, Any]:
    said: dict[str, Any] = {}
    paths: list[str] = []
    ended = 0  # where the paths ended: more behind an option are too many for argparse
    left = enumerate(words)
    for at, word in left:
        if word in taken.options:
            field, told = taken.options[word]
            said[field] = told.get("action") == _SWITCH or _value(told, next(left, (0, "-"))[1])
        elif word[:1] == "-" != word or (paths and at != ended):
            raise _NotPlain
        else:
            paths.append(word)
            ended = at + 1
    if any(len(said.keys() & fields) > 1 for fields in taken.apart):
        raise _NotPlain
    first = len(taken.first)
    if len(paths) < first or (len(paths) > first and not taken.paths):
        raise _NotPlain
    said.update(zip(taken.first, paths, strict=False))
    return {**said, taken.paths: paths[first:]} if taken.paths else said


def _value(told: dict[str, Any], word: str) -> Any:
    """The value of an option in the word behind it."""
    if word[:1] == "-" or not told.keys() <= _OF_OPTIONS:
        raise _NotPlain
    try:
        value = told.get("type", str)(word)
    except Exception as wrong:  # which argparse has words for
        raise _NotPlain from wrong
    if value not in told.get("choices", (value,)):
        raise _NotPlain
    return value


def _field(names: Sequence[str]) -> str:
    """How argparse calls what an option says."""
    long = next((name for name in names if name[:2] == "--"), None)
    if long is None:
        raise _NotPlain
    return long[2:].replace("-", "_")
