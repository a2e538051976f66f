"""Text that Markdown shows as it is."""

from __future__ import annotations


def markdown_escape(text: str) -> str:
    """Text that Markdown shows as it is."""
    for sign in "\\`*_<>[]":
        text = text.replace(sign, f"\\{sign}")
    return text
