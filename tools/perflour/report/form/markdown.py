"""Text that Markdown shows as it is."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from perflour.result import one_line


def markdown_escape(text: str) -> str:
    """Text that Markdown shows as it is."""
    for sign in "\\`*_<>[]":
        text = text.replace(sign, f"\\{sign}")
    return text


def markdown_table(headers: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """The lines of a table; texts are shown as they are."""
    lines = [headers, ["---"] * len(headers), *([_cell(text) for text in row] for row in rows)]
    return [f"| {' | '.join(line)} |" for line in lines]


def _cell(text: str) -> str:
    return markdown_escape(one_line(text)).replace("|", "\\|")
