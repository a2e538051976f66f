"""Places in files, results of rules, and the errors that stop one file or the whole run."""

import re
from collections.abc import Callable

from perflour.plain import visible
from perflour.tuples import NamedTuple
from perflour.typed import Literal

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
        return f"{visible(self.path)}:{self.line}:{self.column}"


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
