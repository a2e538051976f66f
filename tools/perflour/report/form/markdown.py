"""Text that Markdown shows as it is."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from perflour.result import one_line

# Behind each something begins that a host of code would make a link or call somebody by.
_CALLS = re.compile(r"@(?=\w)|#(?=\d)|(?<=:)(?=//)|(?<=\bwww)(?=\.)", re.IGNORECASE)
_STARTS_A_BLOCK = re.compile(
    r"(?m)^(\s*)(#(?=#*(?:\s|$))|[+-](?=\s|$)|[-=](?=[-= ]*$)|\d{1,9}(?=[.)](?:\s|$)))"
)
# A sign without width: what stands around it is read apart, and looks the same.
_APART = "&#8203;"


def markdown_escape(text: str) -> str:
    """Text that Markdown shows as it is: no markup, no heading, no link, and nobody is called by it."""
    return _STARTS_A_BLOCK.sub(_as_text, inline_escape(text))


def inline_escape(text: str) -> str:
    """The same for a text that begins no line."""
    text = text.replace("&", "&amp;")
    for sign in "\\`*_<>[]~":
        text = text.replace(sign, f"\\{sign}")
    return _CALLS.sub(lambda found: f"{found[0]}{_APART}", text)


def _as_text(found: re.Match[str]) -> str:
    space, start = found.groups()
    return f"{space}{start}{_APART}" if start.isdigit() else f"{space}\\{start}"


def markdown_table(headers: Sequence[str], rows: Iterable[Sequence[str]]) -> list[str]:
    """The lines of a table; texts are shown as they are."""
    lines = [headers, ["---"] * len(headers), *([_cell(text) for text in row] for row in rows)]
    return [f"| {' | '.join(line)} |" for line in lines]


def _cell(text: str) -> str:
    return inline_escape(one_line(text)).replace("|", "\\|")
