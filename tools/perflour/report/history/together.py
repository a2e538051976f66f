"""The changelogs of several formulas as one report, from the text of each."""

from __future__ import annotations

from collections.abc import Sequence

#: Of the JSON: one more for each change of a key or of what it means. schema/changelog.schema.json.
FORMAT = 2


def blocks_text(blocks: Sequence[str]) -> str:
    """One after the other, an empty line between them."""
    return "\n".join(blocks)


def blocks_json(blocks: Sequence[str]) -> str:
    """One document of those of the formulas."""
    if not blocks:
        return f'{{\n  "format": {FORMAT},\n  "formulas": []\n}}\n'
    from textwrap import indent  # as long to load as Markdown is put together

    listed = indent(",\n".join(blocks), "    ")
    return f'{{\n  "format": {FORMAT},\n  "formulas": [\n{listed}\n  ]\n}}\n'
