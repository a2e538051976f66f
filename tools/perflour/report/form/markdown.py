"""Tables of Markdown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from perflour.plain import markdown


def markdown_table(
    headers: Sequence[str],
    rows: Iterable[Sequence[str]],
    shown: Callable[[str], str] = markdown,
    align: str = "",
) -> list[str]:
    """The lines of a table; the texts of its rows are as ``shown`` makes them, its headers as they are.

    ``align`` has one sign a column, ``<`` left or ``>`` right; without it all stand left.
    """
    rule = ["---:" if sign == ">" else "---" for sign in align or "<" * len(headers)]
    lines = [headers, rule, *(list(map(shown, row)) for row in rows)]
    return [f"| {' | '.join(line)} |" for line in lines]
