"""Places in files, results of rules, and the errors that stop one file or the whole run."""

import re
from collections.abc import Callable
from typing import Literal, NamedTuple

Level = Literal["error", "warning", "note"]
LEVELS: tuple[Level, ...] = ("error", "warning", "note")
#: So much of a line is kept to be quoted: a file may be one line of a megabyte with hundreds of results.
LONGEST_QUOTED = 1000


class Place(NamedTuple):
    """A position in a file; line and column count from 1.

    What lint needs is made of NamedTuples, here and elsewhere: frozen like our dataclasses, whose module
    is kept off lint's path: docs/performance.md.
    """

    path: str
    line: int = 1
    column: int = 1

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}"


class Result(NamedTuple):
    """One finding of one rule at one place (SARIF: result).

    ``subject`` is the ingredient, part or step it is about, so that a waiver can name it; ``line`` is
    the text of the line it stands on, where a report is to quote it.
    """

    rule: str
    level: Level
    message: str
    place: Place
    subject: str = ""
    line: str = ""


class FileProblem(Exception):
    """A file that cannot be used at all: what is wrong, and what to do, at one place."""

    def __init__(self, rule: str, place: Place, message: str) -> None:
        super().__init__(f"{place}: {message}")
        self.rule = rule
        self.place = place
        self.message = message

    def result(self) -> Result:
        """The same problem as a result, so that a run over many files goes on."""
        return Result(self.rule, "error", self.message, self.place)


def with_lines(results: tuple[Result, ...], path: str, content: bytes) -> tuple[Result, ...]:
    """Results with the lines they are about, as far as they are about the file of that content."""
    if not results:
        return results
    if b"\r" in content:
        content = content.replace(b"\r\n", b"\n").replace(b"\r", b"\n")
    lines = content.split(b"\n")
    return tuple([_with_line(r, lines) if r.place.path == path else r for r in results])


def _with_line(result: Result, lines: list[bytes]) -> Result:
    _, line, column = result.place
    if line > len(lines) or column > LONGEST_QUOTED:
        return result
    text = lines[line - 1].decode("utf-8", "replace")
    return result._replace(line=text[:LONGEST_QUOTED])


class CannotRun(Exception):
    """Nothing can be done at all (exit code 2): no such file, no repository, a request not to be met.

    Its text may name fields of a request by ``request_field``; it reads as plain words, and a command tells it
    with the names of its options.
    """

    def __str__(self) -> str:
        return self.told(lambda name: name.replace("_", " "))

    def told(self, called: Callable[[str], str]) -> str:
        """The text with each field as it is called."""
        return re.sub(_FIELD.format("([a-z_]+)"), lambda m: called(m[1]), super().__str__())


def request_field(name: str) -> str:
    """A field of a request in the text of a CannotRun."""
    return _FIELD.format(name)


#: Around a field's name. A file may hold a bare NUL (YAML and JSON spell it \0 and \u0000): that is no mark.
_FIELD = "\0field {}\0"


# They join signs of one letter or picture, and turn nothing round.
_JOINERS = "\u200c\u200d"
#: Signs that nobody sees and that steer what shows them: C0 but tab and line ends, DEL, C1, separators and
#: directions of Unicode, halves of signs and what is no sign.
UNSEEN = "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ud800-\udfff\ufffe\uffff]"


def one_line(text: str) -> str:
    """Text for a place within a line: line breaks are spaces, control and direction signs are spelt out."""
    if text.isprintable():
        return text
    return "".join(
        c if c.isprintable() or c in _JOINERS else " " if c.isspace() else _spelt(c) for c in text
    )


def printed(text: str) -> str:
    """A whole report as it may go to a terminal, a log, a file: no sign in it steers what shows it.

    Control and direction signs are spelt out, as JSON spells them, but for our own page breaks; so are the
    marks by which hosts of CI take a line of a log for a command.
    """
    if not text.replace("\n", "").isprintable():
        text = re.sub(rf"(?!\f){UNSEEN}|\r(?!\n)", lambda found: _spelt(found[0]), text)
    if "##[" in text:
        text = text.replace("##[", "\\u0023#[")
    return re.sub(r"(?m)^([ \t]*)::", r"\1\\::", text) if "::" in text else text


def _spelt(sign: str) -> str:
    """A sign in letters that stand for it in JSON too."""
    return f"\\u{ord(sign):04x}" if ord(sign) < 0x10000 else f"\\U{ord(sign):08x}"
