"""What the YAML parser says is wrong, in the words of somebody who has to mend the file."""

from __future__ import annotations

import re

import yaml

from perflour.result import FileProblem, Place

# What git, and our merge driver, put around two sides between which they could not decide.
_CONFLICT_BEGIN = re.compile(r"^<{7,}(?:\s|$)", re.MULTILINE)
_CONFLICT_END = re.compile(r"^>{7,}(?:\s|$)", re.MULTILINE)

# What libyaml says, and what it means.
_ADVICE = (
    ("cannot start any token", "a character that YAML does not allow here; indent with spaces, not tabs, and quote text that starts with @, ` or %"),
    ("mapping values are not allowed", "a colon where none can stand; quote text that holds a colon, and check the indent"),
    ("could not find expected ':'", "a key without a colon; write `key: value`"),
    ("did not find expected key", "the indent or a quote does not match the lines above; check both"),
    ("did not find expected '-'", "the indent does not match the list above; line the dashes up"),
    ("did not find expected ',' or", "a bracket or brace is not closed, or a comma is missing; close it on its own line of items"),
    ("found unexpected end of stream", "a quote is not closed; close it"),
    ("did not find expected node content", "a value is missing; write it, or remove the comma before it"),
    ("control characters", "a control character; delete it"),
    ("found unknown escape", "an unknown backslash in double quotes; use single quotes"),
)  # fmt: skip
_OPEN_CONFLICT = "a merge left a conflict open here; write what shall stand, and delete its marks"


def problem_in_plain_words(
    error: yaml.YAMLError, text: str, path: str, too_deep: str
) -> FileProblem:
    """What the parser raised over a text, as the problem of the file at a path.

    ``too_deep`` is what to say where the parser's own limit of nesting is met.
    """
    if not isinstance(error, yaml.MarkedYAMLError):
        return FileProblem("broken-yaml", Place(path), _in_plain_words(str(error)))
    if line := _conflict_line(text):
        return FileProblem("broken-yaml", Place(path, line, 1), _OPEN_CONFLICT)
    mark = error.problem_mark or error.context_mark
    place = Place(path, mark.line + 1, mark.column + 1) if mark else Place(path)
    if "nesting" in (error.problem or ""):  # libyaml's own limit, met while it looks ahead
        return FileProblem("over-limit", place, too_deep)
    return FileProblem("broken-yaml", place, _in_plain_words(error.problem or ""))


def _conflict_line(text: str) -> int:
    """The line where the first conflict of a merge begins, 0 without one."""
    begin = _CONFLICT_BEGIN.search(text)
    if begin and _CONFLICT_END.search(text, begin.end()):
        return text.count("\n", 0, begin.start()) + 1
    return 0


def _in_plain_words(problem: str) -> str:
    for said, meant in _ADVICE:
        if said in problem:
            return meant
    return f"YAML cannot be read here ({problem.splitlines()[0] if problem else 'no reason given'}); check indent, quotes and brackets"
