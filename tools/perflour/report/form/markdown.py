"""Tables of Markdown."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from perflour.plain import markdown


def markdown_table(headers: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """The lines of a table; the texts of its rows are shown as they are."""
    lines = [headers, ["---"] * len(headers), *(list(map(markdown, row)) for row in rows)]
    return [f"| {' | '.join(line)} |" for line in lines]
