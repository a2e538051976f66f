"""The changelogs of several formulas as one report, from the text of each."""

from __future__ import annotations

from collections.abc import Sequence
from textwrap import indent


def blocks_text(blocks: Sequence[str]) -> str:
    """One after the other, an empty line between them."""
    return "\n".join(blocks)


def blocks_json(blocks: Sequence[str]) -> str:
    """One document of those of the formulas."""
    if not blocks:
        return '{\n  "formulas": []\n}\n'
    listed = indent(",\n".join(blocks), "    ")
    return f'{{\n  "formulas": [\n{listed}\n  ]\n}}\n'
