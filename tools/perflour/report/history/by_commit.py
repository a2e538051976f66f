"""The changelog of the repository: commit by commit, the newest first, as text, Markdown and JSON."""

from __future__ import annotations

from collections.abc import Iterator

from perflour.history.changelog import ByCommit, Changelog, CommitIterations
from perflour.history.iterations import Iteration
from perflour.plain import one_line
from perflour.report.form.json_text import json_text
from perflour.report.history.changelogs import (
    body,
    escaped,
    item,
    iteration_data,
    not_read_lines,
)


def by_commit_text(told: ByCommit) -> str:
    """For a terminal."""
    blocks = []
    for entry in told.commits:
        lines = [_heading(entry)]
        for changelog, iteration in entry.iterations:
            lines.append(f"  {_name(changelog, iteration)}")
            lines += [f"    {line}" for line in body(iteration)]
        blocks.append("\n".join(map(one_line, lines)) + "\n")
    if not_read := list(_not_read(told)):
        blocks.append("".join(f"{one_line(line)}\n" for line in not_read))
    return "\n".join(blocks)


def by_commit_markdown(told: ByCommit) -> str:
    """One section a commit; nothing that amending or another folder changes."""
    lines = ["# Changelog of the formulas"]
    for entry in told.commits:
        lines += ["", f"## {escaped(_heading(entry))}"]
        for changelog, iteration in entry.iterations:
            lines += ["", f"**{escaped(_name(changelog, iteration))}**", ""]
            lines += map(item, body(iteration))
    if not_read := list(_not_read(told)):
        lines += ["", "## Records that cannot be read", "", *map(item, not_read)]
    return "\n".join(lines) + "\n"


def by_commit_json(told: ByCommit) -> str:
    """Exact values."""
    rows = [
        {
            "commit": entry.commit.sha if entry.commit else None,
            "date": entry.commit.date if entry.commit else None,
            "author": entry.commit.author if entry.commit else None,
            "subject": entry.commit.subject if entry.commit else None,
            "iterations": list(_iterations(entry)),
        }
        for entry in told.commits
    ]
    data = {"commits": rows, "not_read": list(_not_read(told))}
    return json_text(data) + "\n"


def _not_read(told: ByCommit) -> Iterator[str]:
    for changelog in told.unread:
        yield from not_read_lines(changelog)


def _iterations(entry: CommitIterations) -> Iterator[dict[str, object]]:
    of_commit = ("commit", "date", "author", "subject")
    for changelog, iteration in entry.iterations:
        data = {k: v for k, v in iteration_data(iteration).items() if k not in of_commit}
        yield {"formula": changelog.id, "title": changelog.title, **data}


def _heading(entry: CommitIterations) -> str:
    commit = entry.commit
    return f"{commit.date}, {commit.author}: {commit.subject}" if commit else "Not committed yet"


def _name(changelog: Changelog, iteration: Iteration) -> str:
    return f"{changelog.title} ({changelog.id}), iteration {iteration.number}"
