"""Lint results as text, Markdown and JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Sequence

from perflour.plain import one_line, visible
from perflour.result import LEVELS, Result
from perflour.system.terminal import painted
from perflour.typed import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from perflour.lint.run import Checked

# Columns of an offending line that are shown.
EXCERPT_WIDTH = 100


def results_text(
    results: Sequence[Result],
    files: int,
    quoting: bool = False,
    mendable: Container[str] = (),
    with_counts: bool = True,
) -> str:
    """One line a result, when ``quoting`` its line of the file with a caret, then a summary.

    ``mendable`` are the ids of rules to be counted as what `--fix` mends.
    """
    lines: list[str] = []
    for result in results:
        lines.append(_line(result))
        lines += _excerpt(result) if quoting else ()
    if with_counts:
        lines += [*_summary(results, files), *_mendable(results, mendable)]
    return "\n".join([*lines, ""]) if lines else ""


def checked_text(checked: Checked, mendable: Container[str] = (), with_counts: bool = True) -> str:
    """For a terminal, each result with its line; ``mendable`` as for results_text."""
    return results_text(checked.results, checked.files, True, mendable, with_counts)


def checked_lines(checked: Checked, _: Container[str] = (), with_counts: bool = True) -> str:
    """For editors and scripts."""
    return results_lines(checked.results, checked.files, with_counts)


def checked_markdown(checked: Checked, _: Container[str] = (), __: bool = True) -> str:
    """For a pull request."""
    return results_markdown(checked.results, checked.files)


def checked_json(checked: Checked, _: Container[str] = (), __: bool = True) -> str:
    """For a program."""
    return results_json(checked.results, checked.files)


def mended_text(path: str, results: Sequence[Result]) -> str:
    """What was mended in a file, one line a result that is gone; one line where there is none."""
    lines = [f"{r.place}: mended: {one_line(r.message)} [{r.rule}]" for r in results]
    return "\n".join(lines or [f"{visible(path)}: written in the house format"]) + "\n"


def results_lines(results: Sequence[Result], files: int, with_counts: bool = True) -> str:
    """One line a result and the count, for editors and scripts."""
    count = [_summary(results, files)[0]] if with_counts else []
    return "".join(f"{line}\n" for line in (*map(_line, results), *count))


def results_markdown(results: Sequence[Result], files: int) -> str:
    """For a pull request: the summary, then a list by file."""
    from perflour.plain import markdown

    blocks = [f"**{markdown(_summary(results, files)[0])}**\n"]
    by_path: dict[str, list[str]] = {}
    for r in results:
        by_path.setdefault(r.place.path, []).append(
            f"- line {r.place.line}, {r.level}: {markdown(r.message)} (`{r.rule}`)"
        )
    for path, rows in by_path.items():
        blocks.append("\n".join([f"### {markdown(path)}", "", *rows]) + "\n")
    return "\n".join(blocks)


#: How a level looks on a terminal, beside its name.
LEVEL_LOOKS = {"error": "stop", "warning": "mind", "note": "head"}


def _line(result: Result) -> str:
    level = painted(result.level, LEVEL_LOOKS[result.level])
    return f"{result.place}: {level}: {one_line(result.message)} [{result.rule}]"


def _excerpt(result: Result) -> list[str]:
    """The offending line, cut to a window of it, and a caret under the place."""
    line = result.line
    if not line.strip():
        return []
    at = min(result.place.column - 1, len(line))
    start = max(0, at - EXCERPT_WIDTH // 2) if len(line) > EXCERPT_WIDTH else 0
    cut = line[start : start + EXCERPT_WIDTH]
    if cut.isascii() and cut.isprintable():  # most are, and are shown as they are
        shown, before = cut, at - start
    else:
        shown = one_line(cut)
        before = len(one_line(line[start:at]))  # an escape is longer than its sign
    return [f"    {shown}".rstrip(), f"    {' ' * before}{painted('^', 'head')}"]


def _summary(results: Sequence[Result], files: int) -> list[str]:
    """The count by level; below it, where there is more than one result, the count by rule."""
    read = f"{files} file{'s' if files != 1 else ''} read"
    if not results:
        return [f"{read}, nothing found"]
    count = Counter(result.level for result in results)
    levels = ", ".join(
        f"{count[level]} {level}{'s' if count[level] != 1 else ''}"
        for level in LEVELS
        if count[level]
    )
    total = f"{read}: {levels} in {len({r.place.path for r in results})}"
    rules = Counter(result.rule for result in results).most_common()
    return [total, *(f"  {number:>4} {rule}" for rule, number in rules if len(results) > 1)]


def _mendable(results: Sequence[Result], rules: Container[str]) -> list[str]:
    count = sum(result.rule in rules for result in results)
    return [f"up to {count} of these can be mended with --fix"] if count else []


def results_json(results: Sequence[Result], files: int, _: bool = True) -> str:
    """Results with the number of files read."""
    from perflour.report.form.json_text import json_text  # few ask for this form

    rows = [result_data(result) for result in results]
    return json_text({"files": files, "results": rows}) + "\n"


def result_data(result: Result) -> dict[str, Any]:
    """One result as plain data."""
    return {
        "rule": result.rule,
        "level": result.level,
        "message": result.message,
        "path": result.place.path,
        "line": result.place.line,
        "column": result.place.column,
        "subject": result.subject or None,
    }
