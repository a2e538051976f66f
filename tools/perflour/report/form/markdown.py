"""Tables of Markdown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from perflour.plain import markdown


def markdown_table(
    headers: Sequence[str],
    rows: Iterable[Sequence[str]],
    shown: Callable[[str], str] = markdown,
) -> list[str]:
    """The lines of a table; the texts of its rows are as ``shown`` makes them, its headers as they are."""
    lines = [headers, ["---"] * len(headers), *(list(map(shown, row)) for row in rows)]
    return [f"| {' | '.join(line)} |" for line in lines]
